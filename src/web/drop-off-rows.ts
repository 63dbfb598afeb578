/** The rows of the drop-off's form as plain text: added, left out and laid out before anything is checked. */
import { CONDITIONS_FOUND } from '../domain/arrival.js'
import { readBundlesLine } from '../domain/bundles-line.js'
import { whyNotDamp } from '../domain/damp.js'
import { LOT_CONDITIONS, MOST_BUNDLES, MOST_LOTS, rowsOf, type TypedBundle } from '../domain/drop-off.js'
import type { Units } from '../domain/quantity.js'
import { PURPOSES } from '../domain/recipe.js'
import { OF_WEIGHTS } from './damp-form.js'
import { LOT_CAME_NAMES } from './drop-off-came.js'
import { tickName } from './kit/fields.js'
import { type FieldError, Form } from './kit/form.js'

const bundleOf = (value: (field: string) => string): TypedBundle => ({
  ties: value('ties'),
  weight: value('weight'),
  thickness: value('thickness'),
  condition: value('condition'),
  howTied: value('howTied'),
})
const TICKS = [
  ...LOT_CONDITIONS.map(words => `conditions.${tickName(words)}`),
  ...PURPOSES.map(words => `purposes.${tickName(words)}`),
  ...CONDITIONS_FOUND.map(words => `found.${tickName(words)}`),
  ...LOT_CAME_NAMES,
]
const fieldsOf = (value: (field: string) => string) => ({
  fibreId: value('fibreId'),
  colour: value('colour'),
  swatch: value('swatch'),
  noSwatch: value('noSwatch'),
  dyeId: value('dyeId'),
  tiesUndyed: value('tiesUndyed'),
  against: value('against'),
  repeatsLotId: value('repeatsLotId'),
  line: value('line'),
  lineHowTied: value('lineHowTied'),
  lineCondition: value('lineCondition'),
  'damp.how': value('damp.how'),
  'damp.percent': value('damp.percent'),
  'damp.of': value('damp.of'),
  'damp.temperature': value('damp.temperature'),
  'damp.humidity': value('damp.humidity'),
  ...Object.fromEntries(TICKS.map(name => [name, value(name)])),
})
const nothing = (): string => ''

export type TypedLot = { fields: ReturnType<typeof fieldsOf>; bundles: TypedBundle[] }
const emptyLot = (): TypedLot => ({ fields: fieldsOf(nothing), bundles: [] })

/** A colour field always sends a colour: this one, as it stands before anybody touches it, is none. */
export const NO_SWATCH = '#dedede'

/** What the fields that always send something send before anybody touches them. */
const UNTOUCHED: Record<string, string> = {
  swatch: NO_SWATCH,
  faults: 'not asked',
  'damp.how': 'dry',
  'damp.of': OF_WEIGHTS[0],
}

const MOST_ALIKE_WORDS = 500
const isBlank = (texts: Record<string, string>): boolean => Object.values(texts).every(text => text.trim() === '')
const isUntouched = ([name, text]: [string, string]): boolean => text.trim() === '' || text === UNTOUCHED[name]
const isBlankLot = ({ fields, bundles }: TypedLot): boolean =>
  bundles.every(isBlank) && Object.entries(fields).every(isUntouched)

/** The numbers, in order, that stand after `prefix` in the names of the fields: rows that were left out leave gaps. */
function numbersAfter(form: Form, prefix: string): string[] {
  const numbers = new Set<string>()
  for (const name of form.typed.keys()) {
    if (!name.startsWith(prefix)) continue
    const [number = ''] = name.slice(prefix.length).split('.')
    if (/^\d+$/.test(number)) numbers.add(number)
  }
  return [...numbers].sort((one, other) => Number(one) - Number(other))
}

export function lotsTyped(form: Form): TypedLot[] {
  const lots = numbersAfter(form, 'lots.').map(l => ({
    fields: fieldsOf(field => form.value(`lots.${l}.${field}`)),
    bundles: numbersAfter(form, `lots.${l}.bundles.`).map(b =>
      bundleOf(field => form.value(`lots.${l}.bundles.${b}.${field}`)),
    ),
  }))
  return lots.length > 0 ? lots : [emptyLot()]
}

/** The same form with these lots, numbered without gaps, so that an error finds its field. */
export function withLots(form: Form, lots: readonly TypedLot[]): Form {
  const typed = new Map([...form.typed].filter(([name]) => !name.startsWith('lots.')))
  lots.forEach(({ fields, bundles }, l) => {
    for (const [field, text] of Object.entries(fields)) typed.set(`lots.${l}.${field}`, text)
    bundles.forEach((bundle, b) => {
      for (const [field, text] of Object.entries(bundle)) typed.set(`lots.${l}.bundles.${b}.${field}`, text)
    })
  })
  return new Form(typed, form.errors, form.doneAt)
}

/** Without rows in which nothing stands, and without a lot that was added and never begun. */
export function withoutBlanks(lots: readonly TypedLot[]): TypedLot[] {
  const begun = lots.filter(lot => !isBlankLot(lot))
  return (begun.length > 0 ? begun : lots.slice(0, 1)).map(lot => ({
    ...lot,
    bundles: lot.bundles.filter(bundle => !isBlank(bundle)),
  }))
}

/** What keeps a line that was read from being laid out. */
function lineErrors({ fields, bundles }: TypedLot, l: number, count: number): FieldError[] {
  const sentence = `That can hold ${MOST_ALIKE_WORDS} characters at most; shorten it, or put the rest in a note.`
  const tooLong = (['lineHowTied', 'lineCondition'] as const)
    .filter(field => fields[field].length > MOST_ALIKE_WORDS)
    .map(field => ({ field: `lots.${l}.${field}`, sentence }))
  if (bundles.length + count <= MOST_BUNDLES) return tooLong
  const most = `A lot holds ${MOST_BUNDLES} bundles at most. Put the rest in another lot.`
  return [{ field: `lots.${l}.line`, sentence: most }, ...tooLong]
}

/** The lot with its line of alike bundles laid out as rows after those that it has. */
function laidOut(lot: TypedLot, l: number, units: Units): { lot: TypedLot; errors: FieldError[] } {
  const { line, lineCondition, lineHowTied } = lot.fields
  if (line.trim() === '') {
    const sentence = 'This says what alike bundles are like, but not how many they are. Write the line of bundles too.'
    const alike = `${lineCondition}${lineHowTied}`.trim()
    return { lot, errors: alike === '' ? [] : [{ field: `lots.${l}.line`, sentence }] }
  }
  const damp = whyNotDamp(line)
  if (damp) return { lot, errors: [{ field: `lots.${l}.line`, sentence: damp }] }
  const read = readBundlesLine(line, units)
  if (!read.ok) return { lot, errors: [{ field: `lots.${l}.line`, sentence: read.sentence }] }
  const errors = lineErrors(lot, l, read.value.count)
  if (errors.length > 0) return { lot, errors }
  const rows = rowsOf(read.value, { condition: lineCondition.trim(), howTied: lineHowTied.trim() })
  const fields = { ...lot.fields, line: '', lineCondition: '', lineHowTied: '' }
  return { lot: { fields, bundles: [...lot.bundles.filter(bundle => !isBlank(bundle)), ...rows] }, errors: [] }
}

/** Lays out the line of one lot, or of all of them; a line that cannot be read stays, and says why. */
export function layOut(
  lots: readonly TypedLot[],
  units: Units,
  only?: number,
): { lots: TypedLot[]; errors: FieldError[] } {
  const each = lots.map((lot, l) => (only === undefined || only === l ? laidOut(lot, l, units) : { lot, errors: [] }))
  return { lots: each.map(({ lot }) => lot), errors: each.flatMap(({ errors }) => errors) }
}

const BUTTONS = [
  'rows',
  'add-bundle',
  'drop-bundle',
  'add-lot',
  'drop-lot',
  'look',
  'change',
  'read-back',
  'take-in',
] as const
/** Which button was pressed, and for which lot and bundle: "drop-bundle:0.3". */
export type Pressed = { button: (typeof BUTTONS)[number]; lot: number | undefined; bundle: number | undefined }

/** Anything else, and the Enter key, is the main button. */
export function pressed(value: string): Pressed {
  const [, name = '', lot, bundle] = /^([a-z-]{1,20})(?::(\d{1,3})(?:\.(\d{1,3}))?)?$/.exec(value) ?? []
  const number = (text: string | undefined) => (text === undefined ? undefined : Number(text))
  return { button: BUTTONS.find(each => each === name) ?? 'read-back', lot: number(lot), bundle: number(bundle) }
}

const without = <T>(list: readonly T[], at: number | undefined): T[] => list.filter((_, n) => n !== at)

function changed(lots: TypedLot[], { button, lot: l, bundle: b }: Pressed): TypedLot[] {
  const inLot = (change: (lot: TypedLot) => TypedBundle[]) =>
    lots.map((lot, n) => (n === l ? { ...lot, bundles: change(lot) } : lot))
  if (button === 'add-bundle') return inLot(({ bundles }) => [...bundles, bundleOf(nothing)].slice(0, MOST_BUNDLES))
  if (button === 'drop-bundle') return inLot(({ bundles }) => without(bundles, b))
  if (button === 'add-lot') return [...lots, emptyLot()].slice(0, MOST_LOTS)
  if (button !== 'drop-lot') return lots
  const left = without(lots, l)
  return left.length > 0 ? left : [emptyLot()]
}

/** The form after a button that only changes its rows. */
export function afterPress(form: Form, press: Pressed, units: Units): Form {
  const lots = changed(lotsTyped(form), press)
  if (press.button !== 'rows') return withLots(form, lots)
  const answer = layOut(lots, units, press.lot)
  return withLots(form, answer.lots).with(answer.errors)
}
