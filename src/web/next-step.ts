/** The press that moves a load on: what it asks first, and what it says afterwards. */
import type { FastifyRequest } from 'fastify'
import { dayOf, sayTime } from '../domain/day.js'
import { dueAt } from '../domain/load.js'
import { asksIfMeant, nowWords } from '../domain/load-words.js'
import { sayLots } from '../domain/lot.js'
import { Refusal } from '../domain/refusal.js'
import type { Trx } from '../store/db.js'
import { type Load, linesThatCount, lineWords, lotIdsOf } from '../store/loads.js'
import { type WishNow, wishesNow } from '../store/plan-wishes.js'
import { findRecipe } from '../store/recipes.js'
import { byOf } from './kit/post.js'

const seconds = (from: string, to: string): number => (Date.parse(to) - Date.parse(from)) / 1000

type Pressed = { version: number; at?: string | undefined; early: string }
/** By the clock of the server, and where the workshop is. */
type Now = { at: string; timeZone: string }

/**
 * Asks once whether a press is meant that comes before the time, right after another, or while the client wants it left
 * alone; `early` answers it.
 */
export async function askIfMeant(trx: Trx, load: Load, { version, at, early }: Pressed, clock: Now): Promise<void> {
  const now = clock.at
  const step = load.steps[load.stepN - 1]
  if (early !== '' || load.version !== version || load.doneAt !== null || step === undefined) return
  const recipe = (await findRecipe(trx, load.recipeId))?.recipe
  const last = linesThatCount(load).at(-1)
  const sentence = asksIfMeant({
    title: step.title,
    atLeastMinutes: recipe?.steps[load.stepN - 1]?.atLeastMinutes ?? null,
    minutes: seconds(load.stepSince, at ?? now) / 60,
    tapS: at === undefined && last?.kind === 'step' ? seconds(last.enteredAt, now) : null,
  })
  const wishes = at === undefined ? await wishesNow(trx, lotIdsOf(load), clock) : []
  const asked = [...(sentence === null ? [] : [sentence]), ...wishes.map(wish => sayWishNow(wish, clock))]
  if (asked.length > 0)
    throw new Refusal('wrong', `${asked.join(' ')} Wait, or say below that it goes on all the same.`, 'early')
}

/** A slip of the finger is noticed within this: common practice, no source. */
const SLIP_S = 600

/** Asks once whether an undoing is meant that is not of a moment ago: the time of what was begun then goes with it. */
export function askIfUndone(
  load: Load,
  { version, sure }: { version: number; sure: string },
  { at, timeZone }: Now,
): void {
  const last = linesThatCount(load).at(-1)
  if (sure !== '' || load.version !== version || last === undefined || seconds(last.enteredAt, at) < SLIP_S) return
  const when = sayTime(last.at, timeZone, dayOf(at, timeZone))
  const words = lineWords(last, load.steps, load.laidFor)
  const lost = last.kind === 'step' ? ', and the time since then is taken as if it had not been' : ''
  throw new Refusal(
    'wrong',
    `This would undo what is of ${when}: ${words}${lost}. Say below that it is meant, or leave it.`,
    'sure',
  )
}

/** "Lot 4 is to be left alone until Mon 9 Mar 00:00: Nothing on Sundays." */
export const sayWishNow = ({ lotId, words, untilAt }: WishNow, now: Now): string =>
  sayLeftAlone(`Lot ${lotId}`, words, untilAt, now)

export const sayLeftAlone = (what: string, words: string, untilAt: string, { at, timeZone }: Now): string =>
  `${what} is to be left alone until ${sayTime(untilAt, timeZone, dayOf(at, timeZone))}: ${words.replace(/\.$/, '')}.`

/** "Pot 1, lot 4: now in the dye bath, due out today 16:05. 9 ties hang on the tie board." */
export function saidOf(load: Load, request: FastifyRequest): string {
  const { timeZone } = request.workshop
  const step = load.doneAt === null ? (load.steps[load.stepN - 1] ?? null) : null
  const due = step && dueAt(step, load.stepSince)
  const when = due ? `, due out ${sayTime(due, timeZone, dayOf(byOf(request).at, timeZone))}` : ''
  const ties = load.bundles.reduce((sum, { tiesOff }) => sum + tiesOff, 0)
  const board = ties === 0 ? '' : ` ${ties} ${ties === 1 ? 'tie hangs' : 'ties hang'} on the tie board.`
  return `${load.potName}, ${sayLots(lotIdsOf(load))}: ${nowWords(step)}${when}.${board}`
}
