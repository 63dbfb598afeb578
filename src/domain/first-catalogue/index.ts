/** What a new workshop starts with: a first catalogue to correct and extend, not to believe. */
import type { Catalogue } from '../catalogue.js'
import { dyestuffs } from './dyestuffs.js'
import { fibres } from './fibres.js'
import { mordantsAndAssistants } from './mordants-and-assistants.js'
import { rules } from './rules.js'

export const firstCatalogue: Catalogue = { fibres, substances: [...dyestuffs, ...mordantsAndAssistants], rules }
