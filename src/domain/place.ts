/** Where a bundle is at a moment; it is always in exactly one of these. */
export const PLACES = [
  'arrivals shelf',
  'soak tub',
  'pot',
  'rinse',
  'drying line',
  'ready shelf',
  'handed back',
  'not found',
  'withdrawn',
] as const
export type Place = (typeof PLACES)[number]

/** Places in which a bundle belongs to a load. */
export const LOAD_PLACES = ['soak tub', 'pot', 'rinse', 'drying line'] as const satisfies readonly Place[]

/** A bundle in one of these is not in the dyer's care: it went back, is explained on the slip, or was never there. */
export const GONE_PLACES = ['handed back', 'not found', 'withdrawn'] as const satisfies readonly Place[]
export const HERE_PLACES: readonly Place[] = PLACES.filter(place => !(GONE_PLACES as readonly Place[]).includes(place))

/** Places that may be parted into named spots. */
export const SPOT_PLACES = ['arrivals shelf', 'drying line', 'ready shelf'] as const satisfies readonly Place[]
export type SpotPlace = (typeof SPOT_PLACES)[number]
export const isSpotPlace = (place: string): place is SpotPlace => (SPOT_PLACES as readonly string[]).includes(place)

export const isHere = (place: Place): boolean => !(GONE_PLACES as readonly Place[]).includes(place)
