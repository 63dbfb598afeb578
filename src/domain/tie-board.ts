/**
 * The tie board: each tie that came is on its bundle, hangs on the board, or is lost. What happens to ties only takes
 * them from one to the other, so that they always add up to those that were counted at drop-off.
 */
import type { TieState } from './bundle-check.js'

/** The ties of one bundle. `tiesReplaced`: how many of those on it or on the board were made anew from the strip's own end. */
export type TieCounts = { tiesIn: number; tiesOn: number; tiesOff: number; tiesLost: number; tiesReplaced: number }

export const TIE_EVENTS = ['taken off', 'put back', 'lost', 'found', 'replaced', 'the first is back'] as const
export type TieEventKind = (typeof TIE_EVENTS)[number]

/** `tied`: on the bundle, else on the board; of a lost tie where it was, of a found or a new one where it is now. */
export type TieEvent = { kind: TieEventKind; count: number; tied: boolean }

/**
 * The ties after it; undefined when it cannot be: more than there are, or none. A lost tie is one of those that came, as
 * long as there is one. "Replaced" makes a lost one anew; "the first is back" takes the place of one that was made anew.
 */
export function afterTieEvent(ties: TieCounts, event: TieEvent): TieCounts | undefined {
  const after = changed(ties, event)
  const { tiesOn, tiesOff, tiesLost, tiesReplaced } = after
  const counts = [event.count - 1, tiesOn, tiesOff, tiesLost, tiesReplaced]
  return counts.every(count => Number.isInteger(count) && count >= 0) ? after : undefined
}

function changed(ties: TieCounts, { kind, count, tied }: TieEvent): TieCounts {
  switch (kind) {
    case 'taken off':
      return { ...ties, tiesOn: ties.tiesOn - count, tiesOff: ties.tiesOff + count }
    case 'put back':
      return { ...ties, tiesOn: ties.tiesOn + count, tiesOff: ties.tiesOff - count }
    case 'lost': {
      const left = there(ties, tied, -count)
      return { ...left, tiesReplaced: Math.min(ties.tiesReplaced, left.tiesOn + left.tiesOff) }
    }
    case 'found':
      return there(ties, tied, count)
    case 'replaced':
      return { ...there(ties, tied, count), tiesReplaced: ties.tiesReplaced + count }
    case 'the first is back':
      return { ...ties, tiesReplaced: ties.tiesReplaced - count }
  }
}

/** So many more on the bundle or on the board, and as many fewer lost. */
const there = (ties: TieCounts, tied: boolean, more: number): TieCounts => ({
  ...ties,
  tiesOn: ties.tiesOn + (tied ? more : 0),
  tiesOff: ties.tiesOff + (tied ? 0 : more),
  tiesLost: ties.tiesLost - more,
})

const some = (kind: TieEventKind, count: number, tied: boolean): TieEvent[] =>
  count > 0 ? [{ kind, count, tied }] : []

export const allTakenOff = ({ tiesOn }: TieCounts): TieEvent[] => some('taken off', tiesOn, false)
export const allPutBack = ({ tiesOff }: TieCounts): TieEvent[] => some('put back', tiesOff, true)

/** Back on are those that a load took off, as far as they still hang on the board: what was lost since stays lost. */
export const takenOffUndone = ({ tiesOff }: TieCounts, takenOff: number): TieEvent[] =>
  some('put back', Math.min(tiesOff, takenOff), true)

/** What the dyer says on the board in one press, about one tie. */
export const TIE_SAYINGS = ['lost', 'replaced', 'found', 'first back'] as const
export type TieSaying = (typeof TIE_SAYINGS)[number]

/** The events of one press; undefined where there is no such tie. It is on the board while any of its bundle are. */
export function saidOfTie(ties: TieCounts, saying: TieSaying): TieEvent[] | undefined {
  const tied = ties.tiesOff === 0
  const one = (kind: TieEventKind): TieEvent => ({ kind, count: 1, tied })
  const events: Record<TieSaying, TieEvent[]> = {
    lost: [one('lost')],
    // A tie that was not called lost before is lost, and made anew, in one.
    replaced: ties.tiesLost > 0 ? [one('replaced')] : [one('lost'), one('replaced')],
    found: [one('found')],
    'first back': [one('the first is back')],
  }
  return allAfter(ties, events[saying]) && events[saying]
}

/** The ties after all of these, or undefined. */
export const allAfter = (ties: TieCounts, events: readonly TieEvent[]): TieCounts | undefined =>
  events.reduce<TieCounts | undefined>((now, event) => now && afterTieEvent(now, event), ties)

/** What must have happened that a bundle goes back with so many of its ties, and so many of them made anew. */
export function tiesGoingBack(ties: TieCounts, back: { tiesBack: number; tiesReplaced: number }): TieEvent[] {
  const total = back.tiesBack + back.tiesReplaced
  const lost = ties.tiesIn - total
  const change = lost - ties.tiesLost
  const replacedThen = Math.min(ties.tiesReplaced, total)
  const anew = back.tiesReplaced - replacedThen
  return [
    ...allPutBack(ties),
    ...some('lost', change, true),
    ...some('found', -change, true),
    ...some('lost', anew, true),
    ...some('replaced', anew, true),
    ...some('the first is back', -anew, true),
  ]
}

/** What the bundle drawing shows for each tie that came. */
export function drawnTies({ tiesOn, tiesOff, tiesLost, tiesReplaced }: TieCounts): (TieState | 'off')[] {
  const hatched = Math.min(tiesReplaced, tiesOn)
  const times = <S>(count: number, state: S): S[] => Array.from({ length: count }, () => state)
  return [
    ...times(tiesOn - hatched, 'on' as const),
    ...times(hatched, 'replaced' as const),
    ...times(tiesLost, 'missing' as const),
    ...times(tiesOff, 'off' as const),
  ]
}

/** "3 came: 1 on the board, 1 replaced, 1 lost": the ties of one bundle in words that add up. */
export function sayTieCounts({ tiesIn, tiesOn, tiesOff, tiesLost, tiesReplaced }: TieCounts, undyed: boolean): string {
  const hatched = Math.min(tiesReplaced, tiesOn)
  const hung = tiesReplaced - hatched
  const board = undyed ? 'on the board, kept undyed' : 'on the board, dyed along'
  const parts: [number, string][] = [
    [tiesOn - hatched, 'tied on'],
    [hatched, 'tied on, replaced from its own end'],
    [tiesOff, hung > 0 ? `${board} (${hung} replaced from its own end)` : board],
    [tiesLost, 'lost'],
  ]
  const said = parts.filter(([count]) => count > 0).map(([count, words]) => `${count} ${words}`)
  return `${tiesIn} came${said.length === 0 ? '' : `: ${said.join('; ')}`}`
}
