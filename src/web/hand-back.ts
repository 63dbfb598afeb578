import type { FastifyInstance, FastifyReply, FastifyRequest } from 'fastify'
import { sayCondition, sayHowTied } from '../domain/arrival.js'
import { type BundleCheck, CONDITIONS_BACK, tieStates, unchecked } from '../domain/bundle-check.js'
import { countPlaces } from '../domain/commission.js'
import { dayOf } from '../domain/day.js'
import { lotStanding, mayBeMissing, type Rest } from '../domain/hand-back.js'
import { ACKNOWLEDGED, HOW_HANDED } from '../domain/handover.js'
import { isHere } from '../domain/place.js'
import { Refusal } from '../domain/refusal.js'
import { slipLines } from '../domain/return-slip.js'
import { drawnTies } from '../domain/tie-board.js'
import { sayBand, type WeightBand } from '../domain/weight-back.js'
import { type LotArrival, lotArrivals } from '../store/arrivals.js'
import { type Checklist, findChecklist, refuseOldChecklist, saveChecks } from '../store/bundle-check.js'
import { findCommission } from '../store/commissions.js'
import type { By, Db, Trx } from '../store/db.js'
import { closeHandBack, knownReceivers } from '../store/hand-back.js'
import { handBacksOfCommission } from '../store/hand-backs.js'
import { type Bundle, type Lot, lotsOfCommission } from '../store/lots.js'
import { openPoints } from '../store/open-points.js'
import { liveCodes } from '../store/print-tags.js'
import { returnablesOf } from '../store/returnables.js'
import { bandFor, bandsFor } from '../store/weight-back.js'
import { scannedBundles } from './hand-back-codes.js'
import {
  type CheckedRow,
  checkedRows,
  type HandBackTyped,
  leavingOf,
  readHandBack,
  troublesOf,
  troublesOfRest,
} from './hand-back-form.js'
import { handoverOf, troublesOfHandover } from './hand-back-handover.js'
import { version } from './kit/fields.js'
import { type FieldError, type Form, Unfit } from './kit/form.js'
import { type Done, formPage, found, idIn } from './kit/post.js'

const dayNow = ({ server, workshop }: FastifyRequest): string => dayOf(server.now().toISOString(), workshop.timeZone)
const unitsOf = ({ workshop }: FastifyRequest) => ({ weight: workshop.weightUnit, volume: workshop.volumeUnit })

type Known = Checklist & { came: readonly LotArrival[] }

/** What was seen of a bundle when it came and how it was tied, to be held against what goes. */
function howItCame({ n, howTied, condition }: Bundle, lot: LotArrival | undefined): string {
  const seen = lot?.bundles.find(bundle => bundle.n === n)
  const said = seen ? [sayCondition(seen.found, seen.words), sayHowTied(seen, howTied)] : [condition, howTied]
  return said.filter(Boolean).join('; ')
}

/** A lot as the checklist shows it; `goes` is its tick: as sent, else ticked when everything in it is ready. */
async function lotShown(db: Db, lot: Lot, l: number, { checks, came }: Known, form: Form) {
  const tags = new Map((await liveCodes(db, lot.id)).map(({ n, code }) => [n, code]))
  const band = await bandFor(db, lot)
  const lotCame = came.find(({ lotId }) => lotId === lot.id)
  const standing = lotStanding(lot.bundles.map(({ place }) => place))
  return {
    ...lot,
    name: `lots.${l}`,
    standing,
    band,
    bandWords: sayBand(band),
    goes: isSent(form) ? form.has(`lots.${l}.goes`) : standing === 'ready',
    places: countPlaces(lot.bundles),
    bundles: lot.bundles.map((bundle, b) => {
      const check = checks.get(bundle.id) ?? null
      return {
        ...bundle,
        name: `lots.${l}.bundles.${b}`,
        check,
        tag: tags.get(bundle.n) ?? '',
        came: howItCame(bundle, lotCame),
        isHere: isHere(bundle.place),
        /** Off the ready shelf it stays; from a shelf it may be missing. */
        isReady: bundle.place === 'ready shelf',
        mayBeMissing: mayBeMissing(bundle.place),
        /** What the tie board knows before anybody looks. */
        start: unchecked(bundle),
        tieStates: check ? tieStates(bundle, check) : drawnTies(bundle),
      }
    }),
  }
}

const isSent = (form: Form): boolean => form.has('version')

const savedLines = (lots: readonly (Lot & { band: WeightBand })[], checks: ReadonlyMap<number, BundleCheck>) =>
  slipLines(
    lots
      .filter(({ closedAt }) => closedAt === null)
      .flatMap(lot =>
        lot.bundles.flatMap(bundle => {
          const check = checks.get(bundle.id)
          return check && isHere(bundle.place) && (check.tiedAgain || !check.found || check.explanation !== '')
            ? [{ bundle: { ...bundle, lotId: lot.id, band: lot.band }, check }]
            : []
        }),
      ),
  )

async function showChecklist(request: FastifyRequest, reply: FastifyReply, form: Form, status: number) {
  const { db } = request.server
  const commission = found(await findCommission(db, idIn(request)), 'commission')
  const known = await lotsOfCommission(db, commission.id)
  const checklist = await findChecklist(db, commission.id)
  const came = await lotArrivals(db, commission.id)
  const lots = await Promise.all(known.map((lot, l) => lotShown(db, lot, l, { ...checklist, came }, form)))
  const isBehind = status === 409 && form.value('version') !== String(checklist.version)
  return reply.page('hand-back/checklist', {
    title: `Hand-back: ${commission.clientName}`,
    form,
    status,
    data: {
      commission,
      lots,
      lines: savedLines(lots, checklist.checks),
      // After a conflict both stand on the page, and the next press is meant for what stands there now.
      version: isBehind ? checklist.version : Number(form.value('version', String(checklist.version))) || 0,
      isBehind,
      conditions: CONDITIONS_BACK,
      howHanded: HOW_HANDED,
      acknowledged: ACKNOWLEDGED,
      cameAlong: await returnablesOf(db, commission.id),
      points: await openPoints(db, commission.id),
      handBacks: await handBacksOfCommission(db, commission.id),
    },
  })
}

type Sent = { commissionId: number; typed: HandBackTyped; rows: CheckedRow[] }

async function save(trx: Trx, by: By, { commissionId, rows }: Sent): Promise<Done> {
  await saveChecks(trx, by, commissionId, new Map(rows.map(({ bundle, check }) => [bundle.id, check])))
  const tied = rows.filter(({ check }) => check.tiedAgain).length
  return {
    to: `/commissions/${commissionId}/hand-back`,
    said: `Saved for later: ${tied === 1 ? '1 bundle is' : `${tied} bundles are`} tied up again.`,
  }
}

async function close(trx: Trx, by: By, { commissionId, typed, rows }: Sent): Promise<Done> {
  const leaving = leavingOf(rows)
  const back = leaving.filter(({ check }) => check.found).length
  const rest: Rest = { until: typed.staysUntil, words: typed.staysWords }
  const none = leaving.length === 0 ? [{ field: '', sentence: 'Tick at least one lot that goes back.' }] : []
  const bands = await bandsFor(trx, [...new Set(leaving.map(({ lot }) => lot))])
  const handover = troublesOfHandover(typed, await knownReceivers(trx, commissionId))
  refuseUnlessRight([...none, ...troublesOf(leaving, bands), ...troublesOfRest(rows, leaving, rest), ...handover])
  const id = await closeHandBack(trx, by, {
    commissionId,
    lotIds: [...new Set(leaving.map(({ lot }) => lot.id))],
    toWhom: typed.toWhom,
    words: typed.words,
    checks: new Map(leaving.map(({ bundle, check }) => [bundle.id, check])),
    rest,
    handover: handoverOf(typed),
  })
  return { to: `/hand-backs/${id}`, said: `${back} ${back === 1 ? 'bundle is' : 'bundles are'} handed back.` }
}

function refuseUnlessRight(errors: FieldError[]): void {
  if (errors.length > 0) throw new Unfit(errors)
}

/** A lot that another device has handed back meanwhile is told before anything else that may be wrong. */
function refuseGone(form: Form, lots: readonly Lot[]): void {
  const gone = lots.find((lot, l) => lot.closedAt !== null && form.has(`lots.${l}.goes`))
  if (!gone) return
  throw new Refusal(
    'conflict',
    `Lot ${gone.id} was handed back while this page was open. What you changed since has not been saved; its slip is listed below.`,
  )
}

async function act(trx: Trx, request: FastifyRequest, form: Form, by: By): Promise<Done> {
  const commissionId = idIn(request)
  const lots = await lotsOfCommission(trx, commissionId)
  if (lots.length === 0) throw new Refusal('not-found', 'There is no such commission.')
  const checklist = await findChecklist(trx, commissionId)
  refuseGone(form, lots)
  refuseOldChecklist(checklist, versionOf(form))
  const typed = readHandBack(form, lots, unitsOf(request), dayNow(request))
  const scanned = await scannedBundles(trx, typed.scanned, commissionId)
  const rows = checkedRows(form, typed, lots, checklist.checks, scanned)
  const sent = { commissionId, typed, rows }
  return typed.do === 'save' ? save(trx, by, sent) : close(trx, by, sent)
}

function versionOf(form: Form): number {
  const read = version.safeParse(form.value('version'))
  if (read.success) return read.data
  throw new Unfit([{ field: '', sentence: read.error.issues[0]?.message ?? '' }])
}

export function handBack(app: FastifyInstance): void {
  formPage(app, '/commissions/:id/hand-back', { show: showChecklist, act })
}
