/** Where everything is: every bundle that is here by its place, and there by its pot or its spot. */
import { HERE_PLACES, type Place } from './place.js'

export type Lying = { place: Place; potName: string | null; spotName: string | null }

/** A pot, a named spot, or the rest of the place under the name ''. */
export type Corner<B> = { name: string; bundles: B[] }
export type Held<B> = { place: Place; count: number; corners: Corner<B>[] }

const cornerOf = ({ place, potName, spotName }: Lying): string => (place === 'pot' ? potName : spotName) ?? ''

/**
 * All places in the order of the work, also empty ones; in each, what lies at no spot comes first, then its spots by
 * name. Each bundle stands in it once; a bundle that is gone is in none.
 */
export function heldByPlace<B extends Lying>(
  bundles: readonly B[],
  spots: readonly { place: Place; name: string }[] = [],
): Held<B>[] {
  return HERE_PLACES.map(place => {
    const here = bundles.filter(bundle => bundle.place === place)
    const names = new Set([...here.map(cornerOf), ...spots.filter(spot => spot.place === place).map(spot => spot.name)])
    const corners = [...names]
      .sort((one, other) => one.localeCompare(other, 'en', { numeric: true }))
      .map(name => ({ name, bundles: here.filter(bundle => cornerOf(bundle) === name) }))
    return { place, count: here.length, corners }
  })
}

/** Bundles that were ever written down, and where they went; what was withdrawn had never been there. */
export type Sum = { takenIn: number; withdrawn: number; handedBack: number; notFound: number; here: number }

/** What came and did not go is here. */
export const addsUp = ({ takenIn, withdrawn, handedBack, notFound, here }: Sum): boolean =>
  takenIn - withdrawn - handedBack - notFound === here
