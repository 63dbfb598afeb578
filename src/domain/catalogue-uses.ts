/** What a figure of the catalogue goes into: which lines, baths and steps of a recipe, on which route, in words. */
import { DYE_CLASSES, type DyeClass, type Entry, type EntryOf } from './catalogue.js'
import { type Names, nameOf } from './catalogue-say.js'
import { ROUTE_OF_CLASS } from './job-for-lot.js'
import { ROUTE_WORDS } from './recipe.js'

/** The part of a recipe that changes with the figure; 'none' = no recipe is reckoned from it. */
export type UsedIn = 'lines' | 'baths' | 'steps' | 'spentBath' | 'basisWords' | 'none'
export type Use = { in: UsedIn; words: string }

type Told = { names: Names; path: string }
type Teller<K extends keyof EntryOf> = (entry: EntryOf[K], told: Told) => Use

const use = (where: UsedIn, words: string): Use => ({ in: where, words })
const always = (where: UsedIn, words: string) => (): Use => use(where, words)

/** What this figure of this entry is used for. A path that is not listed goes by the longest beginning that is. */
export function useOf({ kind, entry }: Entry, path: string, names: Names = new Map()): Use {
  const told = { names, path }
  if (kind === 'fibre') return tell(FIBRE, entry, told)
  return kind === 'substance' ? tell(SUBSTANCE, entry, told) : use('none', 'no figure')
}

function tell<K extends keyof EntryOf>(tellers: Record<string, Teller<K>>, entry: EntryOf[K], told: Told): Use {
  const parts = told.path.split('.')
  const beginnings = parts.map((_, n) => parts.slice(0, parts.length - n).join('.'))
  const teller = beginnings.map(beginning => tellers[beginning]).find(one => one !== undefined)
  return teller ? teller(entry, told) : use('none', 'no line of a recipe')
}

const onRoute = (dyeClass: DyeClass): string => `on the route “${ROUTE_WORDS[ROUTE_OF_CLASS[dyeClass]]}”`

const FIBRE: Record<string, Teller<'fibre'>> = {
  regainPercent: always(
    'basisWords',
    'what “conditioned” means for the dry weight, on every route, and in a damp weight that is reckoned dry',
  ),
  liquorRatioLPerKg: always('baths', 'water to cover, in every bath; every line that is reckoned per litre'),
  soakMinutes: always('steps', 'length of the soak, on every route'),
  soakTemperatureC: always('steps', 'warmth of the soak, on every route'),
  ...Object.fromEntries(
    DYE_CLASSES.map(one => [
      `takeUp.${one}`,
      always('lines', `multiplies the line of every ${one} dye, ${onRoute(one)}`),
    ]),
  ),
  dyeMinutes: always(
    'steps',
    `how long it is left in the bath after dyeing, on the routes “${ROUTE_WORDS.label}” and “${ROUTE_WORDS.powder}”`,
  ),
  hottestC: always('steps', 'no mordant or dye bath of this fibre is hotter, on every route but the vat'),
  dryingHours: always('steps', 'length of the drying, on every route'),
}

const SUBSTANCE: Record<string, Teller<'substance'>> = {
  molarMassGPerMol: always('none', 'no line of a recipe: one salt is exchanged for another by the formula'),
  metalFraction: ({ metal }) => use('spentBath', `how much ${metal ?? 'metal'} the spent bath holds, on every route`),
  gramsPerTeaspoon: ({ unit, label }) =>
    unit === 'g' && label === null
      ? use('lines', 'the same amount in US spoons and cups, beside its line, on every route')
      : use('none', 'no line: it is measured otherwise'),
  relativeStrength: shade('divides its line as dye'),
  'owfPercent.pale': shade('its line as dye, in shades paler than medium'),
  'owfPercent.medium': shade('its line as dye'),
  'owfPercent.deep': shade('its line as dye, in shades deeper than medium'),
  'label.containerHolds': onLabel('its line as dye, and the same in bottles or packets'),
  'label.containersPerKg': onLabel('its line as dye'),
  'bath.minutes': inBath('length'),
  'bath.temperatureC': inBath('temperature'),
  assistants: (substance, told) =>
    goesWith(substance, told, substance.dyeClass === 'indigo' ? 'the vat' : 'the dye bath of this dye'),
  mordantDose: ({ metal }) =>
    use(
      'lines',
      `its line as ${metal === 'iron' ? 'iron' : 'mordant'}, before, in or after the dye bath, on every route`,
    ),
  mordantAssistants: (substance, { names, path }) => {
    const id = substance.mordantAssistants[Number(path.split('.')[1])]?.substanceId ?? ''
    return use('lines', `the line of ${nameOf(id, names)} in the bath of this mordant, on every route`)
  },
  'vat.perGram': (substance, { names, path }) => {
    const id = substance.vat?.perGram[Number(path.split('.')[2])]?.substanceId ?? ''
    return ofVat(substance, 'lines', `the line of ${nameOf(id, names)} in the stock`)
  },
  'vat.stockLPerG': substance => ofVat(substance, 'baths', 'water of the stock'),
  'vat.dips': substance => ofVat(substance, 'steps', 'number of dips'),
  'vat.dipMinutes': substance => ofVat(substance, 'steps', 'length of each dip'),
  'vat.airingMinutes': substance => ofVat(substance, 'steps', 'length of each airing'),
  vat: substance => ofVat(substance, 'steps', 'the window in which the vat is kept'),
}

/** Per cent of fibre: not where a label's rate counts instead, and not for what is no dye. */
function shade(words: string): Teller<'substance'> {
  return ({ dyeClass }) => {
    if (dyeClass === null) return use('none', 'no line: it is not a dye')
    if (dyeClass === 'all-purpose') return use('none', 'no line: such a dye goes by the rate on its tin')
    return use('lines', `${words}, ${onRoute(dyeClass)}`)
  }
}

function onLabel(words: string): Teller<'substance'> {
  return ({ dyeClass }) =>
    dyeClass === 'all-purpose'
      ? use('lines', `${words}, ${onRoute(dyeClass)}`)
      : use('none', 'no line: only an all-purpose dye goes by its tin')
}

function inBath(what: string): Teller<'substance'> {
  return ({ dyeClass, mordantDose }) => {
    const asMordant = mordantDose === null ? [] : ['of its mordant bath, on every route']
    const asDye =
      dyeClass === null ? [] : [`of its ${dyeClass === 'indigo' ? 'stock' : 'dye bath'}, ${onRoute(dyeClass)}`]
    const baths = [...asDye, ...asMordant]
    return baths.length === 0
      ? use('none', 'no step: it is neither a dye nor a mordant')
      : use('steps', `${what} ${baths.join('; ')}`)
  }
}

function goesWith(substance: EntryOf['substance'], { names, path }: Told, bath: string): Use {
  const id = substance.assistants[Number(path.split('.')[1])]?.substanceId ?? ''
  if (substance.dyeClass === null) return use('none', 'no line: it is not a dye')
  return use('lines', `the line of ${nameOf(id, names)} in ${bath}, ${onRoute(substance.dyeClass)}`)
}

function ofVat({ dyeClass }: EntryOf['substance'], where: UsedIn, words: string): Use {
  return dyeClass === 'indigo'
    ? use(where, `${words}, ${onRoute(dyeClass)}`)
    : use('none', 'no line: only an indigo dye is dyed from a vat')
}
