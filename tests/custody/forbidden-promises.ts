/** What the database refuses of wishes about days, days that were promised, and the plans that were kept. */
import type { Another, Case } from './forbidden.js'

const another = (table: string, but: Record<string, string>): Another => ({ another: table, but })
const wish = (but: Record<string, string>): Another => ({ another: 'timed_wish', but, like: 'ended_at is null' })
const rest = (but: Record<string, string>): Another => ({ another: 'pot_rest', but, like: 'ended_at is null' })

const ofLot1 = { another: 'day_promise', but: { lot_id: '1' } }

export const promisesByTrigger: Record<string, Case[]> = {
  timed_wish_stays: [["update timed_wish set weekdays = '1' where ended_at is null"]],
  timed_wish_ended: [['update timed_wish set ended_at = null, ended_by = null where ended_at is not null']],
  day_promise_stays: [
    ["update day_promise set day = '2026-04-01'"],
    ["update day_promise set words = 'erased' where lot_id = 4"],
    [ofLot1, "update day_promise set words = 'other' where lot_id = 1"],
    [ofLot1, "update day_promise set words = 'erased', earliest = '2026-01-01' where lot_id = 1"],
  ],
  day_promise_kept: [['delete from day_promise']],
  kept_plan_stays: [["update kept_plan set plan = '{}'"]],
  kept_plan_kept: [['delete from kept_plan']],
  step_overrun_stays: [['update step_overrun set minutes = 1']],
  step_overrun_kept: [['delete from step_overrun']],
  step_overrun_adds_up: [[another('step_overrun', { minutes: '-20000' })]],
  pot_rest_stays: [["update pot_rest set until_at = '2030-01-01' where ended_at is null"]],
  pot_rest_ended: [["update pot_rest set ended_at = '2026-03-09' where ended_at is not null"]],
}
const CLOCK = "GLOB '[0-2][0-9]:[0-5][0-9]'"
export const promisesByCheck: Record<string, Record<string, Case[]>> = {
  timed_wish: {
    "weekdays NOT GLOB '*[^0-6]*' AND length(weekdays) < 7": [
      [wish({ weekdays: "'7'" })],
      [wish({ weekdays: "'0123456'" })],
    ],
    'yearly IN (0, 1)': [[wish({ yearly: '2', from_day: "'2026-01-01'", to_day: "'2026-01-02'" })]],
    [`from_clock ${CLOCK}`]: [[wish({ from_clock: "'noon'", to_clock: "'13:00'" })]],
    [`to_clock ${CLOCK}`]: [[wish({ from_clock: "'12:00'", to_clock: "'one'" })]],
    '(from_day IS NULL) = (to_day IS NULL)': [[wish({ from_day: "'2026-01-01'" })]],
    'from_day <= to_day': [[wish({ from_day: "'2026-01-03'", to_day: "'2026-01-02'" })]],
    'yearly = 0 OR from_day IS NOT NULL': [[wish({ yearly: '1' })]],
    '(from_clock IS NULL) = (to_clock IS NULL)': [[wish({ from_clock: "'12:00'" })]],
    "weekdays <> '' OR from_day IS NOT NULL OR from_clock IS NOT NULL": [[wish({ weekdays: "''" })]],
    '(ended_at IS NULL) = (ended_by IS NULL)': [[wish({ ended_at: "'2026-03-02'" })]],
  },
  day_promise: {
    'length(trim(how)) > 0': [[another('day_promise', { how: "' '" })]],
    'day IS NOT NULL OR length(trim(words)) > 0': [[another('day_promise', { day: 'null', words: "''" })]],
  },
  kept_plan: {
    'length(trim(why)) > 0': [[another('kept_plan', { why: "''" })]],
    'json_valid(plan)': [[another('kept_plan', { plan: "'{'" })]],
  },
  step_overrun: {
    'minutes BETWEEN -20160 AND 20160 AND minutes <> 0': [
      [another('step_overrun', { minutes: '0' })],
      [another('step_overrun', { minutes: '20161' })],
    ],
  },
  pot_rest: {
    'until_at > at': [[rest({ pot_id: '2', until_at: "'2020-01-01'" })]],
    '(ended_at IS NULL) = (ended_by IS NULL)': [[rest({ pot_id: '2', ended_at: "'2026-03-02'" })]],
  },
}
/** By table and columns: what is there once only. */
export const promisesByUnique: Record<string, Case[]> = {
  'pot_rest(pot_id)': [[rest({})]],
}
