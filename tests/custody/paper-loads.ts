/** Taking in, putting in pots and carrying on, on paper. Each answers whether it is allowed, and then has done it. */
import type { Database } from 'better-sqlite3'
import type { Place } from '../../src/domain/place.js'
import { type ActionTo, FITTING, SHARING, saysSomething } from './actions.js'
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
  takesOut,
} from './paper.js'

/** `raw` only tells the numbers that the program gave to what it took in. */
export function takeIn(paper: Paper, { clientId, purpose, lots }: ActionTo<'take in'>, raw: Database): boolean {
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
      if (at === 0)
        paper.lots.push({ id: lotId, commissionId, clientId, recipeGrams: null, isClosed: false, version: 1 })
      const as = { tiesIn: ties, on: ties, off: 0, lost: 0, anew: 0, onBoard: 0, grams }
      paper.bundles.push({ id, lotId, n: at + 1, ...as, place: 'arrivals shelf', loadId: null })
    }
  }
  return true
}

export function keepRecipe(paper: Paper, { lotId, grams }: ActionTo<'keep a recipe'>): boolean {
  const lot = lotOf(paper, lotId)
  if (!lot || lot.isClosed || grams !== gramsOf(paper, lotId)) return false
  lot.recipeGrams = gramsOf(paper, lotId)
  return true
}

/** A recipe was kept for what stands written of the lot now. */
const hasRecipe = (paper: Paper, lotId: number): boolean => lotOf(paper, lotId)?.recipeGrams === gramsOf(paper, lotId)

export function putInPots(paper: Paper, { lotId, shares }: ActionTo<'put in pots'>, raw: Database): boolean {
  if (!hasRecipe(paper, lotId) || shares.length === 0) return false
  return shares.every(({ potId, ns }) => {
    const chosen = bundlesOf(paper, lotId).filter(({ n }) => ns.includes(n))
    const areThere = chosen.length > 0 && chosen.length === new Set(ns).size && chosen.every(isWaiting)
    if (!areThere || !FITTING.includes(potId) || holderOf(paper, potId)) return false
    const load = readLoad(raw, [lotId], potId, chosen)
    paper.loads.push(load)
    settle(paper, load)
    return true
  })
}

/** Different lots, each with a recipe and bundles that wait, told apart, and of owners who let them. */
export function shareABath(paper: Paper, action: ActionTo<'share a bath'>, raw: Database): boolean {
  const { potId, lots, toldApart } = action
  const owners = lots.map(({ lotId }) => lotOf(paper, lotId)?.clientId ?? 0)
  if (new Set(lots.map(({ lotId }) => lotId)).size < 2 || !lots.every(({ lotId }) => hasRecipe(paper, lotId)))
    return false
  if (new Set(owners).size > 1 && !owners.every(owner => SHARING.includes(owner))) return false
  const chosen = lots.map(({ lotId, ns }) => bundlesOf(paper, lotId).filter(({ n }) => ns.includes(n)))
  if (!saysSomething(toldApart) || !chosen.every(bundles => bundles.length > 0 && bundles.every(isWaiting)))
    return false
  if (!FITTING.includes(potId) || holderOf(paper, potId)) return false
  const lotIds = lots.map(({ lotId }) => lotId).sort((one, other) => one - other)
  const load = readLoad(raw, lotIds, potId, chosen.flat())
  paper.loads.push(load)
  settle(paper, load)
  return true
}

const SOAK = { place: 'soak tub' as const, tiesComeOff: true }

/** The number that the program gave the load, and the steps of its recipe; a bare soak when it made none. */
function readLoad(raw: Database, lotIds: number[], potId: number, chosen: PaperBundle[]): PaperLoad {
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
    lotIds,
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
  if (!load || isTakenOut(load) || load.lotIds.some(id => lotOf(paper, id)?.isClosed)) return undefined
  return version === undefined || version === load.version ? load : undefined
}

export function isAtWork(paper: Paper, loadId: number): boolean {
  const load = openLoad(paper, loadId)
  return load !== undefined && !isDone(load)
}

export function isInRinse(paper: Paper, loadId: number): boolean {
  const load = openLoad(paper, loadId)
  return load?.steps[load.begun - 1]?.place === 'rinse'
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

/** Out of a shared bath come as many bundles of each lot as went in. */
export const isOutAsIn = (paper: Paper, load: PaperLoad, out: ActionTo<'next step'>['out']): boolean =>
  load.lotIds.length < 2 ||
  !takesOut(load) ||
  load.lotIds.every(lotId => {
    const went = load.came.filter(({ bundleId }) => bundlesOf(paper, lotId).some(({ id }) => id === bundleId))
    return out.find(one => one.lotId === lotId)?.bundles === went.length
  })

export function nextStep(paper: Paper, { loadId, version, why, out }: ActionTo<'next step'>): boolean {
  const load = openLoad(paper, loadId, version)
  if (!load || isDone(load) || (asksWhy(load) && why.trim() === '') || !isOutAsIn(paper, load, out)) return false
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
