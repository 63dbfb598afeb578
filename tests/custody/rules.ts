/** What follows from one press, on paper; and whether the records say the same. */
import type { Database } from 'better-sqlite3'
import type { Action, ActionTo } from './actions.js'
import { holdsPot, isDone, isTakenOut, type Paper, type PaperBundle } from './paper.js'
import { didNotGo, findAgain, handBack, mark, saveChecklist, sayOfTie } from './paper-hand-back.js'
import { isAtWork, isInRinse, keepRecipe, nextStep, putInPots, shareABath, takeIn, undo, write } from './paper-loads.js'
import { putRight } from './paper-put-right.js'

type Doing<K extends Action['does']> = (paper: Paper, action: ActionTo<K>, raw: Database) => boolean

const DO: { [K in Action['does']]: Doing<K> } = {
  'take in': takeIn,
  'keep a recipe': keepRecipe,
  'put in pots': putInPots,
  'share a bath': shareABath,
  'next step': nextStep,
  undo,
  rinse: (paper, { loadId, water }) => isInRinse(paper, loadId) && write(paper, loadId, water),
  add: (paper, { loadId, substanceId }) =>
    substanceId !== 'no-such-dye' && isAtWork(paper, loadId) && write(paper, loadId, 'other'),
  note: (paper, { loadId, words }) => words.trim() !== '' && write(paper, loadId, 'other'),
  'save the checklist': saveChecklist,
  'hand back': handBack,
  'find again': findAgain,
  'did not go': didNotGo,
  'say of a tie': sayOfTie,
  'put right': putRight,
  mark,
}

/** The paper after the action, or undefined when it is not allowed. */
export function after<K extends Action['does']>(paper: Paper, action: ActionTo<K>, raw: Database): Paper | undefined {
  const next = structuredClone(paper)
  const doing: Doing<K> = DO[action.does as K]
  if (!doing(next, action, raw)) return undefined
  if (action.does !== 'put right')
    for (const bundle of next.bundles) if (hasOtherTies(paper, bundle)) bundle.onBoard += 1
  return next
}

/** Its ties are not where they were, or not the same. */
function hasOtherTies(before: Paper, { id, on, off, lost, anew }: PaperBundle): boolean {
  const was = before.bundles.find(one => one.id === id)
  return was !== undefined && (was.on !== on || was.off !== off || was.lost !== lost || was.anew !== anew)
}

/** The paper, and the records, in the same few words. */
export type Told = { bundles: unknown[]; loads: unknown[]; lots: unknown[]; checks: unknown[]; held: unknown[] }

export const toldByPaper = ({ bundles, loads, lots, checks, held }: Paper): Told => ({
  held: [...held].sort((one, other) => one - other),
  bundles: bundles.map(({ id, lotId, n, place, tiesIn, on, off, lost, anew, grams, loadId }) =>
    [id, lotId, n, place, tiesIn, on, off, lost, anew, grams, loadId].join(),
  ),
  loads: loads.map(load =>
    [
      load.id,
      load.potId,
      load.version,
      Math.max(1, Math.min(load.begun, load.steps.length)),
      holdsPot(load),
      isDone(load),
      isTakenOut(load),
      ...load.lines,
    ].join(),
  ),
  lots: lots.map(({ id, commissionId, recipeGrams, isClosed, version }) =>
    [id, commissionId, recipeGrams, isClosed, version].join(),
  ),
  checks: [...checks]
    .sort(([one], [other]) => one - other)
    .map(([id, { found, tiedAgain, back, replaced, grams, condition, words }]) =>
      [id, found, tiedAgain, back, replaced, grams, condition, words].join(),
    ),
})

const yes = (expression: string) => `iif(${expression}, 'true', 'false')`

/** The lines of a load's log that count, in the order of entry. */
const LINES = `select group_concat(iif(kind = 'step', 'step', ifnull(water, 'other')), ',' order by id) from bath_log
  where load_id = load.id and kind <> 'undone' and id not in (select undoes from bath_log where undoes is not null)`

export function toldByRecords(raw: Database): Told {
  const rows = (sql: string) => raw.prepare(sql).pluck().all()
  return {
    held: rows(`select commission_id from release_mark mark
      where held = 1 and id = (select max(id) from release_mark where commission_id = mark.commission_id) order by 1`),
    bundles: rows(`select concat_ws(',', id, lot_id, n, place, ties_in, ties_on, ties_off, ties_lost, ties_replaced,
        cast(dry_weight_g as integer), ifnull(load_id, ''))
      from bundle order by id`),
    loads: rows(`select concat_ws(',', id, pot_id, version, step_n, ${yes('pot_free_at is null')},
      ${yes('done_at is not null')}, ${yes('taken_out_at is not null')}, (${LINES})) from load order by id`),
    lots: rows(`select concat_ws(',', id, commission_id,
      ifnull((select cast(dry_weight_g as integer) from recipe where lot_id = lot.id and part_of is null order by id desc limit 1), ''),
      ${yes('closed_at is not null')}, version) from lot order by id`),
    checks: rows(`select concat_ws(',', bundle_id, ${yes('found')}, ${yes('tied_again')}, ties_back, ties_replaced,
      ifnull(cast(weight_g as integer), ''), condition, explanation) from bundle_check order by bundle_id`),
  }
}
