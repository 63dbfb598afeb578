/** What two pairs of hands might try next: mostly what makes sense where things stand, now and then what does not. */
import fc from 'fast-check'
import { CONDITIONS_BACK, type ConditionBack } from '../../src/domain/bundle-check.js'
import { WATERS } from '../../src/domain/outcome.js'
import { TIE_SAYINGS } from '../../src/domain/tie-board.js'
import { type BundleBrought, OWNER, POTS } from './actions.js'

/** Mostly the first, now and then one of the others. */
const mostly = <T>(usual: T, ...seldom: T[]) =>
  fc.oneof({ weight: 11, arbitrary: fc.constant(usual) }, { weight: 1, arbitrary: fc.constantFrom(...seldom) })

/** Which of several is meant; `isWild`: any at all, or one that does not exist. */
const which = fc.record({ at: fc.nat(5), isWild: mostly(false, true) })
export type Which = { at: number; isWild: boolean }

/** A page that is behind, or of which somebody made up the version. */
const behind = mostly(0, -1, 1)

const brought = fc.record({
  ties: fc.integer({ min: 0, max: 4 }),
  grams: fc.oneof(fc.constantFrom(150, 60, 400), mostly(150, 0)),
})
const lotsBrought = fc.array(fc.array(brought, { minLength: 1, maxLength: 3 }), { minLength: 1, maxLength: 2 })

export const asItCame = {
  found: true,
  tiedAgain: true,
  short: 0,
  replaced: 0,
  share: null as number | null,
  condition: 'as it came' as ConditionBack,
  words: '',
  stays: false,
}
/** What a row may say otherwise: one thing at a time, so that each has to be noticed by itself. */
const flaws: Partial<RowTried>[] = [
  { found: false, tiedAgain: false },
  { found: false },
  { tiedAgain: false },
  { short: 1 },
  { short: 2 },
  { short: 1, replaced: 1 },
  { short: -1, replaced: 1 },
  { short: -1 },
  ...[1, 0.95, 0.5, 1.3].map(share => ({ share })),
  ...CONDITIONS_BACK.map(condition => ({ condition })),
  { stays: true },
  { stays: true },
  { stays: true, found: false, tiedAgain: false },
]
const row = fc
  .tuple(mostly({}, ...flaws), mostly('', 'the dog had it', '  ', '\u200b', '-'))
  .map(([flaw, words]): RowTried => ({ ...asItCame, ...flaw, words }))
/** Something is always wrong, and mostly explained. */
const explainedRow = fc
  .tuple(fc.constantFrom(...flaws), mostly('it came so out of the bath', ''))
  .map(([flaw, words]): RowTried => ({ ...asItCame, ...flaw, words }))
const rowsOf = (each: fc.Arbitrary<RowTried>) => fc.array(each, { minLength: 1, maxLength: 4 })
const rows = fc.oneof(rowsOf(row), rowsOf(explainedRow), rowsOf(fc.oneof(row, explainedRow)))
export type RowTried = typeof asItCame

const intent = <D extends string, S extends object>(does: D, more: { [F in keyof S]: fc.Arbitrary<S[F]> }) =>
  fc.record({ does: fc.constant(does), ...more }) as unknown as fc.Arbitrary<{ does: D } & S>

const takeIn = intent('take in', {
  clientId: fc.constantFrom(1, 1, 2, 2, 3),
  lots: fc.oneof({ weight: 8, arbitrary: lotsBrought }, { weight: 1, arbitrary: fc.constant<BundleBrought[][]>([[]]) }),
})
type Counted = 'as went in' | 'one short' | 'one too many' | 'none'
const keep = intent('keep a recipe', { lot: which })
const putIn = intent('put in pots', {
  lot: which,
  pot: fc.record({ at: fc.nat(POTS.length - 1), isWild: fc.constantFrom(false, false, false, true) }),
  bundles: fc.constantFrom('all that wait', 'all that wait', 'the first that waits', 'all', 'a stranger', 'none'),
  into: fc.constantFrom('one', 'one', 'two', 'two that overlap'),
})
const shareABath = intent('share a bath', {
  lot: which,
  other: which,
  pot: fc.record({ at: fc.nat(POTS.length - 1), isWild: mostly(false, true) }),
  bundles: fc.constantFrom('all that wait', 'all that wait', 'the first that waits', 'none'),
  toldApart: mostly('a red knot', '', ' - '),
})
const nextStep = intent('next step', {
  load: which,
  behind,
  why: mostly('so asked', '', ' '),
  out: mostly<Counted>('as went in', 'one short', 'one too many', 'none'),
  presses: fc.nat(5),
})
const undo = intent('undo', { load: which, behind, presses: fc.nat(2) })
const rinse = intent('rinse', { load: which, water: fc.constantFrom(...WATERS) })
const add = intent('add', { load: which, substanceId: mostly('all-purpose-bottled', 'no-such-dye') })
const note = intent('note', { load: which, words: mostly('a little slow', ' ') })
const save = intent('save the checklist', { commission: which, behind, rows })
const handBack = intent('hand back', {
  commission: which,
  behind,
  rows,
  lots: fc.constantFrom('ready', 'ready', 'all', 'first', 'none'),
  toWhom: mostly<string>(OWNER, 'Marta', ''),
  authority: mostly('', 'Ilse rang'),
  restWords: fc.constantFrom('until the class is over', 'until the class is over', '', ' - '),
  scanned: mostly<'none' | 'all' | 'first'>('none', 'all', 'first'),
  isFilledIn: mostly(true, false),
})
const findAgain = intent('find again', { lost: which, words: mostly('behind the tub', ' ') })
const didNotGo = intent('did not go', { lost: which, words: mostly('left on the table', ' ') })
const sayOfTie = intent('say of a tie', {
  bundle: which,
  saying: fc.constantFrom(...TIE_SAYINGS, 'lost' as const, 'lost' as const),
  words: mostly('', 'it snapped'),
})
const putRight = intent('put right', {
  bundle: which,
  behind,
  what: fc.constantFrom('ties', 'weight', 'both', 'withdrawn', 'overlooked'),
  ties: fc.integer({ min: 0, max: 4 }),
  grams: fc.constantFrom(150, 60, 200),
  why: mostly('counted again', ' '),
})
const mark = intent('mark', { commission: which, held: fc.boolean(), reason: mostly('whose is it?', ' ') })

export const anyIntent = fc.oneof(
  { weight: 2, arbitrary: takeIn },
  { weight: 3, arbitrary: keep },
  { weight: 5, arbitrary: putIn },
  { weight: 3, arbitrary: shareABath },
  { weight: 7, arbitrary: nextStep },
  { weight: 3, arbitrary: undo },
  { weight: 4, arbitrary: rinse },
  { weight: 1, arbitrary: add },
  { weight: 1, arbitrary: note },
  { weight: 2, arbitrary: save },
  { weight: 7, arbitrary: handBack },
  { weight: 2, arbitrary: findAgain },
  { weight: 2, arbitrary: didNotGo },
  { weight: 4, arbitrary: sayOfTie },
  { weight: 4, arbitrary: putRight },
  { weight: 1, arbitrary: mark },
)
export type Intent = typeof anyIntent extends fc.Arbitrary<infer I> ? I : never

const anyMove = fc.oneof(
  { weight: 12, arbitrary: fc.record({ is: fc.constant('press' as const), intent: anyIntent }) },
  { weight: 2, arbitrary: fc.record({ is: fc.constant('two at once' as const), intent: anyIntent, other: anyIntent }) },
  { weight: 1, arbitrary: fc.record({ is: fc.constant('a double press' as const), intent: anyIntent }) },
  { weight: 1, arbitrary: fc.record({ is: fc.constant('an old form again' as const), at: fc.nat(20) }) },
  { weight: 1, arbitrary: fc.record({ is: fc.constant('an old form with other words' as const), at: fc.nat(20) }) },
)
export type Move = typeof anyMove extends fc.Arbitrary<infer M> ? M : never

/** A history begins somewhere in the job, so that a short one reaches its end. */
export const anyHistory = (beginnings: Move[][], most: number): fc.Arbitrary<Move[]> =>
  fc
    .tuple(fc.constantFrom(...beginnings), fc.array(anyMove, { minLength: 1, maxLength: most }))
    .map(([beginning, moves]) => [...beginning, ...moves])
