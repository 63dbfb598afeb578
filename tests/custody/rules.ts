/** What follows from one press, on paper; and whether the records say the same. */
import type { Database } from 'better-sqlite3'
import type { Action, ActionTo } from './actions.js'
import { holdsPot, isDone, isTakenOut, type Paper } from './paper.js'
import { findAgain, handBack, mark, saveChecklist, sayOfTie } from './paper-hand-back.js'
import { keepRecipe, nextStep, putInPots, takeIn, undo, write } from './paper-loads.js'

type Doing<K extends Action['does']> = (paper: Paper, action: ActionTo<K>, raw: Database) => boolean

const DO: { [K in Action['does']]: Doing<K> } = {
  'take in': takeIn,
  'keep a recipe': keepRecipe,
  'put in pots': putInPots,
  'next step': nextStep,
  undo,
  rinse: (paper, { loadId, water }) => write(paper, loadId, water),
  add: (paper, { loadId, substanceId }) => substanceId !== 'no-such-dye' && write(paper, loadId, 'other'),
  note: (paper, { loadId, words }) => words.trim() !== '' && write(paper, loadId, 'other'),
  'save the checklist': saveChecklist,
  'hand back': handBack,
  'find again': findAgain,
  'say of a tie': sayOfTie,
  mark,
}

/** The paper after the action, or undefined when it is not allowed. */
export function after<K extends Action['does']>(paper: Paper, action: ActionTo<K>, raw: Database): Paper | undefined {
  const next = structuredClone(paper)
  const doing: Doing<K> = DO[action.does as K]
  return doing(next, action, raw) ? next : undefined
}

/** The paper, and the records, in the same few words. */
export type Told = { bundles: unknown[]; loads: unknown[]; lots: unknown[]; checks: unknown[]; held: unknown[] }

export const toldByPaper = ({ bundles, loads, lots, checks, held }: Paper): Told => ({
  held: [...held].sort((one, other) => one - other),
  bundles: bundles.map(({ id, lotId, n, place, tiesIn, on, off, lost, anew, loadId }) =>
    [id, lotId, n, place, tiesIn, on, off, lost, anew, loadId].join(),
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
  lots: lots.map(({ id, commissionId, hasRecipe, isClosed }) => [id, commissionId, hasRecipe, isClosed].join()),
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
    bundles:
      rows(`select concat_ws(',', id, lot_id, n, place, ties_in, ties_on, ties_off, ties_lost, ties_replaced, ifnull(load_id, ''))
      from bundle order by id`),
    loads: rows(`select concat_ws(',', id, pot_id, version, step_n, ${yes('pot_free_at is null')},
      ${yes('done_at is not null')}, ${yes('taken_out_at is not null')}, (${LINES})) from load order by id`),
    lots: rows(`select concat_ws(',', id, commission_id, ${yes('id in (select lot_id from recipe)')},
      ${yes('closed_at is not null')}) from lot order by id`),
    checks: rows(`select concat_ws(',', bundle_id, ${yes('found')}, ${yes('tied_again')}, ties_back, ties_replaced,
      ifnull(cast(weight_g as integer), ''), condition, explanation) from bundle_check order by bundle_id`),
  }
}
