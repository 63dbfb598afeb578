import { PLACES, type Place } from './place.js'

/** A place of the shed as its owner's own words would have it. */
const FOR_CLIENTS: Readonly<Record<Place, string>> = {
  'arrivals shelf': 'waiting here',
  'soak tub': 'soaking',
  pot: 'in the dye',
  rinse: 'being rinsed',
  'drying line': 'drying',
  'ready shelf': 'ready to fetch',
  'handed back': 'with you',
  'not found': 'not found: see your slip',
  withdrawn: 'written down by mistake',
}

/** "3 drying, 2 ready to fetch", in the order in which bundles pass through the shed. */
export function whereForClients(places: readonly Place[]): string {
  const counts = PLACES.map(place => ({ place, here: places.filter(one => one === place).length }))
  return counts
    .filter(({ here }) => here > 0)
    .map(({ place, here }) => `${here} ${FOR_CLIENTS[place]}`)
    .join(', ')
}

/**
 * "1 tie lost: see your slip", or ''. The ties of a bundle that is not found are told with it; before a bundle goes back,
 * there is no slip that says more.
 */
export function lostForClients(bundles: readonly { place: Place; tiesLost: number }[]): string {
  const short = bundles.filter(({ place, tiesLost }) => place !== 'not found' && tiesLost > 0)
  if (short.length === 0) return ''
  const ties = short.reduce((sum, { tiesLost }) => sum + tiesLost, 0)
  const said = `${ties} ${ties === 1 ? 'tie' : 'ties'} lost`
  return short.some(({ place }) => place === 'handed back') ? `${said}: see your slip` : said
}

/** Whether something of these waits to be fetched. */
export const isToFetch = (places: readonly Place[]): boolean => places.includes('ready shelf')

/** Whether something of these is still to be done. */
export const isInWork = (places: readonly Place[]): boolean => places.some(place => !AFTER_WORK.includes(place))
const AFTER_WORK: readonly Place[] = ['ready shelf', 'handed back', 'not found', 'withdrawn']

/** Twenty-six letters and figures of RFC 4648's base 32 hold 130 bits: nobody guesses that. */
export const TOKEN_LENGTH = 26
const ALPHABET = 'ABCDEFGHIJKLMNOPQRSTUVWXYZ234567'

/** A token from as many random bytes; each byte gives five of its bits. */
export const tokenFrom = (bytes: Uint8Array): string =>
  Array.from(bytes.subarray(0, TOKEN_LENGTH), byte => ALPHABET[byte & 31]).join('')

/** As it is read from an address, in whatever case; '' when it cannot be one. */
export function readToken(typed: string): string {
  const token = typed.toUpperCase()
  return /^[A-Z2-7]{26}$/.test(token) ? token : ''
}
