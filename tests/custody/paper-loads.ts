/** Taking in, putting in pots and carrying on, on paper. Each answers whether it is allowed, and then has done it. */
import type { Database } from 'better-sqlite3'
import type { Place } from '../../src/domain/place.js'
import { type ActionTo, FITTING } from './actions.js'
import {
  bundlesOf,
  gramsOf,
  holderOf,
  holdsPot,
  isDone,
  isTakenOut,
  isWaiting,
  lotOf,
  type Paper,
  type PaperBundle,
  type PaperLoad,
} from './paper.js'

/** `raw` only tells the numbers that the program gave to what it took in. */
export function takeIn(paper: Paper, { purpose, lots }: ActionTo<'take in'>, raw: Database): boolean {
  const isWhole = lots.every(bundles => bundles.length > 0 && bundles.every(({ grams }) => grams > 0))
  if (lots.length === 0 || !isWhole) return false
  const numbers = raw
    .prepare<[string], { commissionId: number; lotId: number; id: number }>(
      `select c.id as commissionId, lot.id as lotId, bundle.id from commission c join lot on lot.commission_id = c.id
        join bundle on bundle.lot_id = lot.id where purpose = ? order by lot.id, n`,
    )
    .all(purpose)
  for (const bundles of lots) {
    for (const [at, { ties, grams }] of bundles.entries()) {
      const { id = 0, lotId = 0, commissionId = 0 } = numbers.shift() ?? {}
      if (at === 0) paper.lots.push({ id: lotId, commissionId, recipeGrams: null, isClosed: false, version: 1 })
      const as = { tiesIn: ties, on: ties, off: 0, lost: 0, anew: 0, isOnBoard: false, grams }
      paper.bundles.push({ id, lotId, n: at + 1, ...as, place: 'arrivals shelf', loadId: null })
    }
  }
  return true
}

export function keepRecipe(paper: Paper, { lotId }: ActionTo<'keep a recipe'>): boolean {
  const lot = lotOf(paper, lotId)
  if (!lot || lot.isClosed) return false
  lot.recipeGrams = gramsOf(paper, lotId)
  return true
}

export function putInPots(paper: Paper, { lotId, shares }: ActionTo<'put in pots'>, raw: Database): boolean {
  const recipeGrams = lotOf(paper, lotId)?.recipeGrams ?? null
  if (recipeGrams === null || recipeGrams !== gramsOf(paper, lotId) || shares.length === 0) return false
  return shares.every(({ potId, ns }) => {
    const chosen = bundlesOf(paper, lotId).filter(({ n }) => ns.includes(n))
    const areThere = chosen.length > 0 && chosen.length === new Set(ns).size && chosen.every(isWaiting)
    if (!areThere || !FITTING.includes(potId) || holderOf(paper, potId)) return false
    const load = readLoad(raw, lotId, potId, chosen)
    paper.loads.push(load)
    settle(paper, load)
    return true
  })
}

const SOAK = { place: 'soak tub' as const, tiesComeOff: true }

/** The number that the program gave the load, and the steps of its recipe; a bare soak when it made none. */
function readLoad(raw: Database, lotId: number, potId: number, chosen: PaperBundle[]): PaperLoad {
  const id = raw
    .prepare('select max(load.id) from load join load_bundle on load_id = load.id where pot_id = ? and bundle_id = ?')
    .pluck()
    .get(potId, chosen[0]?.id ?? 0)
  const steps = raw
    .prepare<[unknown], { place: Place; off: number }>(
      'select place, ties_come_off as off from load_step where load_id = ? order by n',
    )
    .all(id)
  return {
    id: Number(id),
    lotId,
    potId,
    came: chosen.map(bundle => ({ bundleId: bundle.id, from: bundle.place })),
    steps: steps.length > 0 ? steps.map(({ place, off }) => ({ place, tiesComeOff: off === 1 })) : [SOAK],
    begun: 1,
    lines: ['step'],
    version: 1,
  }
}

/** Brings the bundles of a load to where its steps say they are. */
function settle(paper: Paper, load: PaperLoad): void {
  const cameOff = load.steps.some((step, at) => step.tiesComeOff && at + 1 < load.begun)
  for (const { bundleId, from } of load.came) {
    const bundle = paper.bundles.find(({ id }) => id === bundleId)
    if (!bundle) throw new Error(`no bundle ${bundleId} on paper`)
    bundle.place = isTakenOut(load) ? from : (load.steps[load.begun - 1]?.place ?? 'ready shelf')
    bundle.loadId = isDone(load) ? null : load.id
    // They are on it before they come off and once it is done; what was lost meanwhile is in neither.
    const all = bundle.on + bundle.off
    bundle.on = isDone(load) || !cameOff ? all : 0
    bundle.off = all - bundle.on
  }
}

/** The load, where something may still be written down about it. */
function openLoad(paper: Paper, loadId: number, version?: number): PaperLoad | undefined {
  const load = paper.loads.find(({ id }) => id === loadId)
  if (!load || isTakenOut(load) || lotOf(paper, load.lotId)?.isClosed) return undefined
  return version === undefined || version === load.version ? load : undefined
}

export function write(paper: Paper, loadId: number, line: PaperLoad['lines'][number]): boolean {
  const load = openLoad(paper, loadId)
  if (!load) return false
  load.lines.push(line)
  load.version += 1
  return true
}

/** The bundles leave the rinse for good while the water of the last one still ran with colour. */
export function asksWhy({ lines, steps, begun }: PaperLoad): boolean {
  const [now, next] = [steps[begun - 1], steps[begun]]
  const water = lines.findLast(line => line !== 'step' && line !== 'other')
  const isLastRinse = now?.place === 'rinse' && (next === undefined || next.place === 'drying line')
  return isLastRinse && (water === 'dark' || water === 'coloured')
}

export function nextStep(paper: Paper, { loadId, version, why }: ActionTo<'next step'>): boolean {
  const load = openLoad(paper, loadId, version)
  if (!load || isDone(load) || (asksWhy(load) && why.trim() === '')) return false
  load.begun += 1
  settle(paper, load)
  return write(paper, loadId, 'step')
}

export function undo(paper: Paper, { loadId, version }: ActionTo<'undo'>): boolean {
  const load = openLoad(paper, loadId, version)
  if (!load) return false
  if (load.lines.at(-1) === 'step') {
    const needsPotAgain = !holdsPot(load) && holdsPot(load, load.begun - 1)
    if (needsPotAgain && holderOf(paper, load.potId)) return false
    if (isDone(load) && (hasLaterLoad(paper, load) || hasLeft(paper, load))) return false
    load.begun -= 1
    settle(paper, load)
  }
  load.lines.pop()
  load.version += 1
  return true
}

/** One of its bundles has gone, or was lost and found since, with its ties counted anew. */
const hasLeft = (paper: Paper, load: PaperLoad): boolean =>
  load.came.some(
    ({ bundleId }) =>
      paper.bundles.some(bundle => bundle.id === bundleId && bundle.place !== 'ready shelf') ||
      paper.found.some(one => one.bundleId === bundleId && load.id <= one.loadsThen),
  )

const hasLaterLoad = (paper: Paper, load: PaperLoad): boolean =>
  paper.loads.some(
    later =>
      later.id > load.id &&
      !isTakenOut(later) &&
      later.came.some(({ bundleId }) => load.came.some(one => one.bundleId === bundleId)),
  )
