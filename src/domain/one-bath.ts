/** Several lots in one bath: whose fibre may share it, and that as much comes out of it as went in. */
import type { SharesBath } from './client.js'
import { fold } from './fold.js'
import { sayRuns } from './number-runs.js'
import type { Route } from './recipe.js'

export type Owner = { clientId: number; clientName: string; sharesBath: SharesBath }

/** Why the fibre of these owners does not share a bath, in a sentence; null when it may. One owner needs no leave. */
export function whyNotShared(owners: readonly Owner[]): string | null {
  if (owners.every(({ clientId }) => clientId === owners[0]?.clientId)) return null
  const never = owners.find(({ sharesBath }) => sharesBath === 'never')
  if (never) return `${never.clientName} has said that their fibre never shares a bath with that of others.`
  const unasked = owners.find(({ sharesBath }) => sharesBath !== 'may')
  if (!unasked) return null
  return `${unasked.clientName} was not asked yet whether their fibre may share a bath with that of others: ask, and write the answer down.`
}

/** Dyes that come in every colour: which one a bath gets is said by the colour that is asked, and not by the dye. */
const OF_ANY_COLOUR: readonly Route[] = ['label', 'powder']

/** What is asked of a lot, as far as it decides which bath it goes into. */
export type ColourOfBath = { route: Route; colour: string }

/** Why lots of these colours go into different baths, in words; null when they do not, as far as the colour goes. */
export function coloursDiffer(asked: readonly ColourOfBath[]): string | null {
  const colours = new Map(asked.map(({ colour }) => [fold(colour), colour]))
  if (colours.size < 2 || !asked.some(({ route }) => OF_ANY_COLOUR.includes(route))) return null
  return `the colour asked (${[...colours.values()].join('; ')})`
}

/** A lot in a shared bath: its bundles that went in and are not lost since, and those that are. */
export type LotInBath = { lotId: number; bundles: { n: number; code: string }[]; lostNs: readonly number[] }

/** Why a load is not emptied yet, in a sentence; null when as many bundles of the lot were counted as went in. */
export function troubleCounted({ lotId, bundles, lostNs }: LotInBath, counted: number | undefined): string | null {
  if (counted === bundles.length) return null
  const lost = lostNs.length === 0 ? '' : `, and ${sayRuns(lostNs)} is written down as lost`
  const named = bundles.map(({ n, code }) => `${n} (${code})`).join(', ')
  if (counted === undefined) return `Count the bundles of lot ${lotId} as they come out.`
  const sum = `Lot ${lotId}: ${counted} counted out, ${bundles.length} expected${lost}. The tags to look for: ${named}.`
  return counted > bundles.length
    ? `${sum} A bundle of another lot lies among them: look at each tag, and count again.`
    : `${sum} Look for what is missing and count again. What cannot be found is written down first: something went wrong with lot ${lotId}, bundle lost.`
}
