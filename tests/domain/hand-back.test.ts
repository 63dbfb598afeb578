import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import {
  asFound,
  type BundleCheck,
  type BundleIn,
  CONDITIONS_BACK,
  tieStates,
  tiesMissing,
  unchecked,
  weighUp,
} from '../../src/domain/bundle-check.js'
import { lotStanding, NO_REST, troubles, troubleWithRest } from '../../src/domain/hand-back.js'
import { PLACES } from '../../src/domain/place.js'
import { USUAL_BAND } from '../../src/domain/weight-back.js'

const bundle: BundleIn = { lotId: 7, n: 2, tiesIn: 3, dryWeightG: 150, place: 'ready shelf' }
const asItCame: BundleCheck = { ...unchecked(bundle), tiedAgain: true }
const fieldsOf = (check: Partial<BundleCheck>, of: BundleIn = bundle) =>
  troubles(of, { ...asItCame, ...check }).map(({ field }) => field)
const sentencesOf = (check: Partial<BundleCheck>, of: BundleIn = bundle) =>
  troubles(of, { ...asItCame, ...check })
    .map(({ sentence }) => sentence)
    .join(' ')

describe('a bundle on the checklist', () => {
  test('that is tied up again with all its ties asks for nothing', () => {
    expect(troubles(bundle, asItCame)).toEqual([])
  })

  test('that nobody has looked at is named, once', () => {
    expect(troubles(bundle, unchecked(bundle))).toEqual([
      {
        field: 'tiedAgain',
        sentence: 'Lot 7, bundle 2 is not ticked as tied up again: tick it, or say why.',
      },
    ])
  })

  test('with a tie missing asks for words, and takes them', () => {
    expect(fieldsOf({ tiesBack: 2 })).toEqual(['explanation'])
    expect(sentencesOf({ tiesBack: 2 })).toContain('came with 3 ties; 1 is missing (2 back and 0 replaced)')
    expect(sentencesOf({ tiesBack: 0, tiesReplaced: 1 })).toContain('2 are missing (0 back and 1 replaced)')
    for (const silent of [' ', '\u00a0\n', '\u200b', '\u2060\u00ad', '-', '…'])
      expect(fieldsOf({ tiesBack: 2, explanation: silent }), JSON.stringify(silent)).toEqual(['explanation'])
    expect(fieldsOf({ tiesBack: 2, explanation: '紛失' })).toEqual([])
    expect(fieldsOf({ tiesBack: 2, explanation: 'it snapped in the rinse' })).toEqual([])
  })

  test('with a tie replaced adds up without words', () => {
    expect(fieldsOf({ tiesBack: 2, tiesReplaced: 1 })).toEqual([])
  })

  test('with more ties than came is corrected, not explained', () => {
    expect(fieldsOf({ tiesReplaced: 1 })).toEqual(['tiesBack'])
    expect(fieldsOf({ tiesReplaced: 1, explanation: 'one too many' })).toEqual(['tiesBack'])
  })

  test.each([-1, 1.5, Number.NaN])('with %s ties back or replaced is corrected', count => {
    expect(fieldsOf({ tiesBack: count, explanation: 'so it is' })).toEqual(['tiesBack'])
    expect(fieldsOf({ tiesReplaced: count, explanation: 'so it is' })).toEqual(['tiesReplaced'])
  })

  test('that is not found asks for words, and for no ties', () => {
    const lost = asFound({ ...unchecked(bundle), found: false })
    expect(lost.tiesBack).toBe(0)
    expect(troubles(bundle, lost).map(({ field }) => field)).toEqual(['explanation'])
    expect(troubles(bundle, { ...lost, explanation: 'taken by the river' })).toEqual([])
  })

  test('cannot be both tied up again and not found', () => {
    const both = asFound({ ...asItCame, found: false, explanation: 'which is it?' })
    expect(troubles(bundle, both).map(({ field }) => field)).toEqual(['found'])
  })

  test('in another place than the ready shelf does not go back, whatever is said', () => {
    for (const place of PLACES.filter(place => place !== 'ready shelf'))
      expect(fieldsOf({ explanation: 'the client is in a hurry' }, { ...bundle, place })).toEqual(['found'])
  })

  test('that is not found can be explained from a shelf, and not out of a running load', () => {
    const lost = asFound({ ...unchecked(bundle), found: false, explanation: 'nowhere to be seen' })
    const open = PLACES.filter(place => troubles({ ...bundle, place }, lost).length === 0)
    expect(open).toEqual(['arrivals shelf', 'ready shelf'])
  })

  test('that goes back torn asks what happened', () => {
    for (const condition of CONDITIONS_BACK.slice(1)) {
      expect(fieldsOf({ condition })).toEqual(['explanation'])
      expect(fieldsOf({ condition, explanation: 'caught on the hook' })).toEqual([])
    }
  })

  // The band is common practice without a source: 90 % to 115 % of the dry weight, both ends within it.
  test.each([
    [134.9, 'light'],
    [135, 'as expected'],
    [172.5, 'as expected'],
    [172.6, 'heavy'],
  ] as const)('of 150 g that comes back with %s g is %s', (weightG, word) => {
    expect(weighUp(bundle, { ...asItCame, weightG })).toBe(word)
    expect(fieldsOf({ weightG })).toEqual(word === 'as expected' ? [] : ['weightG'])
    expect(fieldsOf({ weightG, explanation: 'loose ends cut off' })).toEqual([])
  })

  test('asks a light one what happened and a heavy one whether it is dry', () => {
    expect(sentencesOf({ weightG: 120 })).toContain('80 % of its dry weight comes back. Weigh it again')
    expect(sentencesOf({ weightG: 195 })).toContain('130 % of its dry weight comes back. Is it dry?')
  })

  test('that was not weighed is not held against a weight', () => {
    expect(weighUp(bundle, asItCame)).toBe('not weighed')
    expect(fieldsOf({ weightG: Number.NaN, explanation: 'the scale is broken' })).toEqual(['weightG'])
  })

  test('without ties is only ticked', () => {
    const loose = { ...bundle, tiesIn: 0 }
    expect(troubles(loose, { ...unchecked(loose), tiedAgain: true })).toEqual([])
    expect(tieStates(loose, unchecked(loose))).toEqual([])
  })
})

describe('the drawing', () => {
  test('shows a tie that is missing and one that was replaced', () => {
    expect(tieStates(bundle, { ...asItCame, tiesBack: 1, tiesReplaced: 1 })).toEqual(['on', 'replaced', 'missing'])
  })
})

describe('a lot', () => {
  test('can go back when all its bundles are ready', () => {
    expect(lotStanding(['ready shelf', 'ready shelf'])).toBe('ready')
    expect(lotStanding(['handed back', 'ready shelf', 'not found'])).toBe('ready')
    expect(lotStanding(['ready shelf', 'arrivals shelf'])).toBe('in part')
    expect(lotStanding(['ready shelf', 'drying line', 'handed back'])).toBe('in part')
    expect(lotStanding(['arrivals shelf', 'handed back'])).toBe('if explained')
    expect(lotStanding(['arrivals shelf', 'pot'])).toBe('stays')
    expect(lotStanding(['handed back', 'not found'])).toBe('gone')
  })

  test('that goes back in part says until when the rest stays, or why', () => {
    expect(troubleWithRest(4, [], NO_REST)).toBe('')
    expect(troubleWithRest(4, [2], NO_REST)).toBe(
      'Lot 4 goes back in part: say until when bundle 2 stays here, or why.',
    )
    expect(troubleWithRest(4, [3, 1, 2], { until: null, words: ' - ' })).toContain('bundles 1 to 3 stay here')
    expect(troubleWithRest(4, [2], { until: '2026-04-03', words: '' })).toBe('')
    expect(troubleWithRest(4, [2], { until: null, words: 'still drying' })).toBe('')
  })
})

const anyBundle = fc.record({
  lotId: fc.constant(1),
  n: fc.integer({ min: 1, max: 200 }),
  tiesIn: fc.integer({ min: 0, max: 6 }),
  dryWeightG: fc.double({ min: 1, max: 40_000, noNaN: true }),
  place: fc.oneof({ weight: 4, arbitrary: fc.constant('ready shelf' as const) }, fc.constantFrom(...PLACES)),
})
const anyCheck = fc.record({
  found: fc.boolean(),
  tiedAgain: fc.boolean(),
  tiesBack: fc.oneof({ weight: 5, arbitrary: fc.integer({ min: -1, max: 7 }) }, fc.double()),
  tiesReplaced: fc.oneof(fc.constant(0), fc.integer({ min: -1, max: 3 })),
  weightG: fc.oneof(fc.constant(null), fc.double({ min: -1, max: 50_000 })),
  weightTyped: fc.constant(''),
  condition: fc.constantFrom(...CONDITIONS_BACK),
  explanation: fc.constantFrom('', '  ', '\n', 'it is so'),
  tagCode: fc.constant(''),
})

test('nothing goes back unless it adds up or is explained', () => {
  let gone = 0
  fc.assert(
    fc.property(anyBundle, anyCheck, (of, typed) => {
      const check = asFound(typed)
      if (troubles(of, check).length > 0) return
      gone += 1
      const counted = check.tiesBack + check.tiesReplaced
      const share = check.weightG === null ? 1 : check.weightG / of.dryWeightG
      const right =
        check.found &&
        check.tiedAgain &&
        counted === of.tiesIn &&
        share >= USUAL_BAND.lightest - 1e-6 &&
        share <= USUAL_BAND.heaviest + 1e-6 &&
        check.condition === 'as it came'
      expect(right || check.explanation.trim() !== '').toBe(true)
      expect(check.found ? of.place : 'ready shelf').toBe('ready shelf')
      expect(tiesMissing(of, check)).toBeGreaterThanOrEqual(0)
      expect(tieStates(of, check).filter(state => state !== 'missing')).toHaveLength(counted)
    }),
    { numRuns: 200 },
  )
  expect(gone).toBeGreaterThan(5)
})

test('what is right and ticked always goes back', () => {
  fc.assert(
    fc.property(anyBundle, fc.nat(), fc.double({ min: 0.9, max: 1.15, noNaN: true }), (of, some, share) => {
      const ready: BundleIn = { ...of, place: 'ready shelf' }
      const tiesReplaced = some % (of.tiesIn + 1)
      const check = {
        ...unchecked(ready),
        tiedAgain: true,
        tiesReplaced,
        tiesBack: of.tiesIn - tiesReplaced,
        weightG: of.dryWeightG * share,
      }
      expect(troubles(ready, check)).toEqual([])
    }),
    { numRuns: 200 },
  )
})
