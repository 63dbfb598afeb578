/** What a recipe asks of its pot. The rules are common practice, no source; a pin of the dyer's sets them aside. */
import type { Catalogue, Substance } from './catalogue.js'
import type { PlanLoad } from './plan-input.js'
import type { Recipe } from './recipe.js'

export type PotTraits = Pick<PlanLoad, 'iron' | 'bright' | 'heated' | 'neverInMetals' | 'depth'>

/** Metals that change colours when a pot is bare of enamel, as `potMetal` names them. */
const CHANGING = ['iron', 'copper'] as const
const DULLING = ['iron', 'copper', 'chromium']

export function traitsOf(recipe: Recipe, catalogue: Catalogue): PotTraits {
  const ids = new Set(recipe.lines.map(line => line.substanceId))
  const inIt = catalogue.substances.filter(substance => ids.has(substance.id))
  const metals = inIt.flatMap(({ metal }) => metal ?? [])
  const iron = metals.includes('iron') || recipe.lines.some(({ role }) => role === 'iron')
  const wantsIronPot = recipe.job.conditions.includes('iron pot')
  const allowed = (metal: 'iron' | 'copper'): boolean =>
    metal === 'iron' ? iron || wantsIronPot : metals.includes(metal)
  return {
    iron,
    bright: !iron && recipe.job.route !== 'indigo' && !inIt.some(dulls),
    heated: recipe.steps.some(({ heat, place }) => heat && place === 'pot'),
    neverInMetals: CHANGING.filter(metal => !allowed(metal)),
    depth: recipe.job.depth,
  }
}

/** Tannin is a mordant without a metal, or a dye whose words name it; what it leaves in a pot browns the next bath. */
const dulls = ({ kind, metal, words }: Substance): boolean =>
  metal === null ? kind === 'mordant' || /\btannin\b/i.test(words) : DULLING.includes(metal)

/** What the dyer has said of a pot, and what it is made of, as `potMetal` names it. */
export type PotUse = { noIron: boolean; onlyBrights: boolean; noHeat: boolean; metal: string }

/** Why the dyer keeps a pot from such a bath, to be read after the pot's name; null when they do not. */
export function keptFrom(
  { iron, bright, heated }: Pick<PotTraits, 'iron' | 'bright' | 'heated'>,
  pot: Omit<PotUse, 'metal'>,
): string | null {
  if (iron && pot.noIron) return 'is never used with iron'
  if (heated && pot.noHeat) return 'has no heat, which this bath needs'
  return !bright && pot.onlyBrights ? 'is kept for brights' : null
}

/** What it is made of, where that would change the colour; null where it does not. */
export const changedBy = ({ neverInMetals }: Pick<PotTraits, 'neverInMetals'>, metal: string): string | null =>
  neverInMetals.find(one => one === potMetal(metal)) ?? null

/** The same, and when what it is made of would change the colour. */
export const whyNotFor = (traits: Omit<PotTraits, 'depth'>, pot: PotUse): string | null =>
  keptFrom(traits, pot) ?? (traits.neverInMetals.includes(pot.metal) ? `is made of ${pot.metal}` : null)

/** The pots that may take it, however small. */
export function potsTaking<Pot extends PotUse>(recipe: Recipe, catalogue: Catalogue, pots: readonly Pot[]): Pot[] {
  const traits = traitsOf(recipe, catalogue)
  return pots.filter(pot => whyNotFor(traits, pot) === null)
}

/** What a pot is made of, as rules speak of it: "bare iron" is iron, "enamelled iron" is not. */
export function potMetal(words: string): string {
  const told = words.toLowerCase()
  if (/enamel|coated|lined|stainless/.test(told)) return told
  return CHANGING.find(metal => new RegExp(`\\b${metal}\\b`).test(told)) ?? told
}
