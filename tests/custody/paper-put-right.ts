/** Putting right what was written at drop-off, on paper: while it is here, and its ties before any came off. */
import type { Database } from 'better-sqlite3'
import type { ActionTo } from './actions.js'
import { bundlesOf, checklistVersion, isHere, lotOf, type Paper, type PaperBundle, type PaperLot } from './paper.js'
import { unseen } from './paper-hand-back.js'

export function putRight(paper: Paper, action: ActionTo<'put right'>, raw: Database): boolean {
  const { lotId, n, version, why, overlooked } = action
  const lot = lotOf(paper, lotId)
  if (!lot || lot.isClosed || lot.version !== version || why.trim() === '') return false
  const bundle = bundlesOf(paper, lotId).find(one => one.n === n)
  if (overlooked) add(paper, lot, overlooked, raw)
  else if (!bundle || !isHere(bundle) || !change(paper, lot, bundle, action)) return false
  lot.version += 1
  lot.isClosed = !bundlesOf(paper, lotId).some(isHere)
  return true
}

function change(paper: Paper, lot: PaperLot, bundle: PaperBundle, action: ActionTo<'put right'>): boolean {
  if (action.isWithdrawn) return withdraw(paper, lot, bundle)
  const ties = action.ties ?? bundle.tiesIn
  const grams = action.grams ?? bundle.grams
  if (ties === bundle.tiesIn && grams === bundle.grams) return false
  if (ties !== bundle.tiesIn) {
    if (bundle.onBoard > 0 || bundle.loadId !== null) return false
    Object.assign(bundle, { tiesIn: ties, on: ties })
    beginCheckAnew(paper, lot, bundle)
  }
  bundle.grams = grams
  return true
}

function withdraw(paper: Paper, lot: PaperLot, bundle: PaperBundle): boolean {
  const others = bundlesOf(paper, lot.id).filter(({ id, place }) => id !== bundle.id && place !== 'withdrawn')
  if (bundle.place !== 'arrivals shelf' || others.length === 0) return false
  bundle.place = 'withdrawn'
  beginCheckAnew(paper, lot, bundle)
  return true
}

/** `raw` only tells the number that the program gave it. */
function add(paper: Paper, lot: PaperLot, { ties, grams }: { ties: number; grams: number }, raw: Database): void {
  const n = Math.max(...bundlesOf(paper, lot.id).map(one => one.n)) + 1
  const id = Number(raw.prepare('select id from bundle where lot_id = ? and n = ?').pluck().get(lot.id, n) ?? 0)
  const as = { tiesIn: ties, on: ties, off: 0, lost: 0, anew: 0, onBoard: 0, grams }
  const bundle: PaperBundle = { id, lotId: lot.id, n, ...as, place: 'arrivals shelf', loadId: null }
  paper.bundles.push(bundle)
  paper.bundles.sort((one, other) => one.id - other.id)
  beginCheckAnew(paper, lot, bundle)
}

/** Its row of the checklist follows, so that a checklist which is open is older. */
function beginCheckAnew(paper: Paper, lot: PaperLot, bundle: PaperBundle): void {
  const { back, replaced } = unseen(bundle)
  const before = paper.checks.get(bundle.id) ?? unseen(bundle)
  paper.checks.set(bundle.id, { ...before, ...(before.found ? { back, replaced } : {}) })
  paper.checklistVersions.set(lot.commissionId, checklistVersion(paper, lot.commissionId) + 1)
}
