/** Hand-back: nothing goes back while something is neither right nor explained; the explanations stand on the slip. */
import { type BundleCheck, type BundleIn, bundleName, sayShare, sayTies, tiesMissing, weighUp } from './bundle-check.js'
import { sayRuns } from './number-runs.js'
import { isHere, type Place } from './place.js'

/** What still needs a word or a correction; `field` is where to put it. */
export type Trouble = { field: keyof BundleCheck; sentence: string }

/** The words stand on the slip: blanks, dashes and signs that do not print explain nothing. */
export const SAYS_SOMETHING = /[\p{L}\p{N}]/u

/** All that keeps this bundle from being handed back or, when it is not found, from being explained; [] for nothing. */
export function troubles(bundle: BundleIn, check: BundleCheck): Trouble[] {
  const isExplained = SAYS_SOMETHING.test(check.explanation)
  return questions(bundle, check)
    .filter(({ wordsWillDo }) => !(wordsWillDo && isExplained))
    .map(({ field, sentence }) => ({ field, sentence }))
}

/** `wordsWillDo`: an explanation is enough; otherwise only a correction is. */
type Question = Trouble & { wordsWillDo: boolean }

const ask = (field: keyof BundleCheck, sentence: string): Question => ({ field, sentence, wordsWillDo: true })
const correct = (field: keyof BundleCheck, sentence: string): Question => ({ field, sentence, wordsWillDo: false })

const questions = (bundle: BundleIn, check: BundleCheck): Question[] =>
  check.found
    ? [
        ...askPlace(bundle),
        ...askTies(bundle, check),
        ...askTiedAgain(bundle, check),
        ...askWeight(bundle, check),
        ...askCondition(bundle, check),
      ]
    : askLoss(bundle, check)

function askLoss(bundle: BundleIn, { tiedAgain }: BundleCheck): Question[] {
  const name = bundleName(bundle)
  if (tiedAgain)
    return [correct('found', `${name} is ticked as tied up again and as not found. Take one of the two ticks away.`)]
  if (!mayBeMissing(bundle.place))
    return [correct('found', `${name} is in a load that still runs (${bundle.place}). Finish that load first.`)]
  return [ask('explanation', `${name} is not found. Say what is known of it; the words stand on the slip.`)]
}

const askPlace = (bundle: BundleIn): Question[] =>
  bundle.place === 'ready shelf'
    ? []
    : [correct('found', `${bundleName(bundle)} is not on the ready shelf (${bundle.place}); it cannot go back yet.`)]

const isCount = (count: number): boolean => Number.isInteger(count) && count >= 0

function askTies(bundle: BundleIn, check: BundleCheck): Question[] {
  const name = bundleName(bundle)
  if (!isCount(check.tiesBack)) return [correct('tiesBack', `${name}: give the ties back as a whole number.`)]
  if (!isCount(check.tiesReplaced))
    return [correct('tiesReplaced', `${name}: give the ties replaced as a whole number.`)]
  const missing = tiesMissing(bundle, check)
  const came = `${name} came with ${sayTies(bundle.tiesIn)}`
  const counted = `${check.tiesBack} back and ${check.tiesReplaced} replaced`
  if (missing < 0) return [correct('tiesBack', `${came}, but ${counted} are more. Correct the counts.`)]
  if (missing === 0) return []
  const lost = `${came}; ${missing} ${missing === 1 ? 'is' : 'are'} missing (${counted}).`
  return [ask('explanation', `${lost} Put it right, or say what became of it; the words stand on the slip.`)]
}

const askTiedAgain = (bundle: BundleIn, { tiedAgain }: BundleCheck): Question[] =>
  tiedAgain ? [] : [ask('tiedAgain', `${bundleName(bundle)} is not ticked as tied up again: tick it, or say why.`)]

function askWeight(bundle: BundleIn, check: BundleCheck): Question[] {
  const { weightG } = check
  const name = bundleName(bundle)
  if (weightG === null) return []
  if (!(Number.isFinite(weightG) && weightG > 0))
    return [correct('weightG', `${name}: give a weight above nothing, or leave it empty.`)]
  const share = `${sayShare(bundle, weightG)} of its dry weight comes back`
  const weight = weighUp(bundle, check)
  if (weight === 'light') return [ask('weightG', `${name} is light: ${share}. Weigh it again, or say what happened.`)]
  if (weight === 'heavy')
    return [ask('weightG', `${name} is heavy: ${share}. Is it dry? Let it dry, or say why it is so.`)]
  return []
}

const askCondition = (bundle: BundleIn, { condition }: BundleCheck): Question[] =>
  condition === 'as it came'
    ? []
    : [ask('explanation', `${bundleName(bundle)} goes back “${condition}”. Say what happened; it stands on the slip.`)]

/** What is in no load, and not on the ready shelf, can only be missing. */
export const mayBeMissing = (place: Place): boolean => place === 'ready shelf' || place === 'arrivals shelf'

/**
 * Whether what is left of a lot can go back: "ready" when all of it is on the ready shelf; "in part" when only some is,
 * so that the rest stays; "if explained" when none is and none is in a load, so that it can only be explained as not
 * found; "stays" while its loads run; "gone" when it went back before.
 */
export type LotStanding = 'ready' | 'in part' | 'if explained' | 'stays' | 'gone'

export function lotStanding(places: readonly Place[]): LotStanding {
  const here = places.filter(isHere)
  if (here.length === 0) return 'gone'
  if (here.every(place => place === 'ready shelf')) return 'ready'
  if (here.includes('ready shelf')) return 'in part'
  return here.every(mayBeMissing) ? 'if explained' : 'stays'
}

/** What stays of a lot that goes back in part: until a day (YYYY-MM-DD), or in words, or both. */
export type Rest = { until: string | null; words: string }
export const NO_REST: Rest = { until: null, words: '' }

/** What is missing about bundles that stay while others of their lot go; '' when nothing is, or none stays. */
export function troubleWithRest(lotId: number, ns: readonly number[], { until, words }: Rest): string {
  if (ns.length === 0 || until !== null || SAYS_SOMETHING.test(words)) return ''
  const [which, stay] = ns.length === 1 ? ['bundle', 'stays'] : ['bundles', 'stay']
  return `Lot ${lotId} goes back in part: say until when ${which} ${sayRuns(ns)} ${stay} here, or why.`
}
