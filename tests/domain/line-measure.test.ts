import { describe, expect, test } from 'vitest'
import { measureOf } from '../../src/domain/line-measure.js'
import { sayRatio } from '../../src/domain/quantity.js'
import { ML, type Units } from '../../src/domain/unit.js'

const metric: Units = { weight: 'metric', volume: 'metric' }
const us: Units = { weight: 'pounds', volume: 'us' }
const imperial: Units = { weight: 'pounds', volume: 'imperial' }
// NIST Handbook 44 Appendix C: a US tablespoon is half a US fluid ounce, a cup eight of them.
const [tablespoonMl = 0, cupMl = 0] = [ML.us.tbsp, ML.us.cup]

const soap = { amount: 3 * tablespoonMl, unit: 'mL' as const, alsoShown: ['3 US tablespoons'] }
const salt = { amount: 283.4, unit: 'g' as const, alsoShown: ['1 US cup'] }
const bottle = { amount: 2 * cupMl, unit: 'mL' as const, alsoShown: ['2 bottles'] }

describe('an amount of a substance', () => {
  test.each([
    ['metric, in millilitres alone', soap, metric, '44 mL', []],
    ['US, once in spoons', soap, us, '3 tbsp', ['44 mL']],
    ['imperial', soap, imperial, '1½ fl oz', ['44 mL']],
    ['metric salt', salt, metric, '283 g', []],
    ['US salt', salt, us, '283 g', ['1 US cup', '10 oz']],
    ['imperial salt', salt, imperial, '283 g', ['10 oz']],
    ['a bottle, anywhere', bottle, metric, '473 mL', ['2 bottles']],
    ['a bottle in a US workshop', bottle, us, '2 cups', ['473 mL', '2 bottles']],
  ] as const)('%s', (_where, line, units, amount, also) => {
    expect(measureOf({ ...line, alsoShown: [...line.alsoShown] }, units, 1)).toEqual({ amount, also })
  })

  test('that was weighed is said as it was weighed, whatever the scale of today', () => {
    const weighed = { amount: 12.3, unit: 'g' as const, alsoShown: [] }
    expect(measureOf(weighed, metric, null).amount).toBe('12.3 g')
    expect(measureOf(weighed, metric, 1).amount).toBe('12 g')
  })

  test('that is measured in a glass is rounded as it is poured: 19.6 mL is 20 mL, 9.6 mL stays', () => {
    const said = (amount: number, stepG: number | null) =>
      measureOf({ amount, unit: 'mL', alsoShown: [] }, metric, stepG).amount
    expect([said(19.6, 1), said(9.6, 1), said(19.6, null)]).toEqual(['20 mL', '9.6 mL', '19.6 mL'])
  })

  test('of less than an ounce, or less than a kitchen measures, is given once', () => {
    expect(measureOf({ amount: 20, unit: 'g', alsoShown: [] }, us, 1)).toEqual({ amount: '20 g', also: [] })
    expect(measureOf({ amount: 2, unit: 'mL', alsoShown: [] }, us, 1)).toEqual({ amount: '2 mL', also: [] })
  })
})

// 20 L of bath weigh 20 kg: twenty parts to one (Beech 1901, p. 108, gives "fifteen times the weight" so).
test.each([
  [20, '1 : 20'],
  [12.5, '1 : 12.5'],
  [33.333, '1 : 33.3'],
])('%d L per kg is a liquor ratio of %s', (lPerKg, said) => {
  expect(sayRatio(lPerKg)).toBe(said)
})
