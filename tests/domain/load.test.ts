import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import {
  asksWhy,
  dueAt,
  type LoadStep,
  lateAfter,
  mayStandUntil,
  minutesLate,
  nextWords,
  type Press,
  standing,
} from '../../src/domain/load.js'
import { STEP_PLACES, type StepPlace } from '../../src/domain/recipe.js'
import { allAfter, allPutBack, allTakenOff, type TieCounts, takenOffUndone } from '../../src/domain/tie-board.js'

const at = (minutes: number): string => new Date(Date.UTC(2026, 2, 2, 9, minutes)).toISOString()

const stepsOf = (...places: [StepPlace, ...Partial<LoadStep>[]][]): LoadStep[] =>
  places.map(([place, more], index) => ({
    n: index + 1,
    key: 'dye',
    title: `Step ${index + 1}`,
    place,
    minutes: 60,
    warmUpMinutes: 0,
    overMinutes: 0,
    lateAfterMinutes: 60,
    temperatureC: null,
    heat: false,
    tiesComeOff: false,
    ...more,
  }))

const pressed = (count: number): Press[] =>
  Array.from({ length: count }, (_, index) => ({ n: index + 1, at: at(index) }))

/** Soak with the ties coming off, dye, stand, rinse, dry: an ordinary bottled dye. */
const ordinary = stepsOf(['soak tub', { tiesComeOff: true }], ['pot'], ['pot'], ['rinse'], ['drying line'])
/** Indigo: dips with airings on the line between them. */
const dips = stepsOf(['soak tub', { tiesComeOff: true }], ['pot'], ['drying line'], ['pot'], ['drying line'], ['rinse'])

describe('where a load stands', () => {
  test('laid: it soaks, with its ties on, and the pot is kept for it', () => {
    expect(standing(ordinary, pressed(1), at(99))).toEqual({
      stepN: 1,
      stepSince: at(0),
      place: 'soak tub',
      tiesAreOff: false,
      potFreeAt: null,
      doneAt: null,
    })
  })

  test('when the soak ends the ties are off', () => {
    expect(standing(ordinary, pressed(2), at(99))).toMatchObject({ stepN: 2, place: 'pot', tiesAreOff: true })
  })

  test('the pot is free when the rinse begins', () => {
    expect(standing(ordinary, pressed(3), at(99)).potFreeAt).toBeNull()
    expect(standing(ordinary, pressed(4), at(99))).toMatchObject({ place: 'rinse', potFreeAt: at(3), doneAt: null })
    expect(standing(ordinary, pressed(5), at(99))).toMatchObject({ place: 'drying line', potFreeAt: at(3) })
  })

  test('an airing between two dips does not free the pot; the last one does', () => {
    expect(standing(dips, pressed(3), at(99))).toMatchObject({ place: 'drying line', potFreeAt: null })
    expect(standing(dips, pressed(5), at(99))).toMatchObject({ place: 'drying line', potFreeAt: at(4) })
  })

  test('past the last step it is done and lies on the ready shelf', () => {
    expect(standing(ordinary, pressed(6), at(99))).toEqual({
      stepN: 5,
      stepSince: at(5),
      place: 'ready shelf',
      tiesAreOff: false,
      potFreeAt: at(3),
      doneAt: at(5),
    })
  })

  test('a load that ends in the pot frees it when it is done', () => {
    const short = stepsOf(['pot'])
    expect(standing(short, pressed(1), at(99)).potFreeAt).toBeNull()
    expect(standing(short, pressed(2), at(99))).toMatchObject({ potFreeAt: at(1), doneAt: at(1) })
  })

  test('without any press it was taken out again', () => {
    expect(standing(ordinary, [], at(99))).toMatchObject({ stepN: 1, place: null, potFreeAt: at(99), doneAt: at(99) })
  })
})

const anySteps = fc
  .array(fc.record({ place: fc.constantFrom(...STEP_PLACES), tiesComeOff: fc.boolean() }), {
    minLength: 1,
    maxLength: 9,
  })
  .map(places =>
    stepsOf(...places.map(({ place, tiesComeOff }): [StepPlace, Partial<LoadStep>] => [place, { tiesComeOff }])),
  )

const none: TieCounts = { tiesIn: -1, tiesOn: -1, tiesOff: -1, tiesLost: -1, tiesReplaced: -1 }

describe('any sequence of presses and undoings', () => {
  test('keeps the ties adding up and restores exactly what was undone', () => {
    fc.assert(
      fc.property(anySteps, fc.nat(12), fc.array(fc.boolean(), { maxLength: 40 }), (steps, on, acts) => {
        const presses: Press[] = [{ n: 1, at: at(0) }]
        let ties: TieCounts = { tiesIn: on, tiesOn: on, tiesOff: 0, tiesLost: 0, tiesReplaced: 0 }
        const past: { stands: unknown; ties: unknown }[] = []
        acts.forEach((forward, index) => {
          const before = standing(steps, presses, '')
          if (forward && before.doneAt === null) {
            past.push({ stands: before, ties })
            presses.push({ n: presses.length + 1, at: at(index + 1) })
            const after = standing(steps, presses, '')
            if (after.tiesAreOff && !before.tiesAreOff) ties = allAfter(ties, allTakenOff(ties)) ?? none
            if (!after.tiesAreOff && before.tiesAreOff) ties = allAfter(ties, allPutBack(ties)) ?? none
          } else if (!forward && presses.length > 1) {
            presses.pop()
            const after = standing(steps, presses, '')
            if (!after.tiesAreOff && before.tiesAreOff) ties = allAfter(ties, takenOffUndone(ties, on)) ?? none
            if (after.tiesAreOff && !before.tiesAreOff) ties = allAfter(ties, allTakenOff(ties)) ?? none
            expect({ stands: after, ties }).toEqual(past.pop())
          }
          const { tiesAreOff } = standing(steps, presses, '')
          expect([ties.tiesOn, ties.tiesOff]).toEqual(tiesAreOff ? [0, on] : [on, 0])
        })
      }),
      { numRuns: 200 },
    )
  })

  test('once free, the pot stays free as the load goes on, and no later step is in it', () => {
    fc.assert(
      fc.property(anySteps, steps => {
        const after = Array.from({ length: steps.length + 1 }, (_, count) => standing(steps, pressed(count + 1), ''))
        const free = after.findIndex(({ potFreeAt }) => potFreeAt !== null)
        expect(free).toBeGreaterThanOrEqual(0)
        for (const later of after.slice(free)) {
          expect(later.potFreeAt).toBe(after[free]?.potFreeAt)
          expect(later.place).not.toBe('pot')
        }
      }),
      { numRuns: 200 },
    )
  })
})

describe('when a step is due out', () => {
  test('its minutes after it began, across midnight', () => {
    expect(dueAt({ minutes: 720 }, '2026-03-02T18:30:00.000Z')).toBe('2026-03-03T06:30:00.000Z')
  })

  test('a step without a length is never late', () => {
    expect(dueAt({ minutes: null }, at(0))).toBeNull()
    expect(minutesLate({ minutes: null, lateAfterMinutes: null }, at(0), at(999))).toBe(0)
  })

  test('late by the minutes past it', () => {
    const hour = { minutes: 60, lateAfterMinutes: 60 }
    expect(minutesLate(hour, at(0), at(45))).toBe(0)
    expect(minutesLate(hour, at(0), at(60))).toBe(0)
    expect(minutesLate(hour, at(0), at(95))).toBe(35)
    expect(mayStandUntil(hour, at(0))).toBeNull()
  })

  test('a bath left overnight is due in the morning, and late only when it may stand no longer', () => {
    const night = { minutes: 720, lateAfterMinutes: 1440 }
    expect(dueAt(night, at(0))).toBe(at(720))
    expect(minutesLate(night, at(0), at(900))).toBe(0)
    expect(mayStandUntil(night, at(0))).toBe(at(1440))
    expect(minutesLate(night, at(0), at(1450))).toBe(10)
  })

  test('how long a step may stand: its own most, a day when it may stand overnight, else its planned time', () => {
    const step = { minutes: 60, atMostMinutes: null, mayStandOvernight: false }
    expect(lateAfter(step)).toBe(60)
    expect(lateAfter({ ...step, mayStandOvernight: true })).toBe(1440)
    expect(lateAfter({ ...step, mayStandOvernight: true, atMostMinutes: 600 })).toBe(600)
    expect(lateAfter({ ...step, minutes: 2000, mayStandOvernight: true })).toBe(2000)
    expect(lateAfter({ ...step, minutes: null, atMostMinutes: 30 })).toBeNull()
  })
})

describe('what comes next, in words', () => {
  const [soak, dye, stand, rinse, dry] = stepsOf(
    ['soak tub', { title: 'Soak' }],
    ['pot', { title: 'Dye' }],
    ['pot', { title: 'Leave it in the bath overnight', key: 'stand' }],
    ['rinse', { title: 'Rinse until the water runs clear' }],
    ['drying line', { title: "Dry in the bundle's shape", key: 'dry' }],
  )
  const [dip, air] = stepsOf(['pot', { title: 'Dip 1' }], ['drying line', { title: 'Air 1', key: 'air' }])

  test.each([
    [soak, dye, 'Lower into Pot 2: Dye'],
    [dye, stand, 'Leave it in the bath overnight'],
    [dye, dye, 'Into the next bath: Dye'],
    [stand, rinse, 'Lift into the rinse'],
    [rinse, dry, 'Hang up to dry'],
    [dip, air, 'Lift out: Air 1'],
    [air, dip, 'Lower into Pot 2: Dip 1'],
    [dry, undefined, 'Lay on the ready shelf'],
  ])('%#: %o', (now, next, words) => {
    expect(now && nextWords(now, next, 'Pot 2')).toBe(words)
  })
})

describe('going on while the water still runs', () => {
  const [pot, rinse, dry, air] = stepsOf(['pot'], ['rinse'], ['drying line'], ['drying line'])

  test.each([
    [rinse, dry, 'dark', true],
    [rinse, dry, 'coloured', true],
    [rinse, undefined, 'coloured', true],
    [rinse, dry, 'tinted', false],
    [rinse, dry, 'clear', false],
    [rinse, dry, null, false],
    [rinse, pot, 'dark', false],
    [pot, air, 'dark', false],
  ] as const)('%#', (now, next, water, asks) => {
    expect(now && asksWhy(now, next, water)).toBe(asks)
  })
})
