import { isHere, PLACES, type Place } from './place.js'

/** How pressing a commission is, in words: whole days from today to its needed-by day. */
export function sayPressing(daysLeft: number): string {
  const days = Math.abs(daysLeft)
  if (daysLeft < 0) return days === 1 ? '1 day late' : `${days} days late`
  if (daysLeft === 0) return 'needed today'
  return daysLeft === 1 ? 'needed tomorrow' : `needed in ${days} days`
}

type Placed = { place: Place }
export type PlaceCount = { place: Place; bundles: number }

/** How many bundles are where, in the order in which they pass through the shed. */
export const countPlaces = (bundles: readonly Placed[]): PlaceCount[] =>
  PLACES.map(place => ({ place, bundles: bundles.filter(bundle => bundle.place === place).length })).filter(
    count => count.bundles > 0,
  )

/** What a lot waits for: whatever its hindmost bundle waits for. */
export type Next = 'recipe' | 'pot work' | 'hand-back' | 'nothing'

export function nextFor(bundles: readonly Placed[]): Next {
  const here = bundles.filter(({ place }) => isHere(place))
  if (here.length === 0) return 'nothing'
  if (here.some(({ place }) => place === 'arrivals shelf')) return 'recipe'
  return here.every(({ place }) => place === 'ready shelf') ? 'hand-back' : 'pot work'
}
