/** Whatever is tried with the store's functions, in whatever order, the fibre and its ties stay accounted for. */
import { expect, test } from 'vitest'
import { type ConditionBack, unchecked } from '../../src/domain/bundle-check.js'
import { isHere } from '../../src/domain/place.js'
import { reckon } from '../../src/domain/reckon.js'
import { Refusal } from '../../src/domain/refusal.js'
import { findChecklist, refuseOldChecklist, saveChecks } from '../../src/store/bundle-check.js'
import { readCatalogue } from '../../src/store/catalogue.js'
import { walkChain } from '../../src/store/chain.js'
import { type By, type Db, kyselyOn, type Trx } from '../../src/store/db.js'
import { takeIn } from '../../src/store/drop-off.js'
import { findAgain, noteStayed } from '../../src/store/found-again.js'
import { closeHandBack } from '../../src/store/hand-back.js'
import { beginNextStep, layLoad, noteAddition, noteRinse, noteWords, undoLast } from '../../src/store/loads.js'
import { findLot, lotsOfCommission } from '../../src/store/lots.js'
import { pressOnce } from '../../src/store/press.js'
import { putRight } from '../../src/store/put-right.js'
import { keepRecipe } from '../../src/store/recipes.js'
import { markRelease } from '../../src/store/release.js'
import { sayOfTie, tieEventsOfLot } from '../../src/store/tie-board.js'
import type { Action, ActionTo, Answer, BundleBrought, Press, Row } from '../custody/actions.js'
import { play, type Shed } from '../custody/play.js'
import { anyHistories, timeFor } from '../custody/run.js'
import { anotherShed, minutesLater, withNeighbours } from '../custody/shed.js'
import { jobOf } from '../pots-kit.js'

const bundleIn = ({ ties, grams }: BundleBrought) => ({
  tiesIn: ties,
  dryWeightG: grams,
  weightTyped: `${grams} g`,
  thicknessMm: null,
  thicknessTyped: '',
  condition: '',
  howTied: '',
})

const lotIn = (bundles: BundleBrought[]) => ({
  fibreId: 'red-cedar-inner-bark',
  colour: 'true black',
  swatch: null,
  route: 'label' as const,
  dyeId: 'all-purpose-bottled',
  tiesUndyed: true,
  against: '',
  repeatsLotId: null,
  bundles: bundles.map(bundleIn),
})

const checkOf = ({ found, tiedAgain, back, replaced, grams, condition, words }: Row) => ({
  found,
  tiedAgain,
  tiesBack: back,
  tiesReplaced: replaced,
  weightG: grams,
  weightTyped: grams === null ? '' : `${grams} g`,
  condition: condition as ConditionBack,
  explanation: words.trim(),
  tagCode: '',
})

async function bundleIdsOf(trx: Trx, lotId: number, ns: number[]): Promise<number[]> {
  const bundles = (await findLot(trx, lotId))?.bundles ?? []
  return ns.map(n => bundles.find(bundle => bundle.n === n)?.id ?? -n)
}

/** The rows of lots that are still here, beside what was saved of the others before: what the checklist sends. */
async function checklist(trx: Trx, { commissionId, version, rows }: ActionTo<'save the checklist' | 'hand back'>) {
  const saved = await findChecklist(trx, commissionId)
  refuseOldChecklist(saved, version)
  const bundles = (await lotsOfCommission(trx, commissionId)).flatMap(lot => lot.bundles)
  const here = new Set(bundles.filter(({ place }) => isHere(place)).map(({ id }) => id))
  const checks = [...saved.checks, ...rows.map(row => [row.bundleId, checkOf(row)] as const)]
  return new Map(checks.filter(([id]) => here.has(id)))
}

/** What the form makes of its rows: which bundles go, and the scanned ones as tied up again. */
async function leaving(trx: Trx, action: ActionTo<'hand back'>) {
  const { commissionId, lotIds, rows, scanned } = action
  const checks = await checklist(trx, action)
  const lots = (await lotsOfCommission(trx, commissionId)).filter(({ id }) => lotIds.includes(id))
  const here = lots.flatMap(({ bundles }) => bundles).filter(({ place }) => isHere(place))
  const stay = rows.filter(({ stays, bundleId }) => stays && here.some(({ id }) => id === bundleId))
  if (stay.some(({ found, bundleId }) => !found || scanned.includes(bundleId)))
    throw new Refusal('wrong', 'The form asks which of the two is meant.')
  const all = here.map(bundle => {
    const check = checks.get(bundle.id) ?? unchecked(bundle)
    const isScanned = scanned.includes(bundle.id)
    return { bundle, check: isScanned ? { ...check, tiedAgain: true, tagCode: `tag ${bundle.id}` } : check }
  })
  return new Map(
    all
      .filter(({ bundle, check }) => bundle.place === 'ready shelf' || check.tiedAgain || !check.found)
      .filter(({ bundle }) => !stay.some(({ bundleId }) => bundleId === bundle.id))
      .map(({ bundle, check }) => [bundle.id, check]),
  )
}

/** The last line about the ties of a bundle, as its board shows it. */
async function lastLine(db: Db, bundleId: number): Promise<number> {
  const bundle = await db.selectFrom('bundle').select('lot_id').where('id', '=', bundleId).executeTakeFirst()
  const events = await tieEventsOfLot(db, bundle?.lot_id ?? 0)
  return events.findLast(event => event.bundleId === bundleId)?.id ?? 0
}

/** `after`: the last line about the bundle's ties on the board that was opened. */
async function act(trx: Trx, by: By, action: Action, after: number): Promise<string> {
  switch (action.does) {
    case 'take in': {
      const asked = { purpose: action.purpose, neededBy: '2026-04-01', arrangement: 'trade' as const, note: '' }
      return `commission ${await takeIn(trx, by, { client: { id: action.clientId }, ...asked, lots: action.lots.map(lotIn) })}`
    }
    case 'keep a recipe': {
      const weightG = (await findLot(trx, action.lotId))?.bundles.reduce((sum, { dryWeightG }) => sum + dryWeightG, 0)
      if (weightG !== undefined && weightG !== action.grams)
        throw new Refusal('conflict', 'The form asks to look again: a weight was put right.')
      const recipe = reckon(jobOf(weightG ?? 100), await readCatalogue(trx))
      return `recipe ${await keepRecipe(trx, by, action.lotId, recipe)}`
    }
    case 'put in pots': {
      const { lotId } = action
      const loads: number[] = []
      for (const { potId, ns } of action.shares)
        loads.push(await layLoad(trx, by, { potId, bundleIds: await bundleIdsOf(trx, lotId, ns) }))
      return `loads ${loads}`
    }
    case 'share a bath': {
      const isTwice = new Set(action.lots.map(({ lotId }) => lotId)).size < action.lots.length
      if (isTwice || action.lots.some(({ ns }) => ns.length === 0))
        throw new Refusal('wrong', 'The form asks for a bundle of each.')
      const ids: number[] = []
      for (const { lotId, ns } of action.lots) ids.push(...(await bundleIdsOf(trx, lotId, ns)))
      const { potId, toldApart } = action
      return `load ${await layLoad(trx, by, { potId, bundleIds: ids, toldApart })}`
    }
    case 'next step': {
      const out = new Map(action.out.map(({ lotId, bundles }) => [lotId, bundles]))
      return beginNextStep(trx, by, { ...action, out })
    }
    case 'undo':
      return undoLast(trx, by, action)
    case 'rinse':
      await noteRinse(trx, by, action)
      return `load ${action.loadId}`
    case 'add':
      await noteAddition(trx, by, { ...action, amount: 5, unit: 'mL', typed: '5 mL', why: 'to see' })
      return `load ${action.loadId}`
    case 'note':
      if (action.words.trim() === '') throw new Refusal('wrong', 'The form asks for words.')
      await noteWords(trx, by, action)
      return `load ${action.loadId}`
    case 'save the checklist':
      if ((await lotsOfCommission(trx, action.commissionId)).length === 0) throw new Refusal('not-found', 'Nothing.')
      await saveChecks(trx, by, action.commissionId, await checklist(trx, action))
      return `commission ${action.commissionId}`
    case 'hand back':
      return `slip ${await closeHandBack(trx, by, {
        ...action,
        words: '',
        checks: await leaving(trx, action),
        rest: { until: null, words: action.restWords },
        handover: { authority: action.authority },
      })}`
    case 'find again':
      if (action.words.trim() === '') throw new Refusal('wrong', 'The form asks for words.')
      await findAgain(trx, by, { ...action, handBackId: action.slip })
      return `slip ${action.slip}`
    case 'did not go':
      if (action.words.trim() === '') throw new Refusal('wrong', 'The form asks for words.')
      await noteStayed(trx, by, { handBackId: action.slip, bundleIds: [action.bundleId], words: action.words })
      return `slip ${action.slip}`
    case 'say of a tie': {
      const { bundleId, saying, words } = action
      const row = await trx.selectFrom('bundle').select(['lot_id', 'n']).where('id', '=', bundleId).executeTakeFirst()
      const lotId = row?.lot_id ?? 0
      await sayOfTie(trx, by, { lotId, n: row?.n ?? 0, saying, after, words })
      return `lot ${lotId}`
    }
    case 'put right': {
      const { lotId, version, why, n, ties, grams, isWithdrawn, overlooked } = action
      if (why.trim() === '') throw new Refusal('wrong', 'The form asks how it is known.')
      const right = {
        ...(ties === null ? {} : { tiesIn: ties }),
        ...(grams === null ? {} : { dryWeightG: grams, weightTyped: `${grams} g` }),
      }
      const bundles = new Map(ties === null && grams === null ? [] : [[n, right]])
      const withdrawn = isWithdrawn ? [n] : []
      await putRight(trx, by, {
        lotId,
        version,
        why,
        bundles,
        withdrawn,
        overlooked: overlooked ? [bundleIn(overlooked)] : [],
      })
      return `lot ${lotId}`
    }
    case 'mark':
      if (action.reason.trim() === '') throw new Refusal('wrong', 'The form asks for a reason.')
      await markRelease(trx, by, action)
      return `commission ${action.commissionId}`
  }
}

/** A bundle of no weight: the form asks about it, and below the form the database refuses it. */
const isOfNoWeight = (action: Action, fault: unknown): boolean =>
  action.does === 'take in' && fault instanceof Error && fault.message.includes('CHECK constraint failed: dry_weight_g')

async function storeShed(): Promise<Shed> {
  const { raw, db } = await withNeighbours(await anotherShed())
  let minutes = 0
  const opened = new Map<string, number>()
  const open = async ({ action, key }: Press): Promise<void> => {
    if (action.does === 'say of a tie' && !opened.has(key)) opened.set(key, await lastLine(db, action.bundleId))
  }
  const press = async ({ action, key, who, otherWords }: Press): Promise<Answer> => {
    const by = { workerId: who + 1, at: minutesLater(minutes) }
    const body = `${JSON.stringify(action)}${otherWords ? ' and more' : ''}`
    try {
      return {
        done: true,
        leadsTo: await pressOnce(db, { key, body, at: by.at }, trx => act(trx, by, action, opened.get(key) ?? 0)),
      }
    } catch (fault) {
      if (fault instanceof Refusal || isOfNoWeight(action, fault)) return { done: false }
      throw fault
    }
  }
  const pass = () => {
    minutes += 1
  }
  return { raw, open, press, pass }
}

const USUAL = 80

test(
  'no history of allowed and forbidden actions loses a bundle or a tie',
  async () => {
    const tally = await anyHistories('the store', { usual: USUAL, most: 16 }, async (moves, tally) => {
      const shed = await storeShed()
      await play(shed, moves, tally)
      expect((await walkChain(kyselyOn(shed.raw))).broken).toEqual([])
      shed.raw.close()
    })
    for (const key of [
      'hand back: done',
      'hand back: refused',
      'put in pots: done',
      'share a bath: done',
      'share a bath: refused',
      'next step: refused',
      'undo: done',
      'find again: done',
      'did not go: done',
      'say of a tie: done',
      'put right: done',
      'put right: refused',
      'mark: done',
    ])
      expect(tally.of(key), key).toBeGreaterThan(0)
  },
  timeFor(USUAL),
)
