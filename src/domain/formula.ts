/**
 * Reads a chemical formula such as "KAl(SO4)2·12H2O" and gives its molar mass in g/mol.
 * Standard atomic weights, abridged: CIAAW/IUPAC 2021 (Prohaska et al., Pure Appl. Chem. 2022, 10.1515/pac-2019-0603).
 * The table holds the elements of the salts, acids and alkalis of the trade, no more.
 */
import { quote } from './read-measure.js'
import { type Read, Refusal, read, unread } from './refusal.js'
import { sayFigure } from './say-quantity.js'

const ATOMIC_WEIGHTS: ReadonlyMap<string, number> = new Map([
  ['H', 1.008],
  ['C', 12.011],
  ['N', 14.007],
  ['O', 15.999],
  ['Na', 22.98976928],
  ['Al', 26.9815384],
  ['S', 32.06],
  ['Cl', 35.45],
  ['K', 39.0983],
  ['Ca', 40.078],
  ['Fe', 55.845],
  ['Cu', 63.546],
  ['Zn', 65.38],
])

/** How many atoms of each element one unit of the formula holds. */
export type Atoms = ReadonlyMap<string, number>
export type Formula = { atoms: Atoms; molarMassGPerMol: number }

const LONGEST_FORMULA = 80
const MOST_ATOMS = 9999

/** Subscript digits, and whatever dot was typed before the water of a hydrate, in one plain spelling. */
const plain = (typed: string): string =>
  typed
    .normalize('NFKC')
    .replace(/\s+/g, '')
    .replace(/[.*•∙⋅]/g, '·')
    .replace(/\[/g, '(')
    .replace(/\]/g, ')')

const TOKEN = /[A-Z][a-z]?|[()]|\d+/g

const addTo = (atoms: Map<string, number>, more: Atoms, times: number): void => {
  for (const [element, count] of more) atoms.set(element, (atoms.get(element) ?? 0) + count * times)
}

/** The number at the front, taken off; 1 when there is none. */
const takeCount = (tokens: string[]): number => {
  const [token] = tokens
  if (token === undefined || !/^\d/.test(token)) return 1
  tokens.shift()
  return Number(token)
}

/** Elements and brackets up to a closing bracket or the end; undefined when something else stands there. */
const takeGroup = (tokens: string[], nested: boolean): Map<string, number> | undefined => {
  const atoms = new Map<string, number>()
  while (tokens.length > 0) {
    const token = tokens.shift() ?? ''
    if (token === ')') return nested && atoms.size > 0 ? atoms : undefined
    const inside = token === '(' ? takeGroup(tokens, true) : new Map([[token, 1]])
    if (!inside || (token !== '(' && !ATOMIC_WEIGHTS.has(token))) return undefined
    addTo(atoms, inside, takeCount(tokens))
  }
  return nested ? undefined : atoms
}

/** One stretch between dots, such as "12H2O". */
const readStretch = (stretch: string): Atoms | undefined => {
  const tokens = stretch.match(TOKEN) ?? []
  if (tokens.join('') !== stretch) return undefined
  const times = takeCount(tokens)
  const group = takeGroup([...tokens], false)
  if (!group || group.size === 0) return undefined
  const atoms = new Map<string, number>()
  addTo(atoms, group, times)
  return atoms
}

const unreadable = (typed: string): Read<never> =>
  unread(`${quote(typed)} cannot be read as a formula. Write it like KAl(SO4)2·12H2O.`)

/** The atoms and the molar mass of a formula as typed, or a sentence. Capitals matter: Co is not CO. */
export const readFormula = (typed: string): Read<Formula> => {
  if (typed.length > LONGEST_FORMULA) return unreadable(typed)
  const atoms = new Map<string, number>()
  for (const stretch of plain(typed).split('·')) {
    const some = readStretch(stretch)
    if (!some) return unreadable(typed)
    addTo(atoms, some, 1)
  }
  const counts = [...atoms.values()]
  if (counts.some(count => count < 1 || count > MOST_ATOMS)) return unreadable(typed)
  return read({ atoms, molarMassGPerMol: massOf(atoms) })
}

const massOf = (atoms: Atoms): number =>
  [...atoms].reduce((sum, [element, count]) => sum + count * (ATOMIC_WEIGHTS.get(element) ?? Number.NaN), 0)

/** The same for a formula that was checked before; throws a `Refusal` when it cannot be read after all. */
export const formulaOf = (typed: string): Formula => {
  const formula = readFormula(typed)
  if (!formula.ok) throw new Refusal('wrong', formula.sentence)
  return formula.value
}

/** A book rounds by far less, and one water more or less in a salt of the trade is far more: common practice, no source. */
const AGREE_WITHIN_PERCENT = 0.5

/**
 * Holds a molar mass against the formula beside it: a question that names both figures when they differ, else null. A
 * formula that cannot be read, or holds an element that the table lacks, is not held against anything.
 */
export const askWhichMass = (formula: string, molarMassGPerMol: number): string | null => {
  const known = readFormula(formula)
  if (!known.ok) return null
  const { molarMassGPerMol: ofFormula } = known.value
  if (Math.abs(molarMassGPerMol - ofFormula) <= (ofFormula * AGREE_WITHIN_PERCENT) / 100) return null
  return `${formula} comes to ${sayFigure(ofFormula, 5)} g/mol by its atomic weights, and the molar mass says ${sayFigure(molarMassGPerMol, 5)} g/mol. Which one is right? Correct the other, or tick that both stand.`
}
