/** The receipt of a drop-off in words, as it is issued: what is said on it is said for good. */
import { type Agreement, type Faults, sayCondition, sayHowTied, type Tying } from './arrival.js'
import {
  type Offcuts,
  type Photographs,
  type Settles,
  SHARES_BATH_WORDS,
  type SharesBath,
  type WishesAnswer,
} from './client.js'
import { dayOf, sayDay } from './day.js'
import { alikeRuns, totalsOf } from './drop-off.js'
import { sayRuns } from './number-runs.js'
import { sayLength, sayWeight, type Units } from './quantity.js'

/** Weights in g, thickness in mm; `at` an ISO time in UTC. */
export type ReceiptFacts = {
  workshopName: string
  terms: string
  clientName: string
  clientMark: string
  purpose: string
  neededBy: string
  /** False: the client asked for no day, and the workshop said this one. */
  dayAsked: boolean
  /** The days promised last for its lots; null where none could be. */
  promised: { lotId: number; day: string | null }[]
  arrangement: Settles
  note: string
  takenInAt: string
  takenInBy: string
  broughtBy: string
  authority: string
  wishesAnswer: WishesAnswer
  wishes: string
  wishesSaidBy: string
  /** Those bound to days, seasons or hours, as they are said everywhere. */
  timedWishes: string[]
  photographs: Photographs
  sharesBath: SharesBath
  offcuts: Offcuts
  agreed: Agreement | null
  cameAlong: { words: string }[]
  lots: LotFacts[]
}

export type LotFacts = {
  id: number
  fibreName: string
  colour: string
  swatch: string | null
  dyeName: string
  routeWords: string
  tiesUndyed: boolean
  faults: Faults
  /** Why it is kept apart, or ''. */
  keptApart: string
  bundles: BundleFacts[]
}

export type BundleFacts = {
  n: number
  tiesIn: number
  dryWeightG: number
  thicknessMm: number | null
  found: string[]
  condition: string
  howTied: string
  tying: Tying
}

export type Line = { label: string; words: string }
export type ReceiptLot = {
  id: number
  title: string
  swatch: string | null
  colour: string
  lines: Line[]
  bundles: Line[]
  sum: string
}

/** What one receipt says, in the words of its day. */
export type Receipt = {
  workshopName: string
  terms: string
  givenBy: string
  takenInBy: string
  /** The day on which it was issued. */
  issued: string
  sum: string
  facts: Line[]
  lots: ReceiptLot[]
  cameAlong: string[]
  /** What this one changes of the receipt before it; none on the first. */
  amends: string[]
}

/** The units and the calendar it is said in, and when it is issued (ISO, UTC). */
type Reading = { units: Units; timeZone: string; at: string }

const count = (n: number, one: string): string => `${n} ${n === 1 ? one : `${one}s`}`

/** The receipt of these facts, in the units and on the calendar of the workshop. */
export function composeReceipt(facts: ReceiptFacts, { units, timeZone, at }: Reading): Receipt {
  return {
    workshopName: facts.workshopName,
    terms: facts.terms,
    givenBy: facts.broughtBy || facts.clientName,
    takenInBy: facts.takenInBy,
    issued: sayDay(dayOf(at, timeZone)),
    sum: saySum(
      facts.lots.flatMap(({ bundles }) => bundles),
      units,
    ),
    facts: factLines(facts, timeZone),
    lots: facts.lots.map(lot => lotOf(lot, units)),
    cameAlong: facts.cameAlong.map(({ words }) => words),
    amends: [],
  }
}

function saySum(bundles: readonly BundleFacts[], units: Units): string {
  const { bundles: many, ties, dryWeightG } = totalsOf(bundles)
  return `${count(many, 'bundle')}, ${count(ties, 'tie')}, ${sayWeight(dryWeightG, units)} dry`
}

function factLines(facts: ReceiptFacts, timeZone: string): Line[] {
  const { clientName, clientMark, broughtBy, authority, agreed } = facts
  const brought = broughtBy === '' ? [] : [{ label: 'Brought by', words: `${broughtBy}: ${authority}` }]
  return [
    { label: 'Belongs to', words: clientMark === '' ? clientName : `${clientName} (${clientMark})` },
    ...brought,
    { label: 'Taken in', words: sayDay(dayOf(facts.takenInAt, timeZone)) },
    { label: 'For', words: facts.purpose },
    { label: 'Needed by', words: sayNeededBy(facts) },
    ...promisedLines(facts),
    { label: 'Settlement', words: facts.arrangement },
    { label: 'Agreed', words: agreed === null ? 'not yet: no work begins before' : sayAgreed(agreed) },
    { label: 'Wishes', words: sayWishes(facts) },
    ...(facts.timedWishes.length === 0
      ? []
      : [{ label: 'Days to leave it alone', words: sayTimed(facts.timedWishes) }]),
    { label: 'Photographs', words: PHOTOGRAPHS_WORDS[facts.photographs] },
    { label: 'One bath with others', words: SHARES_BATH_WORDS[facts.sharesBath] },
    { label: 'Offcuts and lost ties', words: facts.offcuts },
    ...(facts.note === '' ? [] : [{ label: 'Note', words: facts.note }]),
  ]
}

/** Nothing where every promise is the day that it is needed by. */
function promisedLines({ promised, neededBy }: ReceiptFacts): Line[] {
  const other = promised.filter(({ day }) => day !== neededBy)
  if (other.length === 0) return []
  const say = (day: string | null) => (day === null ? 'no day' : sayDay(day))
  const [first] = other
  if (promised.every(({ day }) => day === first?.day)) return [{ label: 'Promised', words: say(first?.day ?? null) }]
  return [{ label: 'Promised', words: promised.map(({ lotId, day }) => `lot ${lotId}: ${say(day)}`).join('; ') }]
}

const sayNeededBy = ({ neededBy, dayAsked }: ReceiptFacts): string =>
  dayAsked ? sayDay(neededBy) : `no day; by ${sayDay(neededBy)} it goes back, or we talk about it again`

export const sayAgreed = ({ how, agreedOn, words }: Agreement): string =>
  `${HOW_WORDS[how]}, ${sayDay(agreedOn)}${words === '' ? '' : `: ${words}`}`

const HOW_WORDS: Record<Agreement['how'], string> = {
  spoken: 'by word of mouth',
  message: 'by message',
  signed: 'signed',
}

const PHOTOGRAPHS_WORDS: Record<Photographs, string> = {
  'not asked': 'not asked yet, so none are taken',
  yes: 'may be taken',
  'yes, not to show': 'may be taken for the record, and are shown to nobody else',
  no: 'none are taken',
}

/** Wishes word for word, with who said them where that was not the client. */
function sayWishes({ wishesAnswer, wishes, wishesSaidBy }: ReceiptFacts): string {
  if (wishesAnswer !== 'told') return wishesAnswer
  return wishesSaidBy === '' ? `“${wishes}”` : `“${wishes}” (said by ${wishesSaidBy})`
}

const sayTimed = (wishes: readonly string[]): string => wishes.map(words => words.replace(/\.$/, '')).join('; ')

const sayFaults = ({ faults, words }: Faults): string => (faults === 'told' ? words : faults)

function lotOf(lot: LotFacts, units: Units): ReceiptLot {
  const { id, colour, swatch, dyeName, routeWords, tiesUndyed, keptApart } = lot
  return {
    id,
    title: `Lot ${id}: ${lot.fibreName}`,
    swatch,
    colour,
    lines: [
      { label: 'Colour', words: colour },
      { label: 'Dye', words: `${dyeName} (${routeWords})` },
      { label: 'Ties', words: tiesUndyed ? 'stay undyed' : 'may be dyed along' },
      { label: 'Faults told', words: sayFaults(lot.faults) },
      ...(keptApart === '' ? [] : [{ label: 'Kept apart', words: keptApart }]),
    ],
    bundles: alikeRuns(lot.bundles.map(bundle => ({ n: bundle.n, one: { words: sayBundle(bundle, units) } }))).map(
      ({ ns, one }) => ({ label: bundlesLabel(ns), words: one.words }),
    ),
    sum: saySum(lot.bundles, units),
  }
}

const bundlesLabel = (ns: readonly number[]): string =>
  ns.length === 1 ? `Bundle ${ns[0]}` : `Bundles ${sayRuns(ns)}, each`

const sayBundle = (bundle: BundleFacts, units: Units): string =>
  [
    count(bundle.tiesIn, 'tie'),
    sayWeight(bundle.dryWeightG, units),
    bundle.thicknessMm === null ? '' : `${sayLength(bundle.thicknessMm, units)} thick`,
    sayCondition(bundle.found, bundle.condition),
    sayHowTied(bundle.tying, bundle.howTied),
  ]
    .filter(Boolean)
    .join('; ')

/** What a later receipt says otherwise than the one before it, a sentence for each. */
export function receiptChanges(before: Receipt, after: Receipt): string[] {
  const lots = after.lots.flatMap(lot => {
    const was = before.lots.find(({ id }) => id === lot.id)
    const name = `lot ${lot.id}, `
    return was ? [...changedLines(was.lines, lot.lines, name), ...changedBundles(was, lot, name)] : []
  })
  const cameAlong = after.cameAlong.filter(words => !before.cameAlong.includes(words))
  return [...changedLines(before.facts, after.facts, ''), ...lots, ...cameAlong.map(words => `came along: ${words}`)]
}

function changedLines(before: readonly Line[], after: readonly Line[], of: string): string[] {
  const labels = [...new Set([...before, ...after].map(({ label }) => label))]
  const wordsIn = (lines: readonly Line[], wanted: string) =>
    lines.find(({ label }) => label === wanted)?.words ?? 'nothing'
  return labels.flatMap(label => {
    const [was, is] = [wordsIn(before, label), wordsIn(after, label)]
    return was === is ? [] : [`${of}${label.toLowerCase()}: ${is} (was: ${was})`]
  })
}

/** Bundle by bundle, so that one that is withdrawn or was overlooked is told as that; then what they come to. */
function changedBundles(before: ReceiptLot, after: ReceiptLot, of: string): string[] {
  const [was, is] = [wordsByNumber(before.bundles), wordsByNumber(after.bundles)]
  const changed = [...new Set([...was.keys(), ...is.keys()])]
    .filter(n => was.get(n) !== is.get(n))
    .map(n => ({ n, one: { was: was.get(n) ?? null, is: is.get(n) ?? null } }))
  const said = alikeRuns(changed).map(({ ns, one }) => `${of}${sayChange(ns, one)}`)
  return before.sum === after.sum ? said : [...said, `${of}in all: ${after.sum} (was: ${before.sum})`]
}

function sayChange(ns: readonly number[], { was, is }: { was: string | null; is: string | null }): string {
  const [bundles, were] = ns.length === 1 ? [`bundle ${ns[0]}`, 'was'] : [`bundles ${sayRuns(ns)}`, 'were']
  if (is === null) return `${bundles} ${were} written down by mistake and never there: taken off this receipt`
  if (was === null) return `${bundles} ${were} there and had not been written down: ${is}`
  return `${bundles}: ${is} (was: ${was})`
}

/** Read back from the labels, which is all that a receipt keeps: "Bundles 1, 3 to 12, each". */
function wordsByNumber(lines: readonly Line[]): Map<number, string> {
  const words = new Map<number, string>()
  for (const line of lines)
    for (const [, first, last = first] of line.label.matchAll(/(\d+)(?: to (\d+))?/g))
      for (let n = Number(first); n <= Number(last); n += 1) words.set(n, line.words)
  return words
}
