/** When fibre is photographed or described, who allows it, and how much of it there may be. */
import type { Photographs } from './client.js'
import type { Place } from './place.js'

export const MOMENTS = ['as it came', 'at the pot', 'as it goes'] as const
export type Moment = (typeof MOMENTS)[number]

/** Which photographs the workshop wants to be reminded of. */
export const WANTED = ['none', 'as it came', 'as it came and as it goes'] as const
export type Wanted = (typeof WANTED)[number]

/** "not asked" is not a yes. */
export const mayPhotograph = (said: Photographs): boolean => said === 'yes' || said === 'yes, not to show'
/** Whether a photograph may stand on a page that anybody else opens. */
export const mayShow = (said: Photographs): boolean => said === 'yes'

/** Why no photograph is taken in, for the person who holds the camera. */
export const sayMayNot = (said: Photographs, clientName: string): string =>
  said === 'no'
    ? `${clientName} does not want photographs, so none was kept. Describe it in words instead.`
    : `${clientName} has not been asked about photographs, so none was kept. Ask, write the answer down, then send it again.`

/** The moment that a photograph taken now most likely shows. */
export function momentNow(places: readonly Place[]): Moment {
  if (places.every(place => place === 'arrivals shelf')) return 'as it came'
  return places.some(place => ['soak tub', 'pot', 'rinse', 'drying line'].includes(place)) ? 'at the pot' : 'as it goes'
}

/** Each of them, when it can still be taken and was not: what the workshop wants to be reminded of. */
export function momentsMissing(wanted: Wanted, places: readonly Place[], taken: readonly Moment[]): Moment[] {
  const due: Moment[] = []
  if (wanted !== 'none' && places.every(place => place === 'arrivals shelf')) due.push('as it came')
  if (wanted === 'as it came and as it goes' && places.includes('ready shelf')) due.push('as it goes')
  return due.filter(moment => !taken.includes(moment))
}

const MB = 1_000_000
/** One file as a phone sends it, and how many come in one form. */
export const MOST_FILE_BYTES = 25 * MB
export const MOST_FILES = 12
/** The longer side of what is kept. */
export const LONGEST_SIDE_PX = 1800
/** What stays free on the disk of the records, whatever is photographed. */
const LEAST_FREE_BYTES = 500 * MB

const inMb = (bytes: number): string => `${Math.floor(bytes / MB).toLocaleString('en-GB')} MB`

/**
 * Why no further photograph can be taken in, or ''. `comingBytes` is the size of the whole form, 0 when it is not said;
 * `keptBytes` is what is kept by now, `mostBytes` what may be kept (all in bytes).
 */
export function sayNoRoom(room: {
  freeBytes: number
  keptBytes: number
  mostBytes: number
  comingBytes: number
}): string {
  if (room.freeBytes - room.comingBytes < LEAST_FREE_BYTES) {
    return `Only ${inMb(room.freeBytes)} are free on the disk that holds the records, and ${inMb(LEAST_FREE_BYTES)} of it stay free for them. Make room on that disk, then send the photographs again.`
  }
  if (room.keptBytes >= room.mostBytes) {
    return `The photographs fill the ${inMb(room.mostBytes)} that are set aside for them. Withdraw some that nobody needs, or set TIE_PHOTOGRAPHS_MB higher and start again.`
  }
  return ''
}
