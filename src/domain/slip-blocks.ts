/** What a return slip says. Figures read in the units and by the clock of the workshop as they were that day. */
import { tieStates } from './bundle-check.js'
import { dayOf, sayDay } from './day.js'
import { sayRuns } from './number-runs.js'
import { addressBlocks, type Block, section } from './paper-blocks.js'
import { sayWeight, sayWeightToGram } from './quantity.js'
import { ROUTE_WORDS } from './recipe.js'
import { type Accounts, accounts, type Checked, differences, slipLines, USE_WORDS } from './return-slip.js'
import type { FoundAgain, ReturnSlip, SlipLot } from './slip-facts.js'

const checkedOf = (lot: SlipLot): Checked[] =>
  lot.bundles.map(({ check, ...bundle }) => ({ bundle: { ...bundle, lotId: lot.id }, check }))

/** `clientAddress`: the client's own page, printed as a QR; null when they have none. */
export function slipBlocks(slip: ReturnSlip, clientAddress: string | null): Block[] {
  const all = slip.lots.flatMap(checkedOf)
  return [
    { is: 'head', title: `Return slip ${slip.id}`, workshop: slip.workshopName },
    { is: 'facts', rows: headFacts(slip) },
    totals(slip, all),
    ...differs(all),
    ...slip.lots.flatMap(lot => lotBlocks(lot, slip)),
    ...section('Wishes that were agreed', slip.wishes),
    ...section('A word with it', slip.words),
    { is: 'heading', words: 'How to use it' },
    { is: 'list', framed: false, items: USE_WORDS.map(words => ({ strong: '', words, quoted: '' })) },
    ...addressBlocks(clientAddress),
    signatures(slip),
    ...(slip.slipWords === '' ? [] : [{ is: 'words' as const, words: slip.slipWords }]),
    ...addedLater(slip),
  ]
}

const ERASED = 'the name was erased'

function headFacts(slip: ReturnSlip): { name: string; words: string }[] {
  const day = (at: string) => sayDay(dayOf(at, slip.timeZone))
  const whose = slip.clientMark ? `${slip.clientName} (${slip.clientMark})` : slip.clientName
  return [
    { name: 'For', words: slip.isErased ? ERASED : whose },
    { name: 'Commission', words: `${slip.commissionId}: ${slip.purpose}` },
    { name: 'Came in', words: day(slip.takenInAt) },
    { name: 'Needed by', words: sayDay(slip.neededBy) },
    { name: 'Handed back', words: day(slip.at) },
    ...(slip.how === 'by carrier' ? [{ name: 'Goes by', words: slip.reference }] : []),
    ...(slip.authority === '' ? [] : [{ name: 'By what right', words: slip.authority }]),
  ]
}

function totals({ lots, units }: ReturnSlip, all: readonly Checked[]): Block {
  const rows = lots.map(lot => ({ name: `Lot ${lot.id}`, sums: accounts(checkedOf(lot)) }))
  if (rows.length > 1) rows.push({ name: 'All', sums: accounts(all) })
  const weight = (grams: number) => sayWeightToGram(grams, units)
  return {
    is: 'table',
    caption: 'What came, and what goes back',
    head: ['', 'Bundles in', 'back', 'Ties in', 'back', 'Weight in, dry', 'back'],
    rows: rows.map(({ name, sums }) => ({
      cells: [
        name,
        `${sums.bundlesIn}`,
        `${sums.bundlesBack}`,
        `${sums.tiesIn}`,
        tiesBack(sums),
        weight(sums.weightInG),
        weightBack(sums, weight),
      ],
      drawn: null,
    })),
    strong: true,
  }
}

const withNotes = (figure: string, notes: string[]): string =>
  notes.length > 0 ? `${figure} (${notes.join(', ')})` : figure

const tiesBack = ({ tiesBack, tiesReplaced, tiesMissing }: Accounts): string =>
  withNotes(`${tiesBack + tiesReplaced}`, [
    ...(tiesReplaced > 0 ? [`${tiesReplaced} replaced`] : []),
    ...(tiesMissing > 0 ? [`${tiesMissing} missing`] : []),
  ])

function weightBack(sums: Accounts, weight: (grams: number) => string): string {
  if (sums.weightBackG === null) return 'not weighed'
  const isAll = sums.bundlesWeighed === sums.bundlesIn
  return withNotes(
    weight(sums.weightBackG),
    isAll
      ? []
      : [
          `${sums.bundlesWeighed} of ${sums.bundlesIn} bundles weighed; ${weight(sums.weightInOfWeighedG)} when they came`,
        ],
  )
}

function differs(all: readonly Checked[]): Block[] {
  const lines = slipLines(all)
  if (lines.length === 0)
    return [{ is: 'words', words: 'Every bundle on this slip goes back as it came, tie for tie.' }]
  return [
    { is: 'heading', words: 'What differs, and what is said of it' },
    {
      is: 'list',
      framed: true,
      items: lines.map(({ name, differences, explanation }) => ({
        strong: name,
        words: differences.length > 0 ? `: ${differences.join('; ')}.` : '.',
        quoted: explanation,
      })),
    },
  ]
}

function lotBlocks(lot: SlipLot, { units }: ReturnSlip): Block[] {
  const swatch = lot.outcome?.swatch ?? lot.swatch
  const cameOut = lot.outcome
    ? `came out ${lot.outcome.nearness}${lot.outcome.words ? `: ${lot.outcome.words}` : ''}`
    : ''
  return [
    { is: 'heading', words: `Lot ${lot.id}: ${lot.fibreName}` },
    { is: 'colour', swatch, words: lot.colour, beside: cameOut },
    ...partOf(lot),
    { is: 'facts', rows: lotFacts(lot) },
    {
      is: 'table',
      caption: '',
      head: [`Lot ${lot.id}, bundle`, 'Ties in', 'back', 'Weight in', 'back', 'Goes back'],
      rows: lot.bundles.map(bundle => ({
        cells: [
          `${bundle.n}`,
          `${bundle.tiesIn}`,
          `${bundle.check.tiesBack + bundle.check.tiesReplaced}`,
          sayWeight(bundle.dryWeightG, units),
          bundle.check.weightG === null ? 'not weighed' : sayWeight(bundle.check.weightG, units),
          differences({ ...bundle, lotId: lot.id }, bundle.check).join('; ') || 'as it came',
        ],
        drawn: {
          swatch,
          ties: tieStates(bundle, bundle.check),
          tiesUndyed: lot.tiesUndyed,
          label: `Bundle ${bundle.n}`,
        },
      })),
      strong: false,
    },
  ]
}

/** "8 of the 12 bundles that came. Bundles 9 to 12 stay here until Fri 3 Apr 2026: still drying." */
function partOf({ bundles, bundlesIn, rest }: SlipLot): Block[] {
  if (bundles.length === bundlesIn) return []
  const part = `In part: ${bundles.length} of the ${bundlesIn} bundles that came.`
  if (rest.ns.length === 0) return [{ is: 'words', words: `${part} The others had gone before.` }]
  const which = rest.ns.length === 1 ? `Bundle ${rest.ns[0]} stays` : `Bundles ${sayRuns(rest.ns)} stay`
  const until = rest.until === null ? '' : ` until ${sayDay(rest.until)}`
  return [{ is: 'words', words: `${part} ${which} here${until}${rest.words === '' ? '' : `: ${rest.words}`}.` }]
}

function lotFacts(lot: SlipLot): { name: string; words: string }[] {
  const rinses = [...new Set(lot.baths.map(({ lastRinse }) => lastRinse))].filter(water => water !== null)
  return [
    { name: 'How dyed', words: howDyed(lot).join('; ') },
    {
      name: 'Treated with',
      words: lot.treatedWith.map(({ name }) => name).join('; ') || (lot.undyedWhy ? 'nothing' : 'no bath is on record'),
    },
    ...(rinses.length > 0 ? [{ name: 'Last rinse', words: `ran ${rinses.join(', ')}` }] : []),
    ...(lot.wetCloth ? [{ name: 'Wet white cloth', words: lot.wetCloth }] : []),
    { name: 'Ties', words: lot.tiesUndyed || lot.undyedWhy ? 'kept undyed' : 'dyed along' },
    ...knownBy(lot),
  ]
}

/** Each way in which the lot was really dyed, once; what was asked for when no bath is on record. */
function howDyed({ baths, dyeName, route, undyedWhy }: SlipLot): string[] {
  if (undyedWhy) return [`not dyed: ${undyedWhy}`]
  if (baths.length === 0) return [`not on record; asked for: ${dyeName} (${ROUTE_WORDS[route]})`]
  const beside = (shared?: boolean) => (shared ? ', in one bath with another lot' : '')
  return [...new Set(baths.map(({ dyeWords, routeWords, shared }) => `${dyeWords} (${routeWords})${beside(shared)}`))]
}

/** By what each bundle was told from the others, where tags were used at all. */
function knownBy({ bundles }: SlipLot): { name: string; words: string }[] {
  const back = bundles.filter(({ check }) => check.found)
  const byTag = back.filter(({ check }) => check.tagCode !== '').length
  if (byTag === 0) return []
  const words = byTag === back.length ? 'their tags' : `their tags ${byTag}, number and ties ${back.length - byTag}`
  return [{ name: 'Known by', words }]
}

function signatures(slip: ReturnSlip): Block {
  const whom = slip.isErased ? ERASED : slip.toWhom
  const handed = { words: `Handed back: ${slip.who}`, signature: '' }
  if (slip.acknowledged === 'not signed')
    return {
      is: 'signatures',
      above: '',
      places: [
        { words: `${handed.words}. Received: ${whom}. Not signed, because: ${slip.notSignedBecause}`, signature: '' },
      ],
    }
  if (slip.acknowledged === 'on paper')
    return { is: 'signatures', above: '', places: [handed, { words: `Received: ${whom}`, signature: '' }] }
  return {
    is: 'signatures',
    above: '',
    places: [handed, { words: `Received: ${whom}, signed on the screen`, signature: slip.signature }],
  }
}

/** "Lot 4, bundle 2 was found again". */
export const sayHereAgain = ({ lotId, n, hadGone }: Pick<FoundAgain, 'lotId' | 'n' | 'hadGone'>): string =>
  `Lot ${lotId}, bundle ${n} ${hadGone ? 'did not go with it after all' : 'was found again'}`

/** The slip itself is sealed; what is said of it afterwards stands below it, with its day. */
function addedLater({ notes, foundAgain, timeZone }: ReturnSlip): Block[] {
  const found = foundAgain.map(({ at, who, words, ...one }) => ({ at, who, words: `${sayHereAgain(one)}: ${words}` }))
  const lines = [...notes, ...found].sort((one, other) => one.at.localeCompare(other.at))
  if (lines.length === 0) return []
  const items = lines.map(({ at, who, words }) => ({
    strong: `${sayDay(dayOf(at, timeZone))}, ${who}`,
    words: ': ',
    quoted: words,
  }))
  return [
    { is: 'heading', words: 'Added after the hand-back' },
    { is: 'list', framed: false, items },
  ]
}

/** What stands at the top of every further sheet, so that one that strays says whose it is. */
export function slipRunning(slip: ReturnSlip): string[] {
  const lots = `${slip.lots.length === 1 ? 'Lot' : 'Lots'} ${slip.lots.map(({ id }) => id).join(', ')}`
  return [`Return slip ${slip.id}`, lots, slip.isErased ? '' : slip.clientMark || slip.clientName]
}
