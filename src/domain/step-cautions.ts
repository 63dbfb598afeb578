/** The usual care for each step, read off what is in its bath. Common practice, no source, unless a comment says so. */
import type { Substance } from './catalogue.js'
import type { RecipeJob, Step } from './recipe.js'

export const CARE = {
  gloves: 'Wear gloves.',
  foodPots: 'Never use a pot, spoon or bowl that will hold food again.',
  dust: 'Wear a dust mask while powders are weighed and stirred in.',
  air: 'Keep a window open or work outside: do not breathe the steam.',
  hot: 'Hot liquor scalds: open the lid away from you and move slowly.',
  lifting: 'Do not lift a filled pot: bail it out first.',
  alkali: 'Wear eye protection: an alkali goes into this bath.',
  reducer: 'Never bring acid near a reducing agent; keep it dry in its tin, and add it to water, never water to it.',
  iron: 'Iron weakens plant fibre: no stronger and no longer than the shade needs.',
  ironPot: 'Keep this pot, stick and cloth for iron: a trace of it dulls the next colour.',
  children: 'Keep children and class members away from powders, hot baths and spent baths.',
} as const

type Stage = Pick<Step, 'key' | 'heat' | 'place'>

/** Cautions for one step, given what goes into its bath. */
export function stepCautions(stage: Stage, inBath: Substance[], job: RecipeJob): string[] {
  if (stage.place === 'drying line') return []
  const wet = stage.key === 'soak' ? [] : [CARE.gloves]
  const children = job.purposes.includes('class use') && stage.place === 'pot' ? [CARE.children] : []
  return [...wet, ...bathCautions(inBath), ...(stage.heat ? [CARE.air, CARE.hot] : []), ...lifting(stage), ...children]
}

function bathCautions(inBath: Substance[]): string[] {
  if (inBath.length === 0) return []
  const has = (test: (substance: Substance) => boolean, words: string[]) => (inBath.some(test) ? words : [])
  return [
    CARE.foodPots,
    ...has(substance => substance.form === 'powder', [CARE.dust]),
    ...has(substance => substance.kind === 'alkali', [CARE.alkali]),
    ...has(substance => substance.kind === 'reducing agent', [CARE.reducer]),
    ...has(substance => substance.metal === 'iron', [CARE.iron, CARE.ironPot]),
  ]
}

const lifting = (stage: Stage): string[] => (stage.place === 'pot' ? [CARE.lifting] : [])
