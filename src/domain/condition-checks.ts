/**
 * Each time a bundle was looked at, and what was not done yet of it: it is looked at when it comes, after a bath, after
 * anything that went wrong, and before it goes back (Spectrum 5.0, Condition checking: at points of risk).
 */
import { sayRuns } from './number-runs.js'
import { isHere, type Place } from './place.js'

export type ConditionCheck = {
  /** What it was looked at for. */
  on: 'arrival' | 'description' | 'incident' | 'outcome' | 'checklist' | 'hand-back'
  at: string
  who: string
  /** In the agreed words. */
  seen: string
  words: string
  /** Of the incident or the slip; null for the others. */
  id: number | null
}

/** `outOfBathAt`: when it last came out of a bath; null when it never did. */
export type Looked = { checks: readonly ConditionCheck[]; outOfBathAt: string | null; place: Place }

export type MissingCheck = { after: 'the bath' | 'going wrong' | 'the work'; incidentId: number | null }

/** A bundle of which one of these was said has to be seen again; one that is lost cannot be. */
const TO_SEE_AGAIN = ['strip torn', 'damaged', 'unsuitable fibre', 'bundle found again', 'otherwise']

/** What it was not looked at for yet, in the order of the work; a bundle that went back was looked at for all. */
export function missingChecks({ checks, outOfBathAt, place }: Looked): MissingCheck[] {
  if (!isHere(place)) return []
  const seenAfter = (at: string) => checks.some(check => check.on !== 'incident' && check.at > at)
  const wrong = checks.filter(({ on, seen }) => on === 'incident' && TO_SEE_AGAIN.includes(seen))
  const last = wrong.filter(({ at }) => !seenAfter(at)).at(-1)
  return [
    ...(outOfBathAt !== null && !seenAfter(outOfBathAt) ? [{ after: 'the bath' as const, incidentId: null }] : []),
    ...(last ? [{ after: 'going wrong' as const, incidentId: last.id }] : []),
    ...(place !== 'ready shelf' || checks.some(({ on, at }) => on === 'checklist' && at > (outOfBathAt ?? ''))
      ? []
      : [{ after: 'the work' as const, incidentId: null }]),
  ]
}

export const MISSING_WORDS: Readonly<Record<MissingCheck['after'], string>> = {
  'the bath': 'since it came out of the bath',
  'going wrong': 'since it went wrong',
  'the work': 'for the hand-back',
}

/** "Bundles 2 and 3 of lot 4 were not looked at since they went wrong", for the list of open points. */
export const sayNotSeenSince = (lotId: number, ns: readonly number[]): string =>
  ns.length === 1
    ? `Bundle ${ns[0]} of lot ${lotId} was not looked at since it went wrong: say how it looks now`
    : `Bundles ${sayRuns(ns)} of lot ${lotId} were not looked at since they went wrong: say how they look now`
