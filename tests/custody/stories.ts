/** Histories that are told in full: those that chance would seldom hit upon, and the beginnings of all others. */
import { OWNER } from './actions.js'
import { asItCame, type Intent, type Move, type RowTried, type Which } from './intents.js'

const the = (at: number): Which => ({ at, isWild: false })
const press = (intent: Intent): Move => ({ is: 'press', intent })

const bundle = { ties: 3, grams: 150 }
const takeIn = press({
  does: 'take in',
  clientId: 1,
  lots: [[bundle, { ties: 2, grams: 150 }, bundle], [{ ties: 1, grams: 60 }]],
})
type Brought = Extract<Intent, { does: 'take in' }>['clientId']
const takeInOf = (clientId: Brought): Move => press({ does: 'take in', clientId, lots: [[bundle, bundle]] })
const keepAt = (at: number): Move => press({ does: 'keep a recipe', lot: the(at) })
const keep = keepAt(0)
type PutIn = Extract<Intent, { does: 'put in pots' }>
const putIn = (more: Partial<PutIn> = {}): Move =>
  press({ does: 'put in pots', lot: the(0), pot: the(0), bundles: 'all that wait', into: 'one', ...more })
type NextStep = Extract<Intent, { does: 'next step' }>
const nextStep = (out: NextStep['out'], times = 1, load = 0): NextStep => {
  const whole = { load: the(load), behind: 0, why: 'so asked', presses: times - 1 } as const
  return { does: 'next step', ...whole, out }
}
const steps = (times: number, load = 0, out: NextStep['out'] = 'as went in'): Move => press(nextStep(out, times, load))
type ShareABath = Extract<Intent, { does: 'share a bath' }>
const share = (more: Partial<ShareABath> = {}): Move => {
  const whole = { lot: the(0), other: the(0), pot: the(0), bundles: 'all that wait', toldApart: 'a red knot' } as const
  return press({ does: 'share a bath', ...whole, ...more })
}
const undo = (times: number, load = 0): Move => press({ does: 'undo', load: the(load), behind: 0, presses: times - 1 })
type HandBack = Extract<Intent, { does: 'hand back' }>
const everyday = { toWhom: OWNER, authority: '', restWords: '', scanned: 'none', isFilledIn: true } as const
const handBack = (row: Partial<RowTried>, more: Partial<HandBack> = {}): Move => {
  const whole = { commission: the(0), behind: 0, lots: 'ready', ...everyday } as const
  return press({ does: 'hand back', ...whole, rows: [{ ...asItCame, ...row }], ...more })
}
const lastStays = [asItCame, asItCame, { ...asItCame, stays: true }]
const oneIsLost = [asItCame, { ...asItCame, found: false, tiedAgain: false, words: 'nowhere' }]
const find = press({ does: 'find again', lost: the(0), words: 'behind the tub' })
const stayed = press({ does: 'did not go', lost: the(0), words: 'left on the table' })
const tie = (saying: Extract<Intent, { does: 'say of a tie' }>['saying']): Move =>
  press({ does: 'say of a tie', bundle: the(0), saying, words: '' })
const right = (what: Extract<Intent, { does: 'put right' }>['what'], ties = 3, bundle = the(0)): Move =>
  press({ does: 'put right', bundle, behind: 0, what, ties, grams: 200, why: 'counted again' })
const markHeld = (held: boolean) => press({ does: 'mark', commission: the(0), held, reason: 'whose is it?' })
const save = (row: Partial<RowTried>, behind = 0): Move =>
  press({ does: 'save the checklist', commission: the(0), behind, rows: [{ ...asItCame, ...row }] })

/** Up to the pot, and through all its steps to the ready shelf. */
const works = [takeIn, keep, putIn()]
const dries = [...works, steps(5)]
const inSecondBath = [...dries, putIn(), steps(1)]

/** A lot of the first client and one of another wait, both by the same recipe. */
const beside = (clientId: Brought): Move[] => [takeIn, takeInOf(clientId), keep, keepAt(1)]
const shared = [...beside(2), share()]

export const beginnings: Move[][] = [[], [takeIn], works, dries, dries, dries, inSecondBath, beside(2), shared, shared]

/** Each of these is refused without words for it, and goes with them. */
const flaws: Partial<RowTried>[] = [
  { short: 1 },
  { tiedAgain: false },
  { share: 0.5 },
  { share: 1.3 },
  { condition: 'torn' },
  { found: false, tiedAgain: false },
]
const explained = flaws.map(flaw => [
  ...dries,
  handBack(flaw),
  handBack({ ...flaw, words: ' \u200b-' }),
  handBack({ ...flaw, words: 'it came so out of the bath' }),
])

export const stories: Move[][] = [
  [...dries, handBack({}), keep, putIn(), undo(1), save({ tiedAgain: false }), handBack({})],
  ...explained,
  // A bundle is overlooked at drop-off, and only seen when others of its lot came back after the slip.
  [...dries, handBack({}), stayed, right('overlooked', 3, { at: 0, isWild: true }), handBack({})],
  // What no words put right: more ties than came, both ticks at once, a bundle in a load that runs.
  [...dries, handBack({ short: -1, words: 'one too many' }), handBack({ found: false, words: 'here and not here' })],
  [...works, handBack({ found: false, tiedAgain: false, words: 'nowhere' }, { lots: 'all' })],
  // A second bath: its ties come off again, and undoing it puts them back.
  [...inSecondBath, undo(1, 1), undo(1, 1), undo(3)],
  // Handed back by mistake, here again and handed back once more; never twice, and a tie that was lost then stays lost.
  [
    ...dries,
    handBack({ short: 1, words: 'the dog had it' }),
    stayed,
    stayed,
    handBack({ words: 'one tie is gone' }),
    press({ does: 'did not go', lost: the(1), words: 'left on the table' }),
    tie('found'),
    handBack({}),
  ],
  // The end of a bath is not undone once its bundles are in another; nor a lift once the pot is taken.
  [...dries, putIn(), undo(1), undo(1, 1), undo(6)],
  [...works, steps(3), keep, putIn(), undo(1), undo(1, 1), undo(1)],
  // Shared out over two pots, or over one that is too small, out of use, not there or in use.
  [takeIn, keep, putIn({ into: 'two that overlap' }), putIn({ into: 'two' }), steps(2), undo(4, 1)],
  [takeIn, keep, ...[2, 3, 4].map(at => putIn({ pot: { at, isWild: true } }))],
  [...works, keep, putIn({ pot: { at: 0, isWild: true } })],
  // What is typed on the checklist from a page that is behind, and what was saved and is not typed again.
  [
    ...dries,
    save({ tiedAgain: false }),
    save({}, -1),
    handBack({}, { behind: -1 }),
    handBack({}, { isFilledIn: false }),
  ],
  [...dries, save({ short: 1, words: 'it snapped' }), handBack({}, { isFilledIn: false })],
  // In part: not without a word for the rest, which goes by itself later; by their tags, with no tick but the scan.
  [
    ...dries,
    handBack({}, { rows: lastStays }),
    handBack({}, { rows: lastStays, restWords: 'until the class is over' }),
    handBack({}, { rows: lastStays }),
    handBack({ tiedAgain: false }, { scanned: 'all' }),
  ],
  // Lost, found, and lost again; each time on a slip of its own, and never found where it was not lost.
  [
    ...dries,
    handBack({}, { rows: oneIsLost }),
    find,
    find,
    handBack({}, { rows: [{ ...asItCame, found: false, tiedAgain: false, words: 'gone again' }] }),
    find,
    handBack({}),
    find,
  ],
  // The end of a bath is not undone once one of its bundles has gone, nor once one was lost and found.
  [...dries, handBack({}, { rows: lastStays, restWords: 'until the class is over' }), undo(1)],
  [
    ...dries,
    handBack({}, { rows: [oneIsLost[1] ?? asItCame, ...lastStays], restWords: 'until the class is over' }),
    find,
    undo(2),
  ],
  // Held for a while; and to somebody else, who says by what right.
  [
    ...dries,
    markHeld(true),
    markHeld(true),
    handBack({}),
    markHeld(false),
    markHeld(false),
    handBack({}, { toWhom: 'Marta' }),
  ],
  [...dries, handBack({}, { toWhom: 'Marta', authority: 'Ilse rang' })],
  // Lost and made anew while the bath runs and after it: the bath may be undone, and the hand-back knows of it.
  [
    ...works,
    steps(1),
    tie('lost'),
    tie('replaced'),
    tie('lost'),
    undo(1),
    steps(5),
    tie('first back'),
    handBack({ short: 1, words: 'gone' }),
  ],
  [...works, tie('lost'), steps(2), undo(3), tie('found'), tie('found')],
  [...dries, save({}), tie('lost'), handBack({}, { isFilledIn: false }), handBack({}), undo(1)],
  // Put right before and after the pot: the recipe is kept anew, and ties are counted anew only before any came off.
  [
    takeIn,
    right('ties', 4),
    keep,
    right('weight'),
    putIn(),
    keep,
    putIn(),
    right('ties', 2),
    right('weight'),
    undo(1),
    right('ties', 2),
    keep,
    putIn(),
    steps(5),
    right('ties', 3),
    handBack({}),
  ],
  [
    takeIn,
    save({}),
    right('withdrawn'),
    right('overlooked'),
    right('withdrawn'),
    keep,
    putIn(),
    steps(5),
    handBack({}),
  ],
  [
    ...dries,
    right('overlooked'),
    handBack({}, { rows: lastStays, restWords: 'until the class is over' }),
    right('withdrawn'),
  ],
  // Two owners in one bath: not without a word, nor beside one who lets nobody; counted out of the pot, and of the load.
  [
    ...beside(2),
    share({ toldApart: ' - ' }),
    share({ bundles: 'none' }),
    share({ other: { at: 0, isWild: true } }),
    share(),
  ],
  [...beside(3), share()],
  [...beside(1), share(), steps(2), undo(3), share()],
  [
    ...shared,
    steps(5, 0, 'one short'),
    steps(1, 0, 'none'),
    steps(1, 0, 'one too many'),
    steps(1),
    undo(1),
    steps(1, 0, 'one short'),
    steps(5),
    handBack({}),
    undo(1),
    handBack({}, { commission: the(1) }),
  ],
  [...shared, steps(6), putIn(), undo(1), undo(1, 1), undo(6)],
  // While its ties come off in the bath, one is said to be lost on a board that shows them on: look again.
  [
    ...works,
    {
      is: 'two at once',
      intent: nextStep('as went in'),
      other: { does: 'say of a tie', bundle: the(1), saying: 'lost', words: '' },
    },
    tie('lost'),
  ],
  // The colour still runs: it is not hung up without a word.
  [
    ...works,
    steps(3),
    press({ does: 'rinse', load: the(0), water: 'dark' }),
    press({ does: 'next step', load: the(0), behind: 0, why: ' ', out: 'as went in', presses: 0 }),
    steps(2),
  ],
]
