import { describe, expect, test } from 'vitest'
import type { Catalogue, Entry, Figure } from '../../src/domain/catalogue.js'
import { figuresOf } from '../../src/domain/catalogue-entry.js'
import { type UsedIn, useOf } from '../../src/domain/catalogue-uses.js'
import { firstCatalogue } from '../../src/domain/first-catalogue/index.js'
import { ROUTE_OF_CLASS } from '../../src/domain/job-for-lot.js'
import { withValue } from '../../src/domain/json-path.js'
import { entryOf } from '../../src/domain/read-entry.js'
import type { Recipe, RecipeJob } from '../../src/domain/recipe.js'
import { reckon } from '../../src/domain/reckon.js'
import { Refusal } from '../../src/domain/refusal.js'
import { firstEntries, firstEntry, names } from './catalogue-kit.js'
import { aJob, dyed, figure, mordanted } from './recipe-kit.js'

/** The first catalogue with one entry in the place of the one of that name. */
function catalogueWith({ kind, entry }: Entry): Catalogue {
  const swap = <T extends { id: string }>(list: T[], other: T) => list.map(one => (one.id === other.id ? other : one))
  if (kind === 'fibre') return { ...firstCatalogue, fibres: swap(firstCatalogue.fibres, entry) }
  if (kind === 'substance') return { ...firstCatalogue, substances: swap(firstCatalogue.substances, entry) }
  return firstCatalogue
}

const DYES = [
  'all-purpose-bottled',
  'direct-dye-powder',
  'acid-dye-powder',
  'basic-dye-powder',
  'fibre-reactive-powder',
]
const MORE = ['union-dye-powder', 'weld', 'cochineal', 'ferrous-sulfate', 'indigo-copperas-vat']

/** Jobs in which the figures of this entry could play a part: every class of dye, pale, medium and deep. */
function jobsFor({ kind, entry }: Entry): RecipeJob[] {
  const depths = [0.25, 1, 2]
  const job = (given: Partial<RecipeJob>) => depths.map(depth => aJob({ fibreId: 'flax', depth, ...given }))
  // By the catalogue's own amount, and by a typed one where nobody knows it.
  const amounts = [null, 10]
  const byDye = (substanceId: string, fibreId = 'flax') => {
    const { entry: dye } = firstEntry(substanceId)
    if (!('dyeClass' in dye) || dye.dyeClass === null) return []
    const route = ROUTE_OF_CLASS[dye.dyeClass]
    return amounts.flatMap(owf => job({ fibreId, route, dyes: [dyed(substanceId, owf)] }))
  }
  if (kind === 'fibre') return [...DYES, ...MORE].flatMap(id => byDye(id, entry.id))
  if (kind === 'rule') return []
  const dyes = [dyed('weld')]
  const asMordant = amounts.flatMap(owf => job({ dyes, mordants: [mordanted(entry.id, owf)] }))
  const added = job({ dyes, extras: [{ substanceId: entry.id, basis: '% owf', amount: 3 }] })
  return [...byDye(entry.id), ...(entry.mordantDose === null ? [] : asMordant), ...added]
}

function reckoned(job: RecipeJob, catalogue: Catalogue): Recipe | null {
  try {
    return reckon(job, catalogue)
  } catch (error) {
    if (error instanceof Refusal) return null
    throw error
  }
}

const PARTS: Exclude<UsedIn, 'none'>[] = ['lines', 'baths', 'steps', 'spentBath', 'basisWords']

/** The parts of a recipe that change in any of the jobs when the figure does. */
function changedBy(entry: Entry, path: string, other: Figure): Set<UsedIn> {
  const catalogue = catalogueWith(withFigure(entry, path, other))
  const changed = new Set<UsedIn>()
  for (const job of jobsFor(entry)) {
    const [before, after] = [reckoned(job, catalogueWith(entry)), reckoned(job, catalogue)]
    if (before === null || after === null) continue
    for (const part of PARTS) if (JSON.stringify(before[part]) !== JSON.stringify(after[part])) changed.add(part)
  }
  return changed
}

const withFigure = ({ kind, entry }: Entry, path: string, other: Figure): Entry =>
  entryOf(kind, withValue(entry, path, other))

/** Another value within its bounds, far enough to be seen. */
const otherThan = ({ figure: now, least, most }: { figure: Figure | null; least: number; most: number }): Figure => {
  const value = now?.value ?? 0
  const doubled = figure(Math.min(most, Math.max(least, value === 0 ? least + 1 : value * 2)))
  return doubled.value === value ? figure(Math.max(least, value / 2)) : doubled
}

describe('what a figure is used for', () => {
  test.each(firstEntries.filter(({ kind }) => kind !== 'rule').map(one => [one.entry.id, one] as const))(
    'is so for every known figure of %s: just that part of a recipe changes with it',
    (_, entry) => {
      for (const shown of figuresOf(entry, names).filter(one => one.figure !== null)) {
        const changed = changedBy(entry, shown.path, otherThan(shown))
        const { in: where } = useOf(entry, shown.path, names)
        if (where === 'none') expect([...changed], shown.path).toEqual([])
        else expect([...changed], shown.path).toContain(where)
      }
    },
  )

  test('is told by route and role', () => {
    const said = (id: string, path: string) => useOf(firstEntry(id), path, names).words
    expect(said('flax', 'takeUp.indigo')).toBe('multiplies the line of every indigo dye, on the route “indigo vat”')
    expect(said('weld', 'owfPercent.deep')).toContain('in shades deeper than medium, on the route “plant or insect dye')
    expect(said('weld', 'assistants.0.amount')).toContain('the line of chalk in the dye bath of this dye')
    expect(said('potassium-alum', 'mordantDose.amount')).toContain('its line as mordant, before, in or after')
    expect(said('ferrous-sulfate', 'mordantDose.amount')).toContain('its line as iron')
    expect(said('potassium-alum', 'mordantAssistants.0.amount')).toContain('the line of soda crystals in the bath')
    expect(said('ferrous-sulfate', 'bath.minutes')).toBe(
      'length of its dye bath, on the route “iron alone”; of its mordant bath, on every route',
    )
    expect(said('indigo-fructose-vat', 'vat.perGram.1.ratio')).toContain('the line of fructose in the stock')
    expect(said('indigo-fructose-vat', 'bath.minutes')).toBe('length of its stock, on the route “indigo vat”')
    expect(said('weld', 'bath.temperatureC')).toContain(
      'temperature of its dye bath, on the route “plant or insect dye',
    )
    expect(said('indigo-copperas-vat', 'vat.stockLPerG')).toBe('water of the stock, on the route “indigo vat”')
    expect(said('indigo-copperas-vat', 'vat.dips')).toContain('number of dips')
    expect(said('indigo-copperas-vat', 'vat.dipMinutes')).toContain('length of each dip')
    expect(said('indigo-copperas-vat', 'vat.airingMinutes')).toContain('length of each airing')
    expect(said('indigo-fructose-vat', 'vat.lowestPh')).toContain('the window in which the vat is kept')
    expect(said('ferrous-sulfate', 'metalFraction')).toBe('how much iron the spent bath holds, on every route')
  })

  test('is nothing where no recipe is reckoned from it', () => {
    expect(useOf(firstEntry('chalk'), 'molarMassGPerMol')).toMatchObject({ in: 'none' })
    expect(useOf(firstEntry('chalk'), 'owfPercent.medium').words).toBe('no line: it is not a dye')
    expect(useOf(firstEntry('chalk'), 'bath.minutes').words).toContain('neither a dye nor a mordant')
    expect(useOf(firstEntry('all-purpose-bottled'), 'owfPercent.medium').in).toBe('none')
    expect(useOf(firstEntry('weld'), 'label.containerHolds').in).toBe('none')
    expect(useOf(firstEntry('weld'), 'vat.dips').words).toBe('no line: only an indigo dye is dyed from a vat')
    expect(useOf(firstEntry('weld'), 'label.containersPerKg').words).toContain(
      'only an all-purpose dye goes by its tin',
    )
    expect(useOf(firstEntry('vinegar'), 'gramsPerTeaspoon').in).toBe('none')
    expect(useOf(firstEntry('weld'), 'colour')).toEqual({ in: 'none', words: 'no line of a recipe' })
    expect(useOf(firstEntry('red-cedar-indigo'), 'words').in).toBe('none')
  })

  test('goes with the class of the entry: what would go into the bath of a dye that is none', () => {
    const salt = [{ substanceId: 'common-salt', basis: 'per kg', amount: null, words: '' }]
    const withSalt = ({ kind, entry }: Entry) => entryOf(kind, withValue(entry, 'assistants', salt))
    const path = 'assistants.0.amount'
    expect(useOf(withSalt(firstEntry('chalk')), path, names)).toEqual({ in: 'none', words: 'no line: it is not a dye' })
    expect(useOf(withSalt(firstEntry('indigo-fructose-vat')), path, names).words).toBe(
      'the line of common salt in the vat, on the route “indigo vat”',
    )
    expect(useOf(withSalt(firstEntry('weld')), path).words).toContain('the line of common-salt in the dye bath')
  })

  test('is said of every figure, known or not', () => {
    for (const entry of firstEntries)
      for (const { path } of figuresOf(entry)) expect(useOf(entry, path).words, path).not.toBe('')
  })
})
