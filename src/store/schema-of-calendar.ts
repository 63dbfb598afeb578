/** Table types of the calendar's address; part of `schema.ts`. */
import type { Generated } from 'kysely'

export interface CalendarFeedTable {
  id: Generated<number>
  token_hash: string
  names: 0 | 1
  made_at: string
  made_by: number
  off_at: string | null
  off_by: number | null
}
export type CalendarTables = { calendar_feed: CalendarFeedTable }
