import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import { firstCatalogue } from '../../src/domain/first-catalogue/index.js'
import { type LoadStep, standing, takesOut } from '../../src/domain/load.js'
import { differsAsBath, shareOf } from '../../src/domain/load-share.js'
import { sayLots } from '../../src/domain/lot.js'
import { coloursDiffer, type Owner, troubleCounted, whyNotShared } from '../../src/domain/one-bath.js'
import { STEP_PLACES } from '../../src/domain/recipe.js'
import { reckon } from '../../src/domain/reckon.js'
import { jobOf } from '../pots-kit.js'

const owner = (clientId: number, sharesBath: Owner['sharesBath']): Owner => ({
  clientId,
  clientName: `client ${clientId}`,
  sharesBath,
})

describe('whose fibre may share a bath', () => {
  test('that of one owner needs no leave', () => {
    expect(whyNotShared([owner(1, 'never'), owner(1, 'never')])).toBeNull()
  })
  test('that of several only with the leave of each', () => {
    expect(whyNotShared([owner(1, 'may'), owner(2, 'may'), owner(3, 'may')])).toBeNull()
    expect(whyNotShared([owner(1, 'not asked'), owner(2, 'never')])).toContain('client 2 has said')
    expect(whyNotShared([owner(1, 'may'), owner(2, 'not asked')])).toContain('client 2 was not asked')
  })
})

test('a dye that comes in every colour makes one bath of one colour only', () => {
  const green = { route: 'label' as const, colour: 'bottle green' }
  expect(coloursDiffer([green, { ...green, colour: 'Bottle  Green' }])).toBeNull()
  expect(coloursDiffer([green, { ...green, colour: 'harbour blue' }])).toBe(
    'the colour asked (bottle green; harbour blue)',
  )
  const gold = { route: 'plant' as const, colour: 'old gold' }
  expect(coloursDiffer([gold, { ...gold, colour: 'straw' }])).toBeNull()
})

describe('what comes out of it', () => {
  const lot = {
    lotId: 5,
    bundles: [
      { n: 1, code: 'AB 1' },
      { n: 3, code: 'CD 2' },
    ],
    lostNs: [2],
  }
  test('is as much as went in, without what was lost', () => {
    expect(troubleCounted(lot, 2)).toBeNull()
  })
  test('is told with the tags to look for', () => {
    expect(troubleCounted(lot, 1)).toMatch(
      /^Lot 5: 1 counted out, 2 expected, and 2 is written down as lost\. .*1 \(AB 1\), 3 \(CD 2\)/,
    )
    expect(troubleCounted(lot, 3)).toContain('A bundle of another lot lies among them')
    expect(troubleCounted(lot, undefined)).toBe('Count the bundles of lot 5 as they come out.')
  })
})

test('the shares of an amount add up to it, each by its weight to a ten-thousandth of the whole', () => {
  const grams = fc.array(fc.integer({ min: 1, max: 40_000 }), { minLength: 1, maxLength: 5 })
  const amounts = fc.tuple(fc.integer({ min: 1, max: 99_999 }), fc.integer({ min: -3, max: 0 }))
  fc.assert(
    fc.property(amounts, grams, ([digits, power], weights) => {
      const amount = digits * 10 ** power
      const loadG = weights.reduce((sum, weight) => sum + weight, 0)
      const shares = weights.map((lotG, at) => {
        const beforeG = weights.slice(0, at).reduce((sum, weight) => sum + weight, 0)
        return shareOf(amount, { beforeG, lotG, loadG })
      })
      expect(shares.reduce((sum, share) => sum + share, 0) / amount).toBeCloseTo(1, 9)
      for (const [at, share] of shares.entries())
        expect(Math.abs(share - (amount * (weights[at] ?? 0)) / loadG)).toBeLessThanOrEqual(amount * 0.001)
    }),
  )
  expect(shareOf(78, { beforeG: 0, lotG: 760, loadG: 1240 })).toBe(47.81)
  expect(shareOf(78, { beforeG: 760, lotG: 480, loadG: 1240 })).toBe(30.19)
  expect(shareOf(0.1 + 0.2, { beforeG: 0, lotG: 600, loadG: 600 })).toBe(0.1 + 0.2)
})

test('bundles are taken out by the press that frees the pot, and by the one that ends the load', () => {
  const steps = fc.array(fc.constantFrom(...STEP_PLACES), { minLength: 1, maxLength: 7 })
  fc.assert(
    fc.property(steps, places => {
      const load = places.map(
        (place, at): LoadStep => ({
          ...{ n: at + 1, key: 'dye', title: '', place, minutes: null, lateAfterMinutes: null, temperatureC: null },
          ...{ heat: false, tiesComeOff: false, warmUpMinutes: 0, overMinutes: 0 },
        }),
      )
      // Said another way: by where the load stands before and after the press.
      const after = (presses: number) =>
        standing(
          load,
          Array.from({ length: presses }, (_, at) => ({ n: at + 1, at: `t${at}` })),
          '',
        )
      for (let n = 2; n <= load.length + 1; n += 1) {
        const [was, is] = [after(n - 1), after(n)]
        const frees = was.potFreeAt === null && is.potFreeAt !== null
        expect(takesOut(load, n)).toBe(frees || is.doneAt !== null)
      }
    }),
  )
})

test('two baths are the same by what goes into them and how, whatever the lots are called', () => {
  const recipe = (more = {}) => reckon(jobOf(500, more), firstCatalogue)
  expect(differsAsBath(recipe(), recipe({ tiesUndyed: true, purposes: ['class use'] }))).toEqual([])
  expect(differsAsBath(recipe(), recipe({ depth: 2 }))).toContain('the depth')
  expect(differsAsBath(recipe(), recipe({ dryBasis: 'oven-dry' }))).toContain('what counts as dry')
  const warm = recipe()
  const cold = { ...warm, steps: warm.steps.map(step => ({ ...step, temperatureC: 20 })) }
  expect(differsAsBath(warm, cold)).toEqual(['the times and the heat of the steps'])
})

test('lots are named as people say them', () => {
  expect([[3], [3, 5], [3, 5, 9]].map(sayLots)).toEqual(['lot 3', 'lots 3 and 5', 'lots 3, 5 and 9'])
})
