/** What the database refuses of the calendar's addresses: the first has ended, the second is live. */
import type { Another, Case } from './forbidden.js'

const feed = (but: Record<string, string>): Another => ({
  another: 'calendar_feed',
  but: { token_hash: `'${'a'.repeat(64)}'`, ...but },
  like: 'id = 1',
})

export const calendarByTrigger: Record<string, Case[]> = {
  calendar_feed_stays: [['update calendar_feed set names = 0 where id = 2']],
  calendar_feed_ended: [["update calendar_feed set off_at = '2030-01-01T00:00:00.000Z' where id = 1"]],
  calendar_feed_kept: [['delete from calendar_feed where id = 1']],
}
export const calendarByCheck: Record<string, Record<string, Case[]>> = {
  calendar_feed: {
    'length(token_hash) = 64': [[feed({ token_hash: "'short'" })]],
    'names IN (0, 1)': [[feed({ names: '2' })]],
    '(off_at IS NULL) = (off_by IS NULL)': [[feed({ off_by: 'null' })]],
  },
}
export const calendarByUnique: Record<string, Case[]> = {
  'calendar_feed(token_hash)': [[feed({ token_hash: '(select token_hash from calendar_feed where id = 2)' })]],
  'calendar_feed(null)': [[feed({ off_at: 'null', off_by: 'null' })]],
}
