/** The hand-back on paper: what may go, and what is only saved for later. */
import { type ActionTo, CLIENTS, type Row, saysSomething } from './actions.js'
import {
  bundlesOf,
  type Checked,
  checklistVersion,
  isHere,
  isWaiting,
  lotsOf,
  type Paper,
  type PaperBundle,
} from './paper.js'

/** What is not found brings no ties and no weight back, whatever stood in its row. */
const asFound = ({ bundleId: _, lotId: __, stays: ___, ...row }: Row): Checked => ({
  ...row,
  words: row.words.trim(),
  ...(row.found ? {} : { back: 0, replaced: 0, grams: null, condition: 'as it came' as const }),
})

export const unseen = ({ tiesIn, lost, anew }: PaperBundle): Checked => ({
  found: true,
  tiedAgain: false,
  back: tiesIn - lost - anew,
  replaced: anew,
  grams: null,
  condition: 'as it came',
  words: '',
})

const isSame = (one: Checked, other: Checked): boolean =>
  (Object.keys(one) as (keyof Checked)[]).every(field => one[field] === other[field])

export function saveChecklist(paper: Paper, action: ActionTo<'save the checklist'>): boolean {
  const { commissionId, version, rows } = action
  if (lotsOf(paper, commissionId).length === 0 || version !== checklistVersion(paper, commissionId)) return false
  const changed = rows.filter(row => {
    const bundle = paper.bundles.find(({ id }) => id === row.bundleId)
    if (!bundle || !isHere(bundle)) return false
    return !isSame(paper.checks.get(bundle.id) ?? unseen(bundle), asFound(row))
  })
  for (const row of changed) paper.checks.set(row.bundleId, asFound(row))
  paper.checklistVersions.set(commissionId, version + changed.length)
  return true
}

/** Whether a bundle may go back, or be given up for lost, as it was checked. */
function mayGo(bundle: PaperBundle, check: Checked): boolean {
  const isExplained = saysSomething(check.words)
  if (!check.found) return isWaiting(bundle) && !check.tiedAgain && isExplained
  const missing = bundle.tiesIn - check.back - check.replaced
  if (bundle.place !== 'ready shelf' || missing < 0) return false
  const share = check.grams === null ? 1 : check.grams / bundle.grams
  const weighsRight = share >= 0.9 && share <= 1.15
  return isExplained || (missing === 0 && check.tiedAgain && weighsRight && check.condition === 'as it came')
}

type Leaving = { bundle: PaperBundle; check: Checked }

/** What of a lot goes, as it was checked: what is ready and does not stay, and what is said to go from elsewhere. */
function leavingOf(paper: Paper, lotId: number, { rows, scanned }: ActionTo<'hand back'>): Leaving[] {
  return bundlesOf(paper, lotId)
    .filter(isHere)
    .flatMap(bundle => {
      const row = rows.find(({ bundleId }) => bundleId === bundle.id)
      const typed = row ? asFound(row) : (paper.checks.get(bundle.id) ?? unseen(bundle))
      const check = scanned.includes(bundle.id) ? { ...typed, tiedAgain: true } : typed
      const goes = bundle.place === 'ready shelf' || check.tiedAgain || !check.found
      return goes && row?.stays !== true ? [{ bundle, check }] : []
    })
}

/** A bundle that stays is neither given up nor scanned. */
const contradicts = (paper: Paper, { rows, scanned, lotIds }: ActionTo<'hand back'>): boolean =>
  rows
    .filter(
      ({ lotId, bundleId }) =>
        lotIds.includes(lotId) && bundlesOf(paper, lotId).some(one => one.id === bundleId && isHere(one)),
    )
    .some(({ stays, found, bundleId }) => stays && (!found || scanned.includes(bundleId)))

const mayReceive = (paper: Paper, { commissionId, toWhom, authority }: ActionTo<'hand back'>): boolean =>
  toWhom === CLIENTS[lotsOf(paper, commissionId)[0]?.clientId ?? 0] ||
  (toWhom.trim() !== '' && saysSomething(authority))

export function handBack(paper: Paper, action: ActionTo<'hand back'>): boolean {
  const { commissionId, version, lotIds, restWords, scanned } = action
  if (version !== checklistVersion(paper, commissionId) || paper.held.has(commissionId)) return false
  const lots = lotsOf(paper, commissionId).filter(({ id }) => lotIds.includes(id))
  if (lots.length === 0 || lots.length !== lotIds.length || lots.some(({ isClosed }) => isClosed)) return false
  const known = scanned.map(id => paper.bundles.find(bundle => bundle.id === id))
  if (known.some(bundle => !bundle || !isHere(bundle) || !lotIds.includes(bundle.lotId))) return false
  const going = lots.map(lot => ({ lot, leaving: leavingOf(paper, lot.id, action) }))
  if (contradicts(paper, action) || !mayReceive(paper, action) || going.some(({ leaving }) => leaving.length === 0))
    return false
  if (!going.flatMap(({ leaving }) => leaving).every(({ bundle, check }) => mayGo(bundle, check))) return false
  const hasRest = ({ lot, leaving }: (typeof going)[number]) =>
    bundlesOf(paper, lot.id).filter(isHere).length > leaving.length
  if (going.some(hasRest) && !saysSomething(restWords)) return false
  paper.slips += 1
  for (const { lot, leaving } of going) {
    for (const one of leaving) letGo(paper, one)
    lot.isClosed = !bundlesOf(paper, lot.id).some(isHere)
    lot.version += 1
  }
  return true
}

function letGo(paper: Paper, { bundle, check }: Leaving): void {
  const on = check.back + check.replaced
  Object.assign(bundle, {
    place: check.found ? 'handed back' : 'not found',
    on,
    off: 0,
    lost: bundle.tiesIn - on,
    anew: check.replaced,
  })
  const gone = check.found ? paper.went : paper.lost
  gone.push({ slip: paper.slips, bundleId: bundle.id })
}

/** Found after all: on the ready shelf with all its ties. */
export function findAgain(paper: Paper, action: ActionTo<'find again'>): boolean {
  const bundle = hereAgain(paper, action, paper.lost)
  if (!bundle) return false
  Object.assign(bundle, { on: bundle.tiesIn, off: 0, lost: 0, anew: 0 })
  paper.lost = paper.lost.filter(one => one.bundleId !== bundle.id)
  return lookAnew(paper, bundle)
}

/** It did not go: on the ready shelf with the ties that were counted back. */
export function didNotGo(paper: Paper, action: ActionTo<'did not go'>): boolean {
  const bundle = hereAgain(paper, action, paper.went)
  if (!bundle) return false
  paper.went = paper.went.filter(one => one.bundleId !== bundle.id)
  return lookAnew(paper, bundle)
}

/** Its lot is open again. */
function hereAgain(
  paper: Paper,
  { slip, bundleId, words }: ActionTo<'find again' | 'did not go'>,
  gone: Paper['lost'],
): PaperBundle | undefined {
  const isGone = gone.some(one => one.slip === slip && one.bundleId === bundleId)
  const bundle = paper.bundles.find(({ id }) => id === bundleId)
  const lot = paper.lots.find(({ id }) => id === bundle?.lotId)
  if (!isGone || !bundle || !lot || words.trim() === '') return undefined
  bundle.place = 'ready shelf'
  if (lot.isClosed) lot.version += 1
  lot.isClosed = false
  return bundle
}

/** Its check is begun anew. */
function lookAnew(paper: Paper, bundle: PaperBundle): boolean {
  const lot = paper.lots.find(({ id }) => id === bundle.lotId)
  if (!lot) return false
  paper.found.push({ bundleId: bundle.id, loadsThen: paper.loads.length })
  paper.checks.set(bundle.id, unseen(bundle))
  paper.checklistVersions.set(lot.commissionId, checklistVersion(paper, lot.commissionId) + 1)
  return true
}

export function mark(paper: Paper, { commissionId, held, reason }: ActionTo<'mark'>): boolean {
  const isThere = lotsOf(paper, commissionId).length > 0
  if (!isThere || reason.trim() === '' || paper.held.has(commissionId) === held) return false
  if (held) paper.held.add(commissionId)
  else paper.held.delete(commissionId)
  return true
}

/** One press on the tie board: the sum stays, and the bundle's row of the checklist follows. */
/** Of ties as they are, and not as an older board showed them. */
export function sayOfTie(paper: Paper, { bundleId, onBoard, saying, words }: ActionTo<'say of a tie'>): boolean {
  const bundle = paper.bundles.find(({ id }) => id === bundleId)
  const lot = paper.lots.find(({ id }) => id === bundle?.lotId)
  if (!bundle || !lot || !isHere(bundle) || bundle.onBoard !== onBoard || !change(bundle, saying)) return false
  const { back, replaced } = unseen(bundle)
  const before = paper.checks.get(bundleId) ?? unseen(bundle)
  const ties = before.found ? { back, replaced } : {}
  paper.checks.set(bundleId, { ...before, ...ties, words: before.words === '' ? words : before.words })
  paper.checklistVersions.set(lot.commissionId, checklistVersion(paper, lot.commissionId) + 1)
  return true
}

function change(bundle: PaperBundle, saying: ActionTo<'say of a tie'>['saying']): boolean {
  const there = bundle.off > 0 ? 'off' : 'on'
  if (saying === 'lost' && bundle[there] > 0) {
    bundle[there] -= 1
    bundle.lost += 1
    bundle.anew = Math.min(bundle.anew, bundle.on + bundle.off)
  } else if (saying === 'found' && bundle.lost > 0) {
    bundle[there] += 1
    bundle.lost -= 1
  } else if (saying === 'replaced' && bundle.lost > 0) {
    bundle[there] += 1
    bundle.lost -= 1
    bundle.anew += 1
  } else if (saying === 'replaced' && bundle.tiesIn > 0) {
    bundle.anew = Math.min(bundle.anew + 1, bundle.tiesIn)
  } else if (saying === 'first back' && bundle.anew > 0) bundle.anew -= 1
  else return false
  return true
}
