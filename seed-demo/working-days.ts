/** When somebody is in the invented workshop, and a day on which nobody is. */
import { addDays } from '../src/domain/calendar.js'
import { dayOf } from '../src/domain/day.js'
import type { WorkHours } from '../src/domain/plan-input.js'
import { inOneStep } from '../src/store/db.js'
import { addDaysAway, changeWorkingDays, findWorkingDays } from '../src/store/working-days.js'
import { findWorkshop } from '../src/store/workshop.js'
import { DAY, type Doing, iso } from './doing.js'

const weekday: WorkHours[] = [
  { from: '08:00', to: '12:00' },
  { from: '13:00', to: '17:30' },
]

export async function tellWorkingDays(doing: Doing, now: number): Promise<void> {
  const timeZone = (await findWorkshop(doing.db))?.timeZone ?? 'UTC'
  const away = addDays(dayOf(iso(now), timeZone), 6)
  await inOneStep(doing.db, async trx => {
    const by = doing.by(now - 20 * DAY)
    const days = await findWorkingDays(trx)
    const hours = [[], weekday, weekday, weekday, weekday, weekday, [{ from: '09:00', to: '13:00' }]]
    await changeWorkingDays(trx, by, { ...days, hours, soakTubs: 3, lineRoom: 50 }, days.version)
    await addDaysAway(trx, by, { from: away, to: away, words: 'to the fibre fair' })
  })
}
