/** Why a planned moment is not earlier, as data and as a sentence. */
import { type Day, sayLapse } from './calendar.js'
import { instantAt, type Minute } from './plan-input.js'
import { sayTime } from './wall-clock.js'

export type TakenPlace = 'pot' | 'soak tub' | 'sink' | 'drying line'

export type Reason =
  /** It has already begun. */
  | { kind: 'begun' }
  /** Nothing begins before now. */
  | { kind: 'now' }
  | { kind: 'release'; fromMin: Minute }
  | { kind: 'previous'; stepN: number; untilMin: Minute }
  /**
   * The dyer is not there before, or not long enough: `needMinutes` without a break, of which `beforeMinutes` go before
   * the moment; for `heat`, as long as the burner is on. `after`: what had kept it until somebody was gone.
   */
  | { kind: 'hours'; fromMin: Minute; heat: boolean; needMinutes: number; beforeMinutes: number; after: Reason | null }
  | { kind: 'hands'; loadId: string; stepN: number; untilMin: Minute }
  /** `loadIds` empty: the pot is out of use. */
  | { kind: 'taken'; place: TakenPlace; potId: string | null; loadIds: string[]; untilMin: Minute }
  | { kind: 'scour'; potId: string; loadId: string; fromMin: Minute }
  /** Earlier it would stand too long, for `nextStepN` (null: its end) cannot come earlier; and why that is so. */
  | { kind: 'limit'; nextStepN: number | null; atMostMinutes: number; because: Reason }
  /** Earlier it would only stand and take room, for `nextStepN` cannot come earlier; and why that is so. */
  | { kind: 'no sooner'; nextStepN: number; because: Reason }
  | { kind: 'wish'; words: string; untilMin: Minute }
  | { kind: 'pin'; startMin: Minute; againstWish: boolean }
  /** It could be earlier, but then another load would be late, or a day too full. */
  | { kind: 'room' }

export type ReasonWords = {
  loadName(loadId: string): string
  potName(potId: string): string
  /** Titles of the steps of the load that the reason is about, and of any other. */
  stepTitle(stepN: number, loadId?: string): string
  timeZone: string
  today: Day
}

/** "Pot 2 is taken by Load 7 until tomorrow 14:00." A whole sentence. */
export function sayReason(reason: Reason, words: ReasonWords): string {
  const time = (minute: Minute): string => sayTime(instantAt(minute), words.timeZone, words.today)
  switch (reason.kind) {
    case 'begun':
      return 'It has begun.'
    case 'now':
      return 'It can begin at once.'
    case 'release':
      return `It is not there before ${time(reason.fromMin)}.`
    case 'previous':
      return `“${words.stepTitle(reason.stepN)}” takes until ${time(reason.untilMin)}.`
    case 'hours':
      return sayHours(reason, words, time)
    case 'hands':
      return `The hands are at ${words.loadName(reason.loadId)}, “${words.stepTitle(reason.stepN, reason.loadId)}”, until ${time(reason.untilMin)}.`
    case 'taken':
      return sayTaken(reason, words, time)
    case 'scour':
      return `${words.potName(reason.potId)} must be scoured after ${words.loadName(reason.loadId)}, which is darker: until ${time(reason.fromMin)}.`
    case 'limit': {
      const next =
        reason.nextStepN === null ? 'it can be taken away' : `“${words.stepTitle(reason.nextStepN)}” can begin`
      return `Earlier it would stand too long before ${next}. ${sayReason(reason.because, words)}`
    }
    case 'no sooner':
      return `Earlier it would only stand until “${words.stepTitle(reason.nextStepN)}” can begin. ${sayReason(reason.because, words)}`
    case 'wish':
      return `The client's wish: ${reason.words} (until ${time(reason.untilMin)}).`
    case 'pin':
      return `You have pinned it to ${time(reason.startMin)}${reason.againstWish ? ', as the client agreed against a wish of theirs' : ''}.`
    case 'room':
      return 'Earlier, another load would be late or a day too full.'
  }
}

/** Where it needs long, that is what does not fit into the day; and what goes before it is why it begins later than that. */
function sayHours(reason: Hours, words: ReasonWords, time: (minute: Minute) => string): string {
  const { heat, needMinutes, beforeMinutes } = reason
  const after = reason.after === null ? '' : `${sayReason(reason.after, words)} `
  const need = needMinutes > 0 ? ` for ${sayLapse(needMinutes)}` : ''
  const before = beforeMinutes > 0 ? `, and ${sayLapse(beforeMinutes)} of work go before it` : ''
  const from = time(reason.fromMin)
  if (heat) return `${after}Somebody must be there while it is hot${need}: not before ${from}${before}.`
  return `${after}${after === '' ? 'Nobody' : 'Then nobody'} is there for it${need} before ${from}${before}.`
}

type Hours = Extract<Reason, { kind: 'hours' }>
type Taken = Extract<Reason, { kind: 'taken' }>

function sayTaken(reason: Taken, words: ReasonWords, time: (minute: Minute) => string): string {
  const until = `until ${time(reason.untilMin)}`
  const pot = reason.potId === null ? 'The pot' : words.potName(reason.potId)
  if (reason.loadIds.length === 0) return `${pot} is out of use ${until}.`
  const loads = reason.loadIds.map(words.loadName).join(' and ')
  if (reason.place === 'pot') return `${pot} is taken by ${loads} ${until}.`
  return reason.place === 'drying line'
    ? `The drying line has no room for it until ${loads} is taken down, ${time(reason.untilMin)}.`
    : `The ${reason.place} is taken by ${loads} ${until}.`
}
