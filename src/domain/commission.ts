import { isHere, PLACES, type Place } from './place.js'

/** How pressing a commission is, in words: whole days from today to its needed-by day. */
export function sayPressing(daysLeft: number): string {
  if (daysLeft < 0) return daysLeft === -1 ? '1 day late' : `${-daysLeft} days late`
  if (daysLeft === 0) return 'today'
  return daysLeft === 1 ? 'tomorrow' : `in ${daysLeft} days`
}

/** The end of a sentence about bundles: "12 are …". */
const WHERE: Record<Place, string> = {
  'arrivals shelf': 'on the arrivals shelf',
  'soak tub': 'in the soak tub',
  pot: 'in the pot',
  rinse: 'at the rinse',
  'drying line': 'on the drying line',
  'ready shelf': 'on the ready shelf',
  'handed back': 'handed back',
  'not found': 'not found',
  withdrawn: 'withdrawn, since never there',
}

type Placed = { place: Place }
/** `words` says it for people: "3 on the drying line". */
type PlaceCount = { place: Place; bundles: number; words: string }

/** How many bundles are where, in the order in which they pass through the shed. */
export const countPlaces = (bundles: readonly Placed[]): PlaceCount[] =>
  PLACES.map(place => {
    const there = bundles.filter(bundle => bundle.place === place).length
    return { place, bundles: there, words: `${there} ${WHERE[place]}` }
  }).filter(count => count.bundles > 0)

/** What a lot waits for: whatever its hindmost bundle waits for. */
type Next = 'recipe' | 'pot work' | 'hand-back' | 'nothing'

export function nextFor(bundles: readonly Placed[]): Next {
  const here = bundles.filter(({ place }) => isHere(place))
  if (here.length === 0) return 'nothing'
  if (here.some(({ place }) => place === 'arrivals shelf')) return 'recipe'
  return here.every(({ place }) => place === 'ready shelf') ? 'hand-back' : 'pot work'
}
