/** What is done at the pot, line by line: the next step, an addition, a rinse, a note, and undoing the last of them. */
import type { Insertable } from 'kysely'
import { type Addition, asksWhyAdded } from '../domain/addition.js'
import { asksWhy, type LoadStep, nextWords, type Press, standing, takesOut, wasAt, wasDone } from '../domain/load.js'
import { begunWords } from '../domain/load-words.js'
import type { Water } from '../domain/outcome.js'
import { Refusal } from '../domain/refusal.js'
import { refuseOutNotIn, writeCounts } from './counted-out.js'
import type { By, Trx } from './db.js'
import { remember } from './history.js'
import { findLoad, goneBack, type Load, type LogLine } from './load-record.js'
import { moveLoad } from './move-load.js'
import { findRecipe } from './recipes.js'
import type { BathLogTable } from './schema.js'

/** When it really happened, ISO 8601 UTC; left out, it happened as it is entered. */
type Earlier = { at?: string | undefined }

/** Lines that still count, in the order of entry. */
export const linesThatCount = ({ log }: Pick<Load, 'log'>): LogLine[] => log.filter(({ undoneAt }) => undoneAt === null)

/** The presses that brought the load where it stands. */
export const pressesThatCount = (load: Pick<Load, 'log'>): Press[] =>
  linesThatCount(load).flatMap(({ stepN, at }) => (stepN === null ? [] : [{ n: stepN, at }]))

/** How the water ran in the latest rinse; null before the first. */
export function lastWater(load: Pick<Load, 'log'>): Water | null {
  const rinses = linesThatCount(load).filter(({ water }) => water !== null)
  return (
    rinses.sort((one, other) => (one.at < other.at ? -1 : one.at > other.at ? 1 : one.id - other.id)).at(-1)?.water ??
    null
  )
}

export type NextStep = Earlier & {
  loadId: number
  version: number
  why?: string | undefined
  /** How many bundles of each lot were counted out, by the lot's number: for a step that takes several lots out. */
  out?: ReadonlyMap<number, number>
}

/**
 * Begins the load's next step; past the last one the bundles go to the ready shelf. Answers what was done, in words.
 * Going on from a rinse that still ran with colour needs a `why`; out of a shared bath come as many bundles as went in.
 */
export async function beginNextStep(trx: Trx, by: By, asked: NextStep): Promise<string> {
  const { loadId, version, at, why = '', out = new Map() } = asked
  const load = await loadAt(trx, loadId, version)
  if (load.doneAt !== null)
    throw new Refusal('conflict', 'This load is done: its bundles have left it. Nothing comes after that.')
  const [step, next] = [load.steps[load.stepN - 1], load.steps[load.stepN]]
  if (step === undefined) throw new Error(`load ${loadId} has no step ${load.stepN}`)
  const words = why.trim()
  refuseStillRunning(step, next, lastWater(load), words)
  const press = { n: load.stepN + 1, at: momentOf(by, at, load.stepSince, 'this step began') }
  const counts = load.lots.length > 1 && takesOut(load.steps, press.n)
  if (counts) await refuseOutNotIn(trx, load, out)
  const line = await writeLine(trx, by, load, { kind: 'step', step_n: press.n, at: press.at, words })
  if (counts) await writeCounts(trx, line, load, out)
  await moveLoad(trx, by, load, standing(load.steps, [...pressesThatCount(load), press], by.at), '')
  const done = nextWords(step, next, load.potName)
  await tell(trx, by, load, next === undefined ? 'on the ready shelf' : `step: ${next.title}`, press, words)
  return done
}

function refuseStillRunning(step: LoadStep, next: LoadStep | undefined, water: Water | null, why: string): void {
  if (!asksWhy(step, next, water) || why !== '') return
  throw new Refusal('wrong', `The last rinse ran ${water}. Rinse again, or say why it goes on all the same.`, 'why')
}

export type Added = Earlier & {
  loadId: number
  substanceId: string
  amount: number
  unit: 'g' | 'mL'
  typed: string
  why?: string | undefined
}

/** How much of each substance was added already, in its own unit, without what was undone. */
export const addedAlready = (load: Pick<Load, 'log'>, substanceId: string): number =>
  linesThatCount(load)
    .filter(line => line.substanceId === substanceId)
    .reduce((sum, { amount }) => sum + (amount ?? 0), 0)

/**
 * Writes down what went into the bath beside the weigh-out; it counts into what was really used. More than the bounds of
 * the trade needs a `why`.
 */
export async function noteAddition(trx: Trx, by: By, added: Added): Promise<void> {
  const load = await loadAt(trx, added.loadId)
  const substance = await trx
    .selectFrom('catalogue')
    .select('name')
    .where('id', '=', added.substanceId)
    .where('kind', '=', 'substance')
    .executeTakeFirst()
  if (!substance) throw new Refusal('wrong', 'Choose what was added from the list.', 'added.substanceId')
  const at = momentOf(by, added.at, load.laidAt, 'the load was put in')
  if (added.at === undefined ? load.doneAt !== null : wasDone(load, at))
    throw new Refusal('wrong', 'This load was done by then: nothing goes into its bath any more.', 'added.at')
  const { substanceId, amount, unit, typed } = added
  const words = added.why?.trim() ?? ''
  if (words === '') await refuseOutOfBounds(trx, load, { ...added, name: substance.name })
  await writeLine(trx, by, load, { kind: 'added', at, substance_id: substanceId, amount, unit, typed, words })
  const told = words === '' ? typed : `${typed}: ${words}`
  await tell(trx, by, load, `added ${substance.name}`, { substanceId, amount, unit, at }, told)
}

async function refuseOutOfBounds(trx: Trx, load: Load, addition: Addition): Promise<void> {
  const kept = await findRecipe(trx, load.recipeId)
  if (!kept) throw new Error(`load ${load.id} has no recipe ${load.recipeId}`)
  const sentence = asksWhyAdded(kept.recipe, addition, addedAlready(load, addition.substanceId))
  if (sentence !== null)
    throw new Refusal('wrong', `${sentence} Say why it went in all the same, or correct the amount.`, 'added.why')
}

export type Rinse = Earlier & { loadId: number; water: Water; words?: string | undefined }

/** Writes down a rinse and how the water ran; there may be any number of them. */
export async function noteRinse(trx: Trx, by: By, { loadId, water, words = '', at }: Rinse): Promise<void> {
  const load = await loadAt(trx, loadId)
  const when = momentOf(by, at, load.laidAt, 'the load was put in')
  refuseNotInRinse(load, at)
  await writeLine(trx, by, load, { kind: 'rinsed', at: when, water, words })
  await tell(trx, by, load, `rinse ran ${water}`, { water, at: when }, words)
}

/** Now, or at the time that was told. */
function refuseNotInRinse(load: Load, at: string | undefined): void {
  const isIn =
    at === undefined
      ? load.doneAt === null && load.steps[load.stepN - 1]?.place === 'rinse'
      : wasAt('rinse', load.steps, pressesThatCount(load), at)
  if (isIn) return
  const wasIn = load.steps.some(({ n, place }) => place === 'rinse' && n <= load.stepN)
  const what = wasIn
    ? 'It is out of the rinse: say when it was rinsed, while it was in there.'
    : 'It is not in the rinse yet: lift it into the rinse first, and say there if that happened earlier.'
  throw new Refusal('wrong', what, 'rinse.at')
}

export type Note = Earlier & { loadId: number; words: string }

export async function noteWords(trx: Trx, by: By, { loadId, words, at }: Note): Promise<void> {
  const load = await loadAt(trx, loadId)
  const when = momentOf(by, at, load.laidAt, 'the load was put in')
  await writeLine(trx, by, load, { kind: 'noted', at: when, words })
  await tell(trx, by, load, 'noted at the pot', { at: when }, words)
}

/**
 * Undoes the last line that counts, by another line. Undoing a step restores exactly what the step before left; undoing
 * the first takes the load out again, its bundles back to where they came from. Answers what was undone, in words.
 */
export async function undoLast(trx: Trx, by: By, ask: { loadId: number; version: number }): Promise<string> {
  const load = await loadAt(trx, ask.loadId, ask.version)
  const last = linesThatCount(load).at(-1)
  if (last === undefined) throw new Refusal('conflict', 'There is nothing left to undo.')
  const words = lineWords(last, load.steps, load.laidFor)
  await writeLine(trx, by, load, { kind: 'undone', at: by.at, undoes: last.id })
  if (last.kind === 'step')
    await moveLoad(trx, by, load, standing(load.steps, pressesThatCount(load).slice(0, -1), by.at), 'undone')
  await tell(trx, by, load, `undone: ${words}`, { undoes: last.id })
  return words
}

/** A line of the log in a few words, as a button to undo it says it. */
export function lineWords(line: LogLine, steps: readonly LoadStep[], laidFor: string): string {
  if (line.kind === 'added') return `added ${line.typed} of ${line.substanceName}`
  if (line.kind === 'rinsed') return `rinse ran ${line.water}`
  if (line.kind === 'noted') return `noted “${line.words}”`
  if (line.stepN === 1) return begunWords(steps[0], laidFor)
  const step = steps[(line.stepN ?? 1) - 1]
  return step === undefined ? 'laid on the ready shelf' : `${step.title} begun`
}

/** The load, as the person who presses saw it; anything written since is said. */
export async function loadAt(trx: Trx, loadId: number, version?: number): Promise<Load> {
  const load = await findLoad(trx, loadId)
  if (!load) throw new Refusal('not-found', 'There is no such load.')
  if (version !== undefined && load.version !== version) throw new Refusal('conflict', meanwhile(load, version))
  const gone = goneBack(load)
  if (gone) throw new Refusal('conflict', `Lot ${gone.lotId} has gone back: its bath log is closed.`)
  if (load.takenOutAt !== null) throw new Refusal('conflict', 'This load was taken out of the pot again.')
  return load
}

/** Each line of the log counts the version up by one, so the newest ones are those that were not seen. */
function meanwhile(load: Load, version: number): string {
  const unseen = load.version > version ? load.log.slice(version - load.version) : []
  const last = unseen.at(-1)
  const what = last && `${last.who} wrote down: ${lineWords(last, load.steps, load.laidFor)}`
  return `Nothing was done: this load has moved on since this page was opened.${what ? ` ${what}.` : ''} Look at where it stands now.`
}

/** The moment of a line: now, or earlier but not before `earliest`, which `since` names. */
function momentOf(by: By, at: string | undefined, earliest: string, since: string): string {
  if (at === undefined) return by.at
  if (at > by.at) throw new Refusal('wrong', 'That is still to come. Write when it happened.', 'at')
  if (at < earliest) throw new Refusal('wrong', `That is before ${since}. Write a later time.`, 'at')
  return at
}

type NewLine = Omit<Insertable<BathLogTable>, 'load_id' | 'entered_at' | 'worker_id'>

/** Answers the number of the line. */
async function writeLine(trx: Trx, by: By, load: Load, line: NewLine): Promise<number> {
  const { id } = await trx
    .insertInto('bath_log')
    .values({ load_id: load.id, entered_at: by.at, worker_id: by.workerId, ...line })
    .returning('id')
    .executeTakeFirstOrThrow()
  await trx
    .updateTable('load')
    .set({ version: load.version + 1 })
    .where('id', '=', load.id)
    .execute()
  return id
}

/** A line in the history of each of its lots. */
export async function tell(trx: Trx, by: By, load: Load, what: string, became: unknown, words = ''): Promise<void> {
  for (const { lotId, commissionId } of load.lots)
    await remember(trx, by, { lotId, commissionId, loadId: load.id, what, became, words })
}
