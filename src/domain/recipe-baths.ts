import type { Recipe, RecipeBath, RecipeLine } from './recipe.js'

/** What goes into one bath. `bath` is null when nobody knows how much water it takes. */
export type BathLines = { key: string; title: string; bath: RecipeBath | null; lines: RecipeLine[] }

/** The lines of a recipe bath by bath, in the order of the work; no line is left out. */
export function linesByBath({ baths, lines }: Recipe): BathLines[] {
  const group = (key: string, title: string, bath: RecipeBath | null): BathLines => ({
    key,
    title,
    bath,
    lines: lines.filter(line => line.bathKey === key),
  })
  const known = baths.map(bath => group(bath.key, bath.title, bath))
  const others = [...new Set(lines.map(line => line.bathKey))].filter(key => !baths.some(bath => bath.key === key))
  const main = known.findIndex(({ key }) => key === 'vat')
  // A stock whose water is not known still comes before the vat that it goes into.
  return known.toSpliced(Math.max(0, main), 0, ...others.map(key => group(key, TITLES[key] ?? key, null)))
}

const TITLES: Record<string, string> = { stock: 'Stock for the vat' }
