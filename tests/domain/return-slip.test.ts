import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import { asFound, type BundleCheck, type BundleIn, unchecked } from '../../src/domain/bundle-check.js'
import { accounts, type Checked, differences, slipLines, treatments } from '../../src/domain/return-slip.js'

const bundle = (n: number): BundleIn => ({ lotId: 4, n, tiesIn: 3, dryWeightG: 150, place: 'ready shelf' })
const checked = (n: number, check: Partial<BundleCheck> = {}): Checked => ({
  bundle: bundle(n),
  check: asFound({ ...unchecked(bundle(n)), tiedAgain: true, ...check }),
})

describe('the accounts', () => {
  test('set what went against what came', () => {
    const all = [
      checked(1, { weightG: 148 }),
      checked(2, { tiesBack: 1, tiesReplaced: 1, explanation: 'one snapped' }),
      checked(3, { found: false, tiedAgain: false, explanation: 'not seen since the drying line' }),
    ]
    expect(accounts(all)).toEqual({
      bundlesIn: 3,
      bundlesBack: 2,
      tiesIn: 9,
      tiesBack: 4,
      tiesReplaced: 1,
      tiesMissing: 4,
      weightInG: 450,
      bundlesWeighed: 1,
      weightInOfWeighedG: 150,
      weightBackG: 148,
    })
  })

  test('know no weight when nothing was weighed', () => {
    expect(accounts([checked(1)])).toMatchObject({ weightBackG: null, bundlesWeighed: 0, weightInG: 150 })
  })

  test('add up tie for tie, whatever was counted', () => {
    const counts = fc.tuple(fc.nat(3), fc.nat(3), fc.boolean())
    fc.assert(
      fc.property(fc.array(counts, { maxLength: 60 }), rows => {
        const all = rows.map(([tiesBack, tiesReplaced, found], n) => checked(n + 1, { tiesBack, tiesReplaced, found }))
        const { tiesIn, tiesBack, tiesReplaced, tiesMissing, bundlesIn } = accounts(all)
        expect(tiesBack + tiesReplaced + tiesMissing).toBe(tiesIn)
        expect(bundlesIn).toBe(rows.length)
      }),
      { numRuns: 100 },
    )
  })
})

describe('the lines of the slip', () => {
  test('leave out what went back as it came', () => {
    expect(slipLines([checked(1), checked(2, { weightG: 149 })])).toEqual([])
  })

  test('say each difference and its explanation word for word', () => {
    const line = slipLines([
      checked(1),
      checked(2, {
        tiesBack: 1,
        tiesReplaced: 1,
        tiedAgain: false,
        weightG: 120,
        condition: 'torn',
        explanation: ' The hook tore it.\nSorry. ',
      }),
    ])
    expect(line).toEqual([
      {
        lotId: 4,
        n: 2,
        name: 'Lot 4, bundle 2',
        differences: [
          '1 of 3 ties missing',
          '1 tie replaced from the strip’s own end',
          'not tied up as it came',
          'light: 80 % of the dry weight',
          'torn',
        ],
        explanation: 'The hook tore it.\nSorry.',
      },
    ])
  })

  test('say only that a bundle was not found, not what it lacks', () => {
    const { bundle: lost, check } = checked(3, { found: false, tiedAgain: false, weightG: 20 })
    expect(differences(lost, check)).toEqual(['not found'])
  })

  test('print words that were given without need', () => {
    expect(slipLines([checked(5, { explanation: 'a good one' })])).toMatchObject([{ differences: [], n: 5 }])
  })
})

test('treatments add up each substance over its baths and additions', () => {
  const alum = { substanceId: 'alum', name: 'Potassium alum', unit: 'g' as const }
  const vinegar = { substanceId: 'vinegar', name: 'Vinegar', unit: 'mL' as const, amount: 30 }
  expect(treatments([{ ...alum, amount: 12 }, vinegar, { ...alum, amount: 3 }])).toEqual([
    { ...alum, amount: 15 },
    vinegar,
  ])
  expect(treatments([])).toEqual([])
})
