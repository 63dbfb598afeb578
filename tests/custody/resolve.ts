/** From what is tried to the press itself, as things stand on paper when the page is opened. */
import { type Action, CLIENTS, FITTING, NOWHERE, OWNER, POTS, type Row } from './actions.js'
import type { Intent, RowTried, Which } from './intents.js'
import {
  bundlesOf,
  checklistVersion,
  gramsOf,
  holderOf,
  isDone,
  isHere,
  isTakenOut,
  isWaiting,
  lotOf,
  lotsOf,
  type Paper,
  type PaperBundle,
} from './paper.js'

const pick = <T>(list: readonly T[], at: number, otherwise: T): T => list[at % Math.max(1, list.length)] ?? otherwise

/** One of those for which it makes sense, else any; a wild one is any at all, or nowhere. */
function choose(all: number[], sensible: number[], { at, isWild }: Which): number {
  if (isWild) return pick([...all, NOWHERE], at, NOWHERE)
  return pick(sensible.length > 0 ? sensible : all, at, NOWHERE)
}

export const pressesOf = (intent: Intent): number => ('presses' in intent ? intent.presses + 1 : 1)

export function resolve(paper: Paper, intent: Intent, serial: number): Action {
  switch (intent.does) {
    case 'take in':
      return { does: 'take in', clientId: intent.clientId, purpose: `class ${serial}`, lots: intent.lots }
    case 'keep a recipe': {
      const without = paper.lots.filter(({ id, recipeGrams }) => recipeGrams !== gramsOf(paper, id)).map(({ id }) => id)
      const lotId = choose(idsOf(paper.lots), without, intent.lot)
      return { does: 'keep a recipe', lotId, grams: gramsOf(paper, lotId) }
    }
    case 'put in pots':
      return putInPots(paper, intent)
    case 'share a bath':
      return shareABath(paper, intent)
    case 'save the checklist':
    case 'hand back':
      return checklist(paper, intent)
    case 'find again':
    case 'did not go':
      return hereAgain(paper, intent)
    case 'say of a tie': {
      const bundleId = choose(idsOf(paper.bundles), idsOf(paper.bundles.filter(isHere)), intent.bundle)
      const onBoard = paper.bundles.find(({ id }) => id === bundleId)?.onBoard ?? 0
      return { does: 'say of a tie', bundleId, onBoard, saying: intent.saying, words: intent.words }
    }
    case 'put right':
      return putRight(paper, intent)
    case 'mark': {
      const commissions = [...new Set(paper.lots.map(lot => lot.commissionId))]
      const { held, reason } = intent
      return { does: 'mark', commissionId: choose(commissions, [...paper.held], intent.commission), held, reason }
    }
    default:
      return atThePot(paper, intent)
  }
}

const idsOf = (list: readonly { id: number }[]): number[] => list.map(({ id }) => id)

function putRight(paper: Paper, intent: Extract<Intent, { does: 'put right' }>): Action {
  const { what, ties, grams, why, behind } = intent
  const sensible = paper.bundles.filter(({ place }) => place === 'arrivals shelf')
  const id = choose(idsOf(paper.bundles), idsOf(sensible), intent.bundle)
  const { lotId = NOWHERE, n = 1 } = paper.bundles.find(bundle => bundle.id === id) ?? {}
  return {
    does: 'put right',
    lotId,
    n,
    version: (lotOf(paper, lotId)?.version ?? 1) + behind,
    why,
    ties: what === 'ties' || what === 'both' ? ties : null,
    grams: what === 'weight' || what === 'both' ? grams : null,
    isWithdrawn: what === 'withdrawn',
    overlooked: what === 'overlooked' ? { ties, grams } : null,
  }
}

const lotsThatWait = (paper: Paper): Paper['lots'] =>
  paper.lots.filter(({ id, recipeGrams }) => recipeGrams === gramsOf(paper, id) && bundlesOf(paper, id).some(isWaiting))

function putInPots(paper: Paper, intent: Extract<Intent, { does: 'put in pots' }>): Action {
  const { lots } = paper
  const waits = lotsThatWait(paper)
  const lotId = choose(idsOf(lots), idsOf(waits), intent.lot)
  const free = FITTING.filter(potId => !holderOf(paper, potId))
  const potId = intent.pot.isWild ? pick(POTS, intent.pot.at, NOWHERE) : pick(free, intent.pot.at, 1)
  const ns = chosen(bundlesOf(paper, lotId), intent.bundles)
  const half = Math.ceil(ns.length / 2)
  const other = potId === 1 ? 2 : 1
  const shares = {
    one: [{ potId, ns }],
    two: [
      { potId, ns: ns.slice(0, half) },
      { potId: other, ns: ns.slice(half) },
    ],
    'two that overlap': [
      { potId, ns },
      { potId: other, ns: ns.slice(0, 1) },
    ],
  }
  return { does: 'put in pots', lotId, shares: shares[intent.into] }
}

function shareABath(paper: Paper, intent: Extract<Intent, { does: 'share a bath' }>): Action {
  const waits = lotsThatWait(paper)
  const lotId = choose(idsOf(paper.lots), idsOf(waits), intent.lot)
  const others = waits.filter(({ id }) => id !== lotId)
  const otherId = choose(idsOf(paper.lots), idsOf(others), intent.other)
  const free = FITTING.filter(potId => !holderOf(paper, potId))
  const potId = intent.pot.isWild ? pick(POTS, intent.pot.at, NOWHERE) : pick(free, intent.pot.at, 1)
  const lots = [lotId, otherId].map(id => ({ lotId: id, ns: chosen(bundlesOf(paper, id), intent.bundles) }))
  return { does: 'share a bath', potId, lots, toldApart: intent.toldApart }
}

/** The bundles of each lot of a load, counted right or wrong. */
function countedOut(paper: Paper, loadId: number, how: Extract<Intent, { does: 'next step' }>['out']) {
  const load = paper.loads.find(({ id }) => id === loadId)
  if (load === undefined || how === 'none') return []
  return load.lotIds.map((lotId, at) => {
    const went = bundlesOf(paper, lotId).filter(({ id }) => load.came.some(({ bundleId }) => bundleId === id)).length
    const beside = at > 0 ? 0 : how === 'one short' ? -1 : how === 'one too many' ? 1 : 0
    return { lotId, bundles: went + beside }
  })
}

function chosen(
  bundles: PaperBundle[],
  which: Extract<Intent, { does: 'put in pots' | 'share a bath' }>['bundles'],
): number[] {
  const waiting = bundles.filter(isWaiting).map(({ n }) => n)
  if (which === 'all that wait') return waiting
  if (which === 'the first that waits') return waiting.slice(0, 1)
  if (which === 'none') return []
  return [...bundles.map(({ n }) => n), ...(which === 'a stranger' ? [99] : [])]
}

type AtThePot = Extract<Intent, { does: 'next step' | 'undo' | 'rinse' | 'add' | 'note' }>

function atThePot(paper: Paper, intent: AtThePot): Action {
  const { loads } = paper
  const sensible = intent.does === 'next step' ? loads.filter(load => !isDone(load)) : loads.filter(l => !isTakenOut(l))
  const loadId = choose(idsOf(loads), idsOf(sensible), intent.load)
  const version = (loads.find(({ id }) => id === loadId)?.version ?? 1) + ('behind' in intent ? intent.behind : 0)
  switch (intent.does) {
    case 'next step':
      return { does: 'next step', loadId, version, why: intent.why, out: countedOut(paper, loadId, intent.out) }
    case 'undo':
      return { does: 'undo', loadId, version }
    case 'rinse':
      return { does: 'rinse', loadId, water: intent.water }
    case 'add':
      return { does: 'add', loadId, substanceId: intent.substanceId }
    case 'note':
      return { does: 'note', loadId, words: intent.words }
  }
}

function checklist(paper: Paper, intent: Extract<Intent, { does: 'save the checklist' | 'hand back' }>): Action {
  const commissions = [...new Set(paper.lots.map(lot => lot.commissionId))]
  const left = (lotId: number) => bundlesOf(paper, lotId).filter(isHere)
  const isReady = (lotId: number) => left(lotId).length > 0 && left(lotId).every(({ place }) => place === 'ready shelf')
  const ready = paper.lots.filter(({ id }) => isReady(id)).map(lot => lot.commissionId)
  const open = paper.lots.filter(({ isClosed }) => !isClosed).map(lot => lot.commissionId)
  const commissionId = choose(commissions, ready.length > 0 ? ready : open, intent.commission)
  const version = Math.max(0, checklistVersion(paper, commissionId) + intent.behind)
  const lots = idsOf(lotsOf(paper, commissionId))
  const rows = lots
    .filter(id => !lotOf(paper, id)?.isClosed)
    .flatMap(left)
    .map((bundle, at) => rowOf(bundle, pick(intent.rows, at, undefined)))
  if (intent.does === 'save the checklist') return { does: 'save the checklist', commissionId, version, rows }
  const lotIds = { ready: lots.filter(isReady), all: lots, first: lots.slice(0, 1), none: [] }[intent.lots]
  const { authority, restWords } = intent
  const owner = CLIENTS[lotsOf(paper, commissionId)[0]?.clientId ?? 1] ?? ''
  const toWhom = intent.toWhom === OWNER ? owner : intent.toWhom
  const shown = idsOf(lotIds.flatMap(left).filter(({ place }) => place === 'ready shelf'))
  const scanned = { none: [], first: shown.slice(0, 1), all: shown }[intent.scanned]
  const typed = { toWhom, authority, restWords, scanned, rows: intent.isFilledIn ? rows : [] }
  return { does: 'hand back', commissionId, version, lotIds, ...typed }
}

/** A bundle that is lost, or that went; else one that never was, or that was found before. */
function hereAgain(
  paper: Paper,
  { does, lost, words }: Extract<Intent, { does: 'find again' | 'did not go' }>,
): Action {
  const slips = Array.from({ length: paper.slips }, (_, n) => n + 1)
  const gone = does === 'find again' ? paper.lost : paper.went
  const one = lost.isWild ? undefined : gone[lost.at % Math.max(1, gone.length)]
  const any = {
    slip: pick([...slips, NOWHERE], lost.at, NOWHERE),
    bundleId: pick(idsOf(paper.bundles), lost.at, NOWHERE),
  }
  return { does, ...(one ?? any), words }
}

function rowOf(bundle: PaperBundle, typed: RowTried | undefined): Row {
  if (!typed) throw new Error('a checklist was tried without rows')
  const { short, share, ...row } = typed
  return {
    ...row,
    bundleId: bundle.id,
    lotId: bundle.lotId,
    back: Math.max(0, bundle.tiesIn - short - row.replaced),
    grams: share === null ? null : Math.round(bundle.grams * share),
  }
}
