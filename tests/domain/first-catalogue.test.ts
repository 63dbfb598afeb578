import { describe, expect, test } from 'vitest'
import {
  CONDITIONS,
  DYE_CLASSES,
  FIBRE_PARTS,
  type Figure,
  NOT_KNOWN,
  PROVENANCE_KINDS,
} from '../../src/domain/catalogue.js'
import { figuresOf } from '../../src/domain/catalogue-entry.js'
import { firstCatalogue } from '../../src/domain/first-catalogue/index.js'
import { firstEntries } from './catalogue-kit.js'

const { fibres, substances, rules } = firstCatalogue
const ids = (entries: { id: string }[]) => entries.map(entry => entry.id)
const substanceOf = (id: string) => {
  const found = substances.find(one => one.id === id)
  if (found === undefined) throw new Error(`no ${id}`)
  return found
}

describe('the first catalogue', () => {
  test('has the fibres and substances that a workshop starts with', () => {
    expect(fibres.length).toBeGreaterThanOrEqual(16)
    expect(substances.length).toBeGreaterThanOrEqual(30)
    expect(ids(fibres)).toEqual(
      expect.arrayContaining([
        'red-cedar-inner-bark',
        'yellow-cedar-inner-bark',
        'lime-inner-bark',
        'willow-inner-bark',
        'elm-inner-bark',
        'willow-rods-buff',
        'willow-rods-white',
        'rattan-core',
        'raffia',
        'soft-rush',
        'cattail',
        'seagrass',
        'paper-mulberry-bast',
        'nettle-bast',
        'flax',
        'hemp',
        'jute',
        'ramie',
        'sisal',
      ]),
    )
    expect(new Set(substances.map(one => one.dyeClass)).size).toBe(DYE_CLASSES.length + 1)
  })

  test('tells of every fibre its water, soak, heat and drying, and its take-up by every class, or that it is not known', () => {
    for (const entry of firstEntries.filter(({ kind }) => kind === 'fibre')) {
      const figures = figuresOf(entry)
      expect(figures.map(({ path }) => path)).toEqual([
        'regainPercent',
        'liquorRatioLPerKg',
        'soakMinutes',
        'soakTemperatureC',
        'dyeMinutes',
        'hottestC',
        'dryingHours',
        ...DYE_CLASSES.map(one => `takeUp.${one}`),
      ])
      for (const { figure, whenNull } of figures) if (figure === null) expect(whenNull).toBe(NOT_KNOWN)
    }
  })

  test('has dyestuffs, mordants and what goes with them, of each a good number', () => {
    const count = (...kinds: string[]) => substances.filter(one => kinds.includes(one.kind)).length
    expect(count('dyestuff')).toBeGreaterThanOrEqual(20)
    expect(count('mordant')).toBeGreaterThanOrEqual(8)
    expect(count('assistant', 'acid', 'alkali', 'reducing agent')).toBeGreaterThanOrEqual(12)
  })

  test('every id is a slug of its own', () => {
    const all = [...ids(fibres), ...ids(substances), ...ids(rules)]
    expect(new Set(all).size).toBe(all.length)
    for (const id of all) expect(id).toMatch(/^[a-z0-9]+(-[a-z0-9]+)*$/)
  })

  test('is plain JSON', () => {
    expect(JSON.parse(JSON.stringify(firstCatalogue))).toEqual(firstCatalogue)
  })

  test('every figure is within its bounds and says where it comes from', () => {
    const figures = firstEntries.flatMap(entry => figuresOf(entry))
    const known = figures.filter(one => one.figure !== null)
    expect(known.length).toBeGreaterThan(150)
    for (const { path, figure, least, most } of known) {
      expect(figure?.value, path).toBeGreaterThanOrEqual(least)
      expect(figure?.value, path).toBeLessThanOrEqual(most)
    }
  })

  test('every provenance has a kind and a source, and memory says so', () => {
    const provenances = collect(firstCatalogue)
    expect(provenances.length).toBeGreaterThan(200)
    for (const { kind, source } of provenances) {
      expect(PROVENANCE_KINDS).toContain(kind)
      expect(source.trim()).not.toBe('')
      if (kind === 'from memory') expect(source).toContain('from memory')
      if (kind === 'common practice') expect(source).toBe('common practice, no source')
    }
  })

  test('whatever an entry names is in the catalogue', () => {
    const doses = substances.flatMap(one => [...one.assistants, ...one.mordantAssistants, ...(one.vat?.perGram ?? [])])
    for (const { substanceId } of doses) expect(ids(substances)).toContain(substanceId)
    for (const rule of rules) {
      for (const id of rule.fibreIds) expect(ids(fibres), rule.id).toContain(id)
      for (const id of [...rule.dyeIds, ...rule.mordantIds]) expect(ids(substances), rule.id).toContain(id)
      for (const id of rule.mordantIds) expect(substanceOf(id).mordantDose, rule.id).not.toBeNull()
      for (const part of rule.fibreParts) expect(FIBRE_PARTS).toContain(part)
      for (const condition of rule.conditions) expect(CONDITIONS).toContain(condition)
    }
  })

  test('every soak is an hour at least (common practice), every fibre has a liquor ratio', () => {
    for (const fibre of fibres) {
      expect(fibre.soakMinutes?.value).toBeGreaterThanOrEqual(60)
      expect(fibre.liquorRatioLPerKg?.value).toBeGreaterThanOrEqual(15)
      expect(fibre.liquorRatioLPerKg?.value).toBeLessThanOrEqual(25)
    }
  })

  test('an extract is stronger than its chips', () => {
    for (const name of ['logwood', 'osage-orange']) {
      expect(substanceOf(`${name}-extract`).relativeStrength?.value).toBeGreaterThan(1)
      expect(substanceOf(`${name}-extract`).owfPercent).toEqual(expect.objectContaining({ medium: expect.anything() }))
    }
  })
})

describe('outside checks', () => {
  test.each([
    ['flax', 12],
    ['hemp', 12],
    ['jute', 13.75],
  ])('regain of %s is %d %% (commercial regain, ASTM D1909-13)', (id, percent) => {
    const regain = fibres.find(fibre => fibre.id === id)?.regainPercent
    expect(regain?.value).toBe(percent)
    expect(regain?.provenance.kind).toBe('standard')
    expect(regain?.provenance.source).toContain('ASTM D1909-13')
  })

  /** Abridged standard atomic weights, CIAAW/IUPAC 2021 (Pure Appl. Chem. 2022). */
  const H = 1.008
  const C = 12.011
  const N = 14.007
  const O = 15.999
  const Na = 22.98976928
  const Al = 26.9815384
  const S = 32.06
  const Cl = 35.45
  const K = 39.0983
  const Ca = 40.078
  const Fe = 55.845
  const Cu = 63.546
  const water = 2 * H + O
  const SO4 = S + 4 * O

  test.each<[string, number, number | null]>([
    ['potassium-alum', K + Al + 2 * SO4 + 12 * water, Al],
    ['ammonium-alum', N + 4 * H + Al + 2 * SO4 + 12 * water, Al],
    ['aluminium-sulfate', 2 * Al + 3 * SO4 + 18 * water, 2 * Al],
    ['aluminium-acetate', Al + O + H + 2 * (2 * C + 3 * H + 2 * O), Al],
    ['ferrous-sulfate', Fe + SO4 + 7 * water, Fe],
    ['copper-sulfate', Cu + SO4 + 5 * water, Cu],
    ['common-salt', Na + Cl, null],
    ['glaubers-salt', 2 * Na + SO4 + 10 * water, null],
    ['sodium-sulfate', 2 * Na + SO4, null],
    ['soda-ash', 2 * Na + C + 3 * O, null],
    ['soda-crystals', 2 * Na + C + 3 * O + 10 * water, null],
    ['chalk', Ca + C + 3 * O, null],
    ['hydrated-lime', Ca + 2 * O + 2 * H, null],
    ['quicklime', Ca + O, null],
    ['citric-acid', 6 * C + 8 * H + 7 * O, null],
    ['vinegar', 2 * C + 4 * H + 2 * O, null],
    ['cream-of-tartar', K + 5 * H + 4 * C + 6 * O, null],
    ['sodium-dithionite', 2 * Na + 2 * S + 4 * O, null],
    ['thiourea-dioxide', C + 4 * H + 2 * N + 2 * O + S, null],
  ])('%s: molar mass and metal follow from the atomic weights', (id, molarMass, metal) => {
    const { molarMassGPerMol, metalFraction } = substanceOf(id)
    expect(molarMassGPerMol?.value).toBeCloseTo(molarMass, 2)
    if (metal === null) expect(metalFraction).toBeNull()
    else expect(metalFraction?.value).toBeCloseTo(metal / molarMass, 4)
  })

  test('the alums are exchanged for equal aluminium, and their soda with them', () => {
    const aluminium = (id: string) => {
      const { mordantDose, metalFraction, mordantAssistants } = substanceOf(id)
      const owf = numberIn(mordantDose?.amount ?? null)
      return [owf * numberIn(metalFraction), owf * numberIn(mordantAssistants[0]?.amount ?? null)]
    }
    const [metal = 0, soda = 0] = aluminium('potassium-alum')
    for (const id of ['ammonium-alum', 'aluminium-sulfate']) {
      expect(aluminium(id)[0]).toBeCloseTo(metal, 2)
      expect(aluminium(id)[1]).toBeCloseTo(soda, 2)
    }
  })
})

const numberIn = (figure: Figure | null): number => figure?.value ?? Number.NaN

/** Every { kind, source } anywhere inside. */
function collect(value: unknown): { kind: string; source: string }[] {
  if (typeof value !== 'object' || value === null) return []
  const own = 'kind' in value && 'source' in value ? [{ kind: String(value.kind), source: String(value.source) }] : []
  return [...own, ...Object.values(value).flatMap(collect)]
}

test('no two entries of one kind have one name: a list of them is told apart by it', () => {
  for (const entries of [firstCatalogue.fibres, firstCatalogue.substances, firstCatalogue.rules]) {
    const names = entries.map(({ name }) => name)
    expect(names).toEqual([...new Set(names)])
  }
})
