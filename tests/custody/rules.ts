/** What follows from one press, on paper; and whether the records say the same. */
import type { Database } from 'better-sqlite3'
import type { Action, ActionTo } from './actions.js'
import { holdsPot, isDone, isTakenOut, type Paper } from './paper.js'
import { handBack, saveChecklist } from './paper-hand-back.js'
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
}

/** The paper after the action, or undefined when it is not allowed. */
export function after<K extends Action['does']>(paper: Paper, action: ActionTo<K>, raw: Database): Paper | undefined {
  const next = structuredClone(paper)
  const doing: Doing<K> = DO[action.does as K]
  return doing(next, action, raw) ? next : undefined
}

/** The paper, and the records, in the same few words. */
export type Told = { bundles: unknown[]; loads: unknown[]; lots: unknown[] }

export const toldByPaper = ({ bundles, loads, lots }: Paper): Told => ({
  bundles: bundles.map(({ id, lotId, n, place, tiesIn, on, off, lost, loadId }) =>
    [id, lotId, n, place, tiesIn, on, off, lost, loadId].join(),
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
    ].join(),
  ),
  lots: lots.map(({ id, commissionId, isClosed }) => [id, commissionId, isClosed].join()),
})

const yes = (expression: string) => `iif(${expression}, 'true', 'false')`

export function toldByRecords(raw: Database): Told {
  const rows = (sql: string) => raw.prepare(sql).pluck().all()
  return {
    bundles:
      rows(`select concat_ws(',', id, lot_id, n, place, ties_in, ties_on, ties_off, ties_lost, ifnull(load_id, ''))
      from bundle order by id`),
    loads: rows(`select concat_ws(',', id, pot_id, version, step_n, ${yes('pot_free_at is null')},
      ${yes('done_at is not null')}, ${yes('taken_out_at is not null')}) from load order by id`),
    lots: rows(`select concat_ws(',', id, commission_id, ${yes('closed_at is not null')}) from lot order by id`),
  }
}
