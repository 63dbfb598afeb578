import { sayRuns } from './number-runs.js'

/** What can go wrong with fibre in somebody's care, as the history says it of a lot. */
export const INCIDENTS = [
  'fetched back undyed',
  'strip torn',
  'bundle lost',
  'bundle found again',
  'unsuitable fibre',
  'damaged',
  'otherwise',
] as const
export type IncidentKind = (typeof INCIDENTS)[number]

/** As it is asked and shown. */
export const INCIDENT_WORDS: Readonly<Record<IncidentKind, string>> = {
  'fetched back undyed': 'The client fetches it back undyed',
  'strip torn': 'A strip tore',
  'bundle lost': 'A bundle cannot be found',
  'bundle found again': 'A bundle was found again',
  'unsuitable fibre': 'The fibre is not fit for what was asked',
  damaged: 'It came to harm',
  otherwise: 'Something else',
}

export const WORD_KINDS = ['client told', 'cannot be told', 'done'] as const
export type IncidentWordKind = (typeof WORD_KINDS)[number]

/** "lot 4, bundles 2 to 5", or "lot 4" when it is about all of it. `all` is how many bundles the lot has. */
export function aboutWhat(lotId: number, ns: readonly number[], all: number): string {
  if (ns.length === all) return `lot ${lotId}`
  return `lot ${lotId}, ${ns.length === 1 ? 'bundle' : 'bundles'} ${sayRuns(ns)}`
}

export const isTold = (words: readonly { kind: IncidentWordKind }[]): boolean =>
  words.some(({ kind }) => kind === 'client told' || kind === 'cannot be told')
