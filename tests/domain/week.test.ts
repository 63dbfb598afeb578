import { expect, test } from 'vitest'
import { planWork } from '../../src/domain/plan.js'
import { wallMinute } from '../../src/domain/plan-hours.js'
import { mondayOf, weekOf } from '../../src/domain/week.js'
import { acrossOf, type WeekWords, weekDrawing } from '../../src/web/kit/week-drawing.js'
import { MONDAY, WORKSHOP, workshopLoads } from '../planner/instances.js'

const loads = workshopLoads(3, 12)
const plan = planWork(WORKSHOP, loads, MONDAY)
const week = weekOf(plan, WORKSHOP, '2026-03-02')
const words: WeekWords = {
  title: 'The week',
  row: ({ place, potId }) => potId ?? place,
  load: loadId => ({ name: `Load ${loadId} <b>`, swatch: loadId === '1' ? null : '#204060' }),
  day: day => day,
  part: (loadId, part) => `${loadId}: ${part.title}`,
  out: ({ potId }) => `${potId} is out of use`,
}

test('a week begins on a Monday', () => {
  expect(['2026-03-02', '2026-03-05', '2026-03-08', '2026-03-09'].map(mondayOf)).toEqual([
    '2026-03-02',
    '2026-03-02',
    '2026-03-02',
    '2026-03-09',
  ])
})

test('every step that falls into the week stands in the row of its place, with its times, and nothing else', () => {
  const [from, to] = [week.days[0]?.fromMin ?? 0, week.days[6]?.toMin ?? 0]
  const drawn = week.rows.flatMap(row =>
    row.lanes
      .flat()
      .flatMap(bar => bar.parts.map(({ n, fromMin, toMin }) => ({ row, key: `${bar.loadId}/${n}`, fromMin, toMin }))),
  )
  let seen = 0
  for (const load of plan.loads)
    for (const step of load.steps.filter(({ startMin, leaveMin }) => startMin < to && leaveMin > from)) {
      const own = drawn.filter(({ key }) => key === `${load.loadId}/${step.n}`)
      expect(own).toHaveLength(1)
      expect(own[0]).toMatchObject({ fromMin: step.startMin, toMin: step.leaveMin })
      expect(own[0]?.row).toMatchObject(step.potId === null ? { place: step.place } : { potId: step.potId })
      seen += 1
    }
  expect(seen).toBeGreaterThan(20)
})

test('bars of one lane never overlap, and a pot has one lane', () => {
  for (const row of week.rows) {
    if (row.potId !== null) expect(row.lanes.length).toBeLessThanOrEqual(1)
    for (const lane of row.lanes)
      for (const [n, bar] of lane.entries()) expect(bar.fromMin).toBeGreaterThanOrEqual(lane[n - 1]?.toMin ?? 0)
  }
})

test('days away have no hours, and what is needed stands on its day', () => {
  const away = weekOf(plan, { ...WORKSHOP, daysAway: [{ from: '2026-03-03', to: '2026-03-04' }] }, '2026-03-02')
  expect(away.days.map(({ work }) => work.length)).toEqual([1, 0, 0, 1, 1, 1, 0])
  const load = plan.loads[0]
  if (!load) throw new Error('no load')
  const due = { ...plan, loads: [{ ...load, neededByMin: wallMinute('2026-03-05', '24:00', 'Europe/London') }] }
  expect(weekOf(due, WORKSHOP, '2026-03-02').needed).toMatchObject([{ loadId: load.loadId, day: '2026-03-05' }])
  expect(weekOf(due, WORKSHOP, '2026-03-09').needed).toEqual([])
})

test('the weeks in which clocks change have a day of 23 and of 25 hours, each drawn as wide as any other', () => {
  // In London clocks went forward on Sunday 29 March 2026 and go back on Sunday 25 October 2026 (IANA time zone database).
  for (const [monday, hours] of [['2026-03-23', 23] as const, ['2026-10-19', 25] as const]) {
    const { days } = weekOf(plan, WORKSHOP, monday)
    expect(days.map(({ fromMin, toMin }) => (toMin - fromMin) / 60)).toEqual([24, 24, 24, 24, 24, 24, hours])
    const x = acrossOf(days, 800)
    const widths = days.map(({ fromMin, toMin }) => x(toMin - 0.001) - x(fromMin))
    for (const width of widths) expect(width).toBeCloseTo((800 - 92) / 7, 0)
  }
})

test('what comes later lies further to the right', () => {
  const x = acrossOf(week.days, 800)
  const from = week.days[0]?.fromMin ?? 0
  let before = 0
  for (let minute = from; minute < from + 7 * 1440; minute += 17) {
    expect(x(minute)).toBeGreaterThanOrEqual(before)
    before = x(minute)
  }
  expect(before).toBeLessThanOrEqual(800)
})

test('draws every load of the week with its words, escaped, hatched where it stands, and the moment it is', () => {
  const svg = weekDrawing(week, week.days, 992, words)
  const inWeek = new Set(week.rows.flatMap(({ lanes }) => lanes.flat().map(({ loadId }) => loadId)))
  expect(inWeek.size).toBeGreaterThan(2)
  for (const loadId of inWeek) expect(svg).toContain(`<title>${loadId}: `)
  expect(svg).not.toContain('<b>')
  expect(svg).not.toMatch(/NaN|undefined|Infinity|style=|id="/)
  expect(svg).toContain('class="now"')
  expect(svg).toContain('Needed by')
  const later = weekDrawing(weekOf(plan, WORKSHOP, '2027-03-01'), weekOf(plan, WORKSHOP, '2027-03-01').days, 992, words)
  expect(later).not.toContain('class="now"')
})

test('a pot that is out of use for a while is drawn so, in the weeks that it falls into', () => {
  const span = { fromMin: MONDAY + 1440, toMin: MONDAY + 4 * 1440 }
  const leaking = { ...WORKSHOP, pots: WORKSHOP.pots.map(pot => (pot.id === '2' ? { ...pot, outOfUse: [span] } : pot)) }
  const drawn = (monday: string) => {
    const own = weekOf(plan, leaking, monday)
    return { out: own.rows.filter(({ out }) => out.length > 0), svg: weekDrawing(own, own.days, 992, words) }
  }
  const { out, svg } = drawn('2026-03-02')
  expect(out.map(({ potId, out: spans }) => [potId, spans])).toEqual([['2', [span]]])
  expect(svg).toContain('<title>2 is out of use</title>')
  expect(svg).toMatch(/class="out-word">out of use</)
  expect(drawn('2026-03-09').svg).not.toContain('out of use')
})
