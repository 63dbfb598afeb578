import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import {
  afterTieEvent,
  allAfter,
  allPutBack,
  allTakenOff,
  drawnTies,
  saidOfTie,
  sayTieCounts,
  TIE_EVENTS,
  TIE_SAYINGS,
  type TieCounts,
  takenOffUndone,
  tiesGoingBack,
} from '../../src/domain/tie-board.js'

const three: TieCounts = { tiesIn: 3, tiesOn: 3, tiesOff: 0, tiesLost: 0, tiesReplaced: 0 }
const onBoard: TieCounts = { ...three, tiesOn: 0, tiesOff: 3 }

const addsUp = ({ tiesIn, tiesOn, tiesOff, tiesLost, tiesReplaced }: TieCounts): boolean =>
  tiesOn + tiesOff + tiesLost === tiesIn &&
  Math.min(tiesOn, tiesOff, tiesLost, tiesReplaced) >= 0 &&
  tiesReplaced <= tiesOn + tiesOff

const anyEvent = fc.record({
  kind: fc.constantFrom(...TIE_EVENTS),
  count: fc.integer({ min: -1, max: 4 }),
  tied: fc.boolean(),
})
/** Ties as any sequence of events leaves them; what cannot be is left out. */
const anyTies = fc.tuple(fc.nat(6), fc.array(anyEvent, { maxLength: 30 })).map(([tiesIn, events]) => {
  const came = { tiesIn, tiesOn: tiesIn, tiesOff: 0, tiesLost: 0, tiesReplaced: 0 }
  return events.reduce<TieCounts>((ties, event) => afterTieEvent(ties, event) ?? ties, came)
})

describe('whatever happens to them', () => {
  test('the ties add up to those that came', () => {
    fc.assert(
      fc.property(anyTies, ties => addsUp(ties)),
      { numRuns: 200 },
    )
  })

  test('each is drawn once', () => {
    fc.assert(
      fc.property(anyTies, ties => {
        const drawn = drawnTies(ties)
        expect(drawn).toHaveLength(ties.tiesIn)
        expect(drawn.filter(state => state === 'missing')).toHaveLength(ties.tiesLost)
        expect(drawn.filter(state => state === 'off')).toHaveLength(ties.tiesOff)
      }),
      { numRuns: 200 },
    )
  })

  test('a hand-back brings them to what it counted, from wherever they were', () => {
    fc.assert(
      fc.property(anyTies, fc.nat(6), fc.nat(6), (ties, some, others) => {
        const tiesBack = some % (ties.tiesIn + 1)
        const tiesReplaced = others % (ties.tiesIn - tiesBack + 1)
        expect(allAfter(ties, tiesGoingBack(ties, { tiesBack, tiesReplaced }))).toEqual({
          tiesIn: ties.tiesIn,
          tiesOn: tiesBack + tiesReplaced,
          tiesOff: 0,
          tiesLost: ties.tiesIn - tiesBack - tiesReplaced,
          tiesReplaced,
        })
      }),
      { numRuns: 200 },
    )
  })

  test('what is said of one is done, or there is no such tie', () => {
    fc.assert(
      fc.property(anyTies, fc.constantFrom(...TIE_SAYINGS), (ties, saying) => {
        const events = saidOfTie(ties, saying)
        const here = ties.tiesOn + ties.tiesOff
        const possible = {
          lost: here > 0,
          replaced: ties.tiesIn > 0,
          found: ties.tiesLost > 0,
          'first back': ties.tiesReplaced > 0,
        }
        expect(events !== undefined).toBe(possible[saying])
        if (events) expect(allAfter(ties, events)).toSatisfy(addsUp)
      }),
      { numRuns: 200 },
    )
  })

  test('a bath that takes them off and is undone leaves them as they were', () => {
    fc.assert(
      fc.property(anyTies, ties => {
        const tied = allAfter(ties, allPutBack(ties)) ?? ties
        const off = allAfter(tied, allTakenOff(tied)) ?? tied
        expect(off.tiesOn).toBe(0)
        expect(allAfter(off, takenOffUndone(off, tied.tiesOn))).toEqual(tied)
        expect(allAfter(off, allPutBack(off))).toEqual(tied)
      }),
      { numRuns: 200 },
    )
  })
})

describe('one tie', () => {
  test('lost on the board stays lost when the bath is undone', () => {
    const lost = allAfter(onBoard, saidOfTie(onBoard, 'lost') ?? [])
    expect(lost).toEqual({ ...onBoard, tiesOff: 2, tiesLost: 1 })
    expect(lost && allAfter(lost, takenOffUndone(lost, 3))).toEqual({ ...three, tiesOn: 2, tiesLost: 1 })
  })

  test('replaced is lost and made anew in one; called lost before, it is only made anew', () => {
    const anew = { ...onBoard, tiesReplaced: 1 }
    expect(allAfter(onBoard, saidOfTie(onBoard, 'replaced') ?? [])).toEqual(anew)
    const lost = { ...onBoard, tiesOff: 2, tiesLost: 1 }
    expect(saidOfTie(lost, 'replaced')).toEqual([{ kind: 'replaced', count: 1, tied: false }])
    expect(allAfter(lost, saidOfTie(lost, 'replaced') ?? [])).toEqual(anew)
  })

  test('is told in words that add up', () => {
    expect(sayTieCounts(three, true)).toBe('3 came: 3 tied on')
    expect(sayTieCounts({ ...onBoard, tiesOff: 2, tiesLost: 1 }, true)).toBe(
      '3 came: 2 on the board, kept undyed; 1 lost',
    )
    expect(sayTieCounts({ ...onBoard, tiesReplaced: 1 }, false)).toBe(
      '3 came: 3 on the board, dyed along (1 replaced from its own end)',
    )
    expect(sayTieCounts({ ...three, tiesReplaced: 1 }, true)).toBe(
      '3 came: 2 tied on; 1 tied on, replaced from its own end',
    )
    expect(sayTieCounts({ ...three, tiesIn: 0, tiesOn: 0 }, true)).toBe('0 came')
  })
})
