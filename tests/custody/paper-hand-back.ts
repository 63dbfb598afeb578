/** The hand-back on paper: what may go, and what is only saved for later. */
import { type ActionTo, type Row, saysSomething } from './actions.js'
import {
  bundlesOf,
  type Checked,
  checklistVersion,
  isWaiting,
  lotOf,
  lotsOf,
  type Paper,
  type PaperBundle,
} from './paper.js'

/** What is not found brings no ties and no weight back, whatever stood in its row. */
const asFound = ({ bundleId: _, lotId: __, ...row }: Row): Checked => ({
  ...row,
  words: row.words.trim(),
  ...(row.found ? {} : { back: 0, replaced: 0, grams: null, condition: 'as it came' as const }),
})

const unseen = ({ tiesIn }: PaperBundle): Checked => ({
  found: true,
  tiedAgain: false,
  back: tiesIn,
  replaced: 0,
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
    if (!bundle || lotOf(paper, row.lotId)?.isClosed) return false
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

export function handBack(paper: Paper, action: ActionTo<'hand back'>): boolean {
  const { commissionId, version, lotIds, toWhom, rows } = action
  const lots = lotsOf(paper, commissionId).filter(({ id }) => lotIds.includes(id))
  if (version !== checklistVersion(paper, commissionId) || toWhom.trim() === '' || lots.length === 0) return false
  if (lots.length !== lotIds.length || lots.some(({ isClosed }) => isClosed)) return false
  const leaving = lots
    .flatMap(({ id }) => bundlesOf(paper, id))
    .map(bundle => {
      const row = rows.find(({ bundleId }) => bundleId === bundle.id)
      return { bundle, check: row ? asFound(row) : (paper.checks.get(bundle.id) ?? unseen(bundle)) }
    })
  if (!leaving.every(({ bundle, check }) => mayGo(bundle, check))) return false
  for (const { bundle, check } of leaving) {
    const on = check.back + check.replaced
    Object.assign(bundle, { place: check.found ? 'handed back' : 'not found', on, off: 0, lost: bundle.tiesIn - on })
  }
  for (const lot of lots) lot.isClosed = true
  return true
}
