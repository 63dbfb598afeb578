/** Entries with everything that one can have, for tests of the pages and forms of the catalogue. */
import type { Entry, Fibre, Rule, Substance } from '../../src/domain/catalogue.js'
import type { Names } from '../../src/domain/catalogue-say.js'
import type { KnownIds } from '../../src/domain/entry-sense.js'
import { firstCatalogue } from '../../src/domain/first-catalogue/index.js'
import { aDye, cotton, figure, tested } from './recipe-kit.js'

export const fullSubstance: Substance = aDye({
  id: 'own-vat',
  name: 'own vat',
  latin: 'Isatis tinctoria',
  words: 'Ours.',
  dyeClass: 'indigo',
  formula: 'FeSO4·7H2O',
  molarMassGPerMol: figure(278),
  metal: 'iron',
  metalFraction: figure(0.2),
  gramsPerTeaspoon: figure(4),
  label: { container: 'jar', containerHolds: figure(250), containersPerKg: figure(2) },
  owfPercent: { pale: figure(1), medium: figure(2), deep: figure(4) },
  relativeStrength: figure(5),
  assistants: [{ substanceId: 'chalk', basis: 'per kg', amount: figure(4), words: '' }],
  mordantDose: { basis: 'per litre', amount: figure(3) },
  mordantAssistants: [{ substanceId: 'soda-ash', basis: 'per gram', amount: null, words: 'softens it' }],
  bath: { minutes: figure(60), temperatureC: figure(50), standsOvernight: true },
  vat: {
    perGram: [{ substanceId: 'hydrated-lime', ratio: figure(2), words: 'slaked' }],
    stockLPerG: figure(0.4),
    lowestPh: figure(10),
    highestPh: figure(11),
    lowestC: figure(30),
    highestC: figure(50),
    dips: figure(3),
    dipMinutes: figure(20),
    airingMinutes: figure(20),
  },
  hazard: {
    signalWord: 'Danger',
    statements: [{ code: 'H318', words: 'Causes serious eye damage' }],
    standing: 'harmonised',
    provenance: tested,
  },
  care: ['Wear goggles.'],
})

const fullFibre: Fibre = { ...cotton, words: 'Soft.', hottestC: figure(90) }

export const fullRule: Rule = {
  id: 'own-rule',
  name: 'Own rule',
  fibreIds: ['flax'],
  fibreParts: ['bast'],
  dyeIds: ['weld'],
  dyeClasses: ['plant'],
  mordantIds: ['potassium-alum'],
  conditions: ['boiled'],
  severity: 'changes colour',
  words: 'It browns.',
  provenance: tested,
}

export const fullEntries: Entry[] = [
  { kind: 'fibre', entry: fullFibre },
  { kind: 'substance', entry: fullSubstance },
  { kind: 'rule', entry: fullRule },
]

export const firstEntries: Entry[] = [
  ...firstCatalogue.fibres.map(entry => ({ kind: 'fibre' as const, entry })),
  ...firstCatalogue.substances.map(entry => ({ kind: 'substance' as const, entry })),
  ...firstCatalogue.rules.map(entry => ({ kind: 'rule' as const, entry })),
]

const ids = (entries: { id: string }[]) => new Set(entries.map(({ id }) => id))

/** What stands beside an entry when the catalogue is the first one. */
export const known: KnownIds = {
  fibreIds: ids(firstCatalogue.fibres),
  substanceIds: ids(firstCatalogue.substances),
  atHandIds: ids(firstCatalogue.substances),
}

export const names: Names = new Map(
  firstEntries.map(({ kind, entry }) => [entry.id, { name: entry.name, unit: kind === 'substance' ? entry.unit : '' }]),
)

/** The first entry with this id. */
export function firstEntry(id: string): Entry {
  const found = firstEntries.find(({ entry }) => entry.id === id)
  if (found === undefined) throw new Error(`no ${id}`)
  return found
}
