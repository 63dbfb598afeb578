/** What the database refuses of ties. Bundle 8 has three ties on it; those of bundle 6 hang on the tie board. */
import type { Another, Case } from './forbidden.js'

/** A line about bundle 8, whose three ties are on it: one comes off, unless told otherwise. */
const line = (but: Record<string, string> = {}): Another => ({
  another: 'tie_event',
  but: {
    ...{ bundle_id: '8', kind: "'taken off'", count: '1', tied: '0', load_id: 'null' },
    ...{ ties_on: '2', ties_off: '1', ties_lost: '0', ties_replaced: '0' },
    ...but,
  },
})
const unchanged = { ties_on: '3', ties_off: '0' }

export const tiesByTrigger: Record<string, Case[]> = {
  tie_event_adds_up: [
    [line({ kind: "'lost'" })],
    [line({ kind: "'lost'", tied: '1', ...unchanged })],
    [line({ count: '2' })],
    [line({ kind: "'replaced'", tied: '1', ...unchanged })],
    [line({ kind: "'taken off'", ties_replaced: '1' })],
    [line(), line()],
  ],
  tie_event_stays: [['update tie_event set count = 2'], ["update tie_event set words = 'never mind' where id = 1"]],
  tie_event_kept: [['delete from tie_event where bundle_id = 6']],
  bundle_ties_told: [
    ['update bundle set ties_on = 2, ties_lost = 1 where id = 8'],
    ['update bundle set ties_off = 2, ties_lost = 1 where id = 6'],
    ['update bundle set ties_on = 3, ties_off = 0 where id = 6'],
    ['update bundle set ties_replaced = 1 where id = 8'],
  ],
  bundle_arrives_with_first_ties: [
    [{ another: 'bundle', but: { lot_id: '3', n: '2', ties_replaced: '1' }, like: 'id = 8' }],
  ],
}

export const tiesReplacedCases: Case[] = [
  ['drop trigger bundle_ties_told', 'update bundle set ties_replaced = 4 where id = 8'],
  ['drop trigger bundle_ties_told', 'update bundle set ties_replaced = -1 where id = 8'],
]

export const tiesByCheck: Record<string, Record<string, Case[]>> = {
  tie_event: {
    "kind IN ('taken off', 'put back', 'lost', 'found', 'replaced', 'the first is back')": [
      [line({ kind: "'eaten'", ...unchanged })],
    ],
    'count > 0': [[line({ count: '0', ...unchanged })]],
    'tied IN (0, 1)': [[line({ tied: '2' })]],
  },
}
