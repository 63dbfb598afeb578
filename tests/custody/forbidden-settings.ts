/** What the database refuses of the history of the settings, by the name of the trigger and the words of the CHECK. */
import type { Case } from './forbidden.js'

const change = (but: Record<string, string>): Case => [{ another: 'workshop_change', but }]

export const settingsByTrigger: Record<string, Case[]> = {
  workshop_change_stays: [["update workshop_change set became = '{}'"], ['update workshop_change set worker_id = 2']],
  workshop_change_kept: [['delete from workshop_change'], ['delete from workshop_change where id = 1']],
}

export const settingsByCheck: Record<string, Record<string, Case[]>> = {
  workshop_change: {
    'json_valid(was)': [change({ was: "'{'" })],
    'json_valid(became)': [change({ became: "''" })],
  },
}
