/** What the database refuses of working days and of what is settled of the plan. */
import type { Another, Case } from './forbidden.js'

const hours = (but: Record<string, string>): Another => ({ another: 'working_hours', but })
const away = (but: Record<string, string>): Another => ({ another: 'day_away', but, like: 'undone_at is null' })
const habit = (but: Record<string, string>): Another => ({ another: 'step_habit', but })
const step = (but: Record<string, string>): Another => ({ another: 'load_step', but: { n: '9', ...but } })
const pin = (but: Record<string, string>): Another => ({ another: 'plan_pin', but: { step_n: '7', ...but } })

const DAY = "GLOB '[0-9][0-9][0-9][0-9]-[0-9][0-9]-[0-9][0-9]'"
const CLOCK = "GLOB '[0-2][0-9]:[0-5][0-9]'"

export const planByCheck: Record<string, Record<string, Case[]>> = {
  working_days: {
    'id = 1': [["insert into working_days values (2, 2, 1, 'bundles', 60, 0.2, 1, 20, 1)"]],
    'soak_tubs BETWEEN 0 AND 50': [['update working_days set soak_tubs = -1']],
    'sinks BETWEEN 1 AND 20': [['update working_days set sinks = 0']],
    "line_unit IN ('bundles', 'metres')": [["update working_days set line_unit = 'yards'"]],
    'line_room > 0': [['update working_days set line_room = 0']],
    'metres_per_bundle > 0': [['update working_days set metres_per_bundle = 0']],
    'hands BETWEEN 1 AND 20': [['update working_days set hands = 0']],
    'scour_minutes BETWEEN 0 AND 480': [['update working_days set scour_minutes = 481']],
  },
  working_hours: {
    'weekday BETWEEN 0 AND 6': [[hours({ weekday: '7' })]],
    [`from_clock ${CLOCK} AND from_clock < '24:00'`]: [
      [hours({ from_clock: "'6 am'" })],
      [hours({ from_clock: "'7:00'" })],
    ],
    [`to_clock ${CLOCK} AND to_clock <= '24:00'`]: [[hours({ from_clock: "'06:00'", to_clock: "'24:01'" })]],
    'from_clock < to_clock': [[hours({ from_clock: "'18:00'" })]],
  },
  day_away: {
    [`from_day ${DAY}`]: [[away({ from_day: "'1 Mar'" })]],
    [`to_day ${DAY}`]: [[away({ to_day: "'9 Mar'" })]],
    'from_day <= to_day': [[away({ to_day: "'2026-01-01'" })]],
    '(undone_at IS NULL) = (undone_by IS NULL)': [[away({ undone_by: '1' })]],
  },
  step_habit: {
    "key IN ('soak', 'mordant', 'dye', 'stand', 'iron', 'vat', 'dip', 'air', 'rinse', 'dry')": [
      [habit({ key: "'wash'" })],
    ],
    'hands IN (0, 1)': [[habit({ key: "'dye'", hands: '2' })]],
    'hands_minutes BETWEEN 0 AND 1440': [[habit({ key: "'dye'", hands_minutes: '-1' })]],
    'may_stand_overnight IN (0, 1)': [[habit({ key: "'dye'", may_stand_overnight: '2' })]],
    'at_least_minutes BETWEEN 0 AND 43200': [[habit({ key: "'dye'", at_least_minutes: '-1' })]],
    'at_most_minutes BETWEEN 1 AND 43200': [[habit({ key: "'dye'", at_most_minutes: '43201' })]],
    'at_least_minutes <= at_most_minutes': [[habit({ key: "'dye'", at_least_minutes: '90', at_most_minutes: '60' })]],
  },
  plan_pin: {
    'part > 0': [[pin({ load_id: 'null', part: '0' })]],
    'step_n > 0': [[pin({ step_n: '0' })]],
    '(load_id IS NULL) <> (part IS NULL)': [[pin({ part: '1' })], [pin({ load_id: 'null' })]],
    'starts_at IS NOT NULL OR pot_id IS NOT NULL': [[pin({ starts_at: 'null', pot_id: 'null' })]],
    "agreed = '' OR (starts_at IS NOT NULL AND trim(agreed) <> '')": [
      [pin({ agreed: "' '" })],
      [pin({ starts_at: 'null', pot_id: '1', agreed: "'yes, by telephone'" })],
    ],
    '(undone_at IS NULL) = (undone_by IS NULL)': [[pin({ undone_at: "'2026-03-02'", undone_by: 'null' })]],
  },
}

/** Beside the checks that a load's steps and the pots have of before. */
export const stepByCheck: Record<string, Case[]> = {
  'hands IN (0, 1)': [[step({ hands: '2' })]],
  'warm_up_minutes BETWEEN 0 AND minutes': [
    [step({ warm_up_minutes: '-1' })],
    [step({ minutes: '30', warm_up_minutes: '31' })],
  ],
  'hands_minutes >= 0': [[step({ hands_minutes: '-1' })]],
  'at_least_minutes >= 0': [[step({ at_least_minutes: '-1' })]],
  'at_most_minutes >= 0': [[step({ at_most_minutes: '-1' })]],
  'may_stand_overnight IN (0, 1)': [[step({ may_stand_overnight: '2' })]],
}
export const potByCheck: Record<string, Case[]> = {
  'no_iron IN (0, 1)': [['update pot set no_iron = 2']],
  'only_brights IN (0, 1)': [['update pot set only_brights = 2']],
  'no_heat IN (0, 1)': [['update pot set no_heat = 2']],
  'hot_after_minutes BETWEEN 1 AND 600': [
    ['update pot set hot_after_minutes = 0'],
    ['update pot set hot_after_minutes = 601'],
  ],
  'no_heat = 0 OR hot_after_minutes IS NULL': [['update pot set no_heat = 1, hot_after_minutes = 30']],
}

export const planByUnique: Record<string, Case[]> = {
  'plan_pin(lot_id, step_n)': [
    [{ another: 'plan_pin', but: {}, like: 'undone_at is null' }],
    [{ another: 'plan_pin', but: { pot_id: '2', starts_at: 'null' }, like: 'undone_at is null' }],
  ],
}
