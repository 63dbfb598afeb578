import { describe, expect, test } from 'vitest'
import {
  laterInTime,
  movedDayMessage,
  overrunMinutes,
  tellingsOf,
  withOverruns,
  withPotRests,
} from '../../src/domain/otherwise.js'
import { planWork } from '../../src/domain/plan.js'
import { planChanges } from '../../src/domain/plan-change.js'
import { instantAt } from '../../src/domain/plan-input.js'
import { wishSpans } from '../../src/domain/timed-wish.js'
import { dayOf } from '../../src/domain/wall-clock.js'
import { MONDAY, WORKSHOP, workshopLoads } from '../planner/instances.js'
import { faultsOf } from '../planner/validator.js'

const { timeZone } = WORKSHOP
const NOW = MONDAY + 2 * 1440 + 600
const loadsNow = (seed: number) => {
  const loads = workshopLoads(seed, 10)
  const plan = planWork(WORKSHOP, loads, MONDAY, { effort: 300 })
  const standing = loads.flatMap(load => {
    const planned = plan.loads.find(({ loadId }) => loadId === load.id)
    if (planned === undefined || planned.doneMin <= NOW) return []
    const begunMin = planned.steps.map(({ startMin }) => startMin).filter(start => start <= NOW)
    return { ...load, begunMin, potId: begunMin.length > 0 ? planned.potId : null }
  })
  return { standing, plan: planWork(WORKSHOP, standing, NOW, { effort: 300, from: plan }) }
}

describe('what goes otherwise', () => {
  test.each([1, 2, 3])('a step that runs over and a pot at rest move only what they must (%i)', seed => {
    const { standing, plan } = loadsNow(seed)
    const slow = standing.find(({ begunMin }) => begunMin.length > 0)
    if (slow === undefined) throw new Error('nothing is under way')
    const stepN = slow.begunMin.length
    const end = plan.loads.find(({ loadId }) => loadId === slow.id)?.steps[stepN - 1]?.endMin ?? NOW
    const minutes = overrunMinutes(end, NOW, 300, 0)
    expect(end + minutes).toBeGreaterThanOrEqual(NOW + 300)
    const loads = standing.map(load => withOverruns(load, [{ loadId: slow.id, stepN, minutes }]))
    const rest = { potId: WORKSHOP.pots[1]?.id ?? '', fromAt: instantAt(NOW), untilAt: instantAt(NOW + 2880) }
    const workshop = withPotRests(WORKSHOP, [rest])
    const after = planWork(workshop, loads, NOW, { effort: 300, from: plan })
    expect(faultsOf(workshop, loads, NOW, after)).toEqual([])
    const moved = after.loads.find(({ loadId }) => loadId === slow.id)?.steps[stepN - 1]
    expect(moved?.endMin).toBe(end + minutes)
    // Where it may stand on for longer than that, nothing else moves.
    const was = plan.loads.find(({ loadId }) => loadId === slow.id)?.steps[stepN - 1]?.leaveMin ?? 0
    if (was < end + minutes)
      expect(planChanges(plan, after, timeZone).some(({ loadId }) => loadId === slow.id)).toBe(true)
  })

  test('wishes of clients are kept by the plan', () => {
    const loads = workshopLoads(4, 10)
    const wish = { weekdays: [3], fromDay: null, toDay: null, yearly: false, fromClock: null, toClock: null, words: '' }
    const spans = wishSpans([wish], dayOf(instantAt(MONDAY), timeZone), '2027-12-31', timeZone)
    const wished = loads.map(load => ({ ...load, wishes: spans }))
    const plan = planWork(WORKSHOP, wished, MONDAY, { effort: 200 })
    expect(faultsOf(WORKSHOP, wished, MONDAY, plan)).toEqual([])
    const starts = plan.loads.flatMap(({ steps }) => steps.map(({ startMin }) => startMin))
    expect(starts.length).toBeGreaterThan(20)
    expect(starts.filter(start => spans.some(({ fromMin, toMin }) => fromMin < start && start < toMin))).toEqual([])
  })
})

describe('who must be told', () => {
  const { plan } = loadsNow(1)
  const [first, second] = plan.loads
  if (first === undefined || second === undefined) throw new Error('no loads')
  const day = (minute: number) => dayOf(instantAt(minute), timeZone)
  const [one, other] = [day(first.doneMin), day(second.doneMin)]
  const late = [one, other].sort()[1] ?? ''
  const loadIds = [first.loadId, second.loadId]

  test('is whoever counts on an earlier day than that of the last of their loads', () => {
    expect(tellingsOf(plan, [{ lotId: 7, loadIds, day: '2020-01-01', earliest: null }], timeZone)).toEqual([
      { lotId: 7, from: '2020-01-01', to: late },
    ])
  })

  test('is nobody who was told, or knows of no day, or is not in the plan', () => {
    const lots = [
      { lotId: 7, loadIds, day: late, earliest: null },
      { lotId: 8, loadIds, day: null, earliest: null },
      { lotId: 9, loadIds: [], day: '2020-01-01', earliest: null },
    ]
    expect(tellingsOf(plan, lots, timeZone)).toEqual([])
  })

  test('is nobody whose day is kept though it comes later than was thought: they are named apart', () => {
    const on = (day: string | null, earliest: string | null) => ({ lotId: 7, loadIds, day, earliest })
    const inTime = (lot: ReturnType<typeof on>) => laterInTime(plan, [lot], timeZone)
    expect(inTime(on('2099-01-01', '2020-01-01'))).toEqual([
      { lotId: 7, earliest: '2020-01-01', to: late, day: '2099-01-01' },
    ])
    expect(tellingsOf(plan, [on('2099-01-01', '2020-01-01')], timeZone)).toEqual([])
    for (const lot of [
      on('2099-01-01', late),
      on('2099-01-01', null),
      on('2020-01-01', '2020-01-01'),
      on(null, '2020-01-01'),
    ])
      expect(inTime(lot)).toEqual([])
  })

  test('is whoever can have no day any more', () => {
    const problem = { kind: 'no pot' as const, loadId: 'gone', stepN: 1, words: 'no pot', nextMin: null }
    const without = { ...plan, problems: [problem] }
    expect(tellingsOf(without, [{ lotId: 7, loadIds: ['gone'], day: '2099-01-01', earliest: null }], timeZone)).toEqual(
      [{ lotId: 7, from: '2099-01-01', to: null }],
    )
  })
})

test('the message says the lot, the old day and the new, and knows of nobody else', () => {
  const moved = {
    workshopName: 'The Weir Shed',
    clientName: 'Ilse Rush',
    lotId: 12,
    fibreName: 'nettle',
    colour: 'madder red',
    purpose: 'the spring class',
    from: '2026-12-05',
    to: '2026-12-08',
  }
  expect(movedDayMessage(moved).split('\n')).toEqual([
    'Dear Ilse Rush,',
    '',
    'this is about your nettle, madder red, for the spring class (lot 12).',
    'It will be ready on Tue 8 Dec 2026, not on Sat 5 Dec 2026 as I said.',
    'Please tell me whether that still does, or whether you would rather have it back sooner, as it is.',
    '',
    'I am sorry for the change.',
    'The Weir Shed',
  ])
  expect(movedDayMessage({ ...moved, to: null })).toContain('I cannot give you a new day yet')
})
