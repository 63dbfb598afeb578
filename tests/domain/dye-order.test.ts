/** The order in which a bath is made up: common practice, no source. */
import { describe, expect, test } from 'vitest'
import { bathOrder } from '../../src/domain/dye-order.js'
import { firstCatalogue } from '../../src/domain/first-catalogue/index.js'
import { reckon } from '../../src/domain/reckon.js'
import { JOB_DEFAULTS } from '../../src/domain/reckon-job.js'

const substances = (...ids: string[]) => firstCatalogue.substances.filter(({ id }) => ids.includes(id))
const wordsOf = (...ids: string[]): string => {
  const { before, after } = bathOrder(substances(...ids))
  return `${before} … ${after}`
}
const inOrder = (words: string, ...parts: string[]) => {
  const at = parts.map(part => words.indexOf(part))
  expect(at, words).not.toContain(-1)
  expect(at).toEqual([...at].sort((one, other) => one - other))
}

describe('what goes into the bath when', () => {
  test('a fibre-reactive dye: salt, dye, the fibre, and the soda only afterwards, in parts', () => {
    const words = wordsOf('fibre-reactive-powder', 'common-salt', 'soda-ash')
    inOrder(words, 'common salt', 'stir in the dye', '…', 'soda ash', 'in three parts')
    expect(wordsOf('fibre-reactive-powder', 'common-salt')).not.toContain('binds')
    expect(wordsOf('fibre-reactive-powder')).toBe('Stir in the dye, pasted and dissolved. … ')
  })

  test('by the label: soap, dye, salt, before the fibre', () => {
    inOrder(wordsOf('all-purpose-bottled', 'dish-soap', 'common-salt'), 'dish soap', 'then the dye', 'common salt', '…')
    expect(wordsOf('all-purpose-bottled')).toBe('The dye goes into the hot water first. … ')
  })

  test('a direct or union dye: the salt in parts, once the fibre is in', () => {
    for (const dye of ['direct-dye-powder', 'union-dye-powder'])
      inOrder(wordsOf(dye, 'common-salt'), 'Stir in the dye', '…', 'half of the common salt')
    expect(wordsOf('direct-dye-powder')).toBe(' … ')
  })

  test('of other dyes nothing is said', () => {
    for (const dye of ['weld', 'acid-dye-powder']) expect(wordsOf(dye, 'common-salt')).toBe(' … ')
  })

  test('stands in the dye step of a recipe, around lowering the fibre in', () => {
    const job = {
      ...JOB_DEFAULTS,
      fibreId: 'flax',
      dryWeightG: 500,
      route: 'powder' as const,
      dyes: [{ substanceId: 'fibre-reactive-powder', share: 1, owfPercent: 2 }],
    }
    const dye = reckon(job, firstCatalogue).steps.find(({ key }) => key === 'dye')
    inOrder(dye?.words ?? '', 'common salt', 'stir in the dye', 'Lower the wet fibre in', 'soda ash')
  })
})
