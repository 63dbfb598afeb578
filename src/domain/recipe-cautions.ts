/** Warnings that go with a recipe: each substance's label and care, and what always holds. */
import { type Catalogue, NOT_KNOWN } from './catalogue.js'
import { findSubstance } from './catalogue-look-up.js'
import { commonPractice } from './how.js'
import type { Caution, RecipeJob, RecipeLine } from './recipe.js'
import { CARE } from './step-cautions.js'

/** The sentence that stands on every recipe. */
export const TIN_DECIDES = "The tin's own safety data sheet and local rules decide."

export function cautionsOf(job: RecipeJob, lines: RecipeLine[], notKnown: string[], catalogue: Catalogue): Caution[] {
  const ids = [...new Set(lines.map(line => line.substanceId))]
  return [
    ...ids.map(id => substanceCaution(id, catalogue)),
    ...notKnown.map(name => general('recipe', name, [`How much ${name} goes with this is ${NOT_KNOWN}.`])),
    ...(job.purposes.includes('class use') ? [general('recipe', 'Class use', [CARE.children])] : []),
    general('always', 'Always', [TIN_DECIDES, CARE.gloves, CARE.foodPots]),
  ]
}

function substanceCaution(id: string, catalogue: Catalogue): Caution {
  const { name, hazard, care } = findSubstance(catalogue, id, 'catalogue')
  const { signalWord, statements, standing, provenance } = hazard
  return { about: 'substance', name, signalWord, statements, standing, words: care, provenance }
}

function general(about: 'recipe' | 'always', name: string, words: string[]): Caution {
  return { about, name, signalWord: null, statements: [], standing: null, words, provenance: commonPractice }
}
