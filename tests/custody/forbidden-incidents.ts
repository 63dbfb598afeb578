/**
 * What the database refuses of incidents. In the workshop that these are tried on, incident 1 is about bundle 9 of lot 4,
 * found unsuitable and not told of; incident 2, about bundle 1, was told of and closed.
 */
import type { Another, Case } from './forbidden.js'

const incident = (but: Record<string, string>): Another => ({ another: 'incident', but, like: 'id = 1' })
const word = (but: Record<string, string>): Another => ({
  another: 'incident_word',
  but: { incident_id: '1', ...but },
  like: "kind = 'client told'",
})
const close = (id: number) =>
  `update incident set closed_at = '2026-03-02T09:00:00.000Z', outcome = 'split anew' where id = ${id}`

export const incidentsByTrigger: Record<string, Case[]> = {
  incident_as_written: [
    ["update incident set kind = 'damaged' where id = 1"],
    ["update incident set what_happened = 'nothing' where id = 1"],
  ],
  incident_sealed: [["update incident set outcome = 'other' where id = 2"]],
  incident_kept: [['delete from incident where id = 1']],
  incident_bundle_of_lot: [['insert into incident_bundle values (1, 3)']],
  incident_bundle_stays: [['update incident_bundle set bundle_id = 8 where incident_id = 1']],
  incident_bundle_kept: [['delete from incident_bundle where incident_id = 1']],
  // Words may be erased once all is closed: incident 1 is not, and of incident 2 nothing else changes.
  incident_word_stays: [
    ["update incident_word set words = 'x'"],
    [word({}), "update incident_word set words = 'erased' where incident_id = 1"],
    ["update incident_word set how = 'erased', at = '' where incident_id = 2"],
    ["update incident_word set how = 'erased', words = 'x' where incident_id = 2"],
  ],
  incident_word_kept: [['delete from incident_word']],
  incident_word_late: [[word({ incident_id: '2' })]],
  incident_starts_open: [[{ another: 'incident', but: {}, like: 'id = 2' }]],
  incident_closes_when_told: [[close(1)]],
  load_bundle_suits: [
    ["insert into load_bundle (load_id, bundle_id, from_place, ties_on) values (1, 9, 'arrivals shelf', 3)"],
  ],
}

export const incidentsByCheck: Record<string, Record<string, Case[]>> = {
  incident: {
    "kind IN ('fetched back undyed', 'strip torn', 'bundle lost', 'bundle found again', 'unsuitable fibre', 'damaged', 'otherwise')":
      [[incident({ kind: "'theft'" })]],
    'length(trim(what_happened)) > 0': [[incident({ what_happened: "' '" })]],
    '(closed_at IS NULL) = (length(trim(outcome)) = 0)': [[incident({ outcome: "'settled'" })]],
  },
  incident_word: {
    "kind IN ('client told', 'cannot be told', 'done')": [[word({ kind: "'shrugged'", words: "'x'" })]],
    "kind <> 'client told' OR length(trim(how)) > 0": [[word({ how: "''" })]],
    "kind = 'client told' OR length(trim(words)) > 0": [[word({ kind: "'done'", words: "''" })]],
  },
}
