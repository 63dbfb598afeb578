import type { FastifyInstance, FastifyReply, FastifyRequest } from 'fastify'
import { type BundleCheck, CONDITIONS_BACK, tieStates } from '../domain/bundle-check.js'
import { countPlaces } from '../domain/commission.js'
import { lotStanding } from '../domain/hand-back.js'
import { Refusal } from '../domain/refusal.js'
import { slipLines } from '../domain/return-slip.js'
import { type Checklist, findChecklist, refuseOldChecklist, saveChecks } from '../store/bundle-check.js'
import { findCommission } from '../store/commissions.js'
import type { By, Trx } from '../store/db.js'
import { closeHandBack, handBacksOfCommission } from '../store/hand-back.js'
import { type Bundle, type Lot, lotsOfCommission } from '../store/lots.js'
import { openPoints } from '../store/open-points.js'
import {
  askAgainForNumber,
  type CheckedRow,
  checkedRows,
  type HandBackTyped,
  readHandBack,
  troublesOf,
} from './hand-back-form.js'
import { version } from './kit/fields.js'
import { type FieldError, type Form, Unfit } from './kit/form.js'
import { type Done, formPage, found, idIn } from './kit/post.js'

const unitsOf = ({ workshop }: FastifyRequest) => ({ weight: workshop.weightUnit, volume: workshop.volumeUnit })

/** A lot as the checklist shows it; `goes` is its tick: as sent, else ticked when everything in it is ready. */
function lotShown(lot: Lot, l: number, { checks }: Checklist, form: Form) {
  const standing = lotStanding(lot.bundles.map(({ place }) => place))
  return {
    ...lot,
    name: `lots.${l}`,
    standing,
    goes: isSent(form) ? form.has(`lots.${l}.goes`) : standing === 'ready',
    places: countPlaces(lot.bundles),
    bundles: lot.bundles.map((bundle, b) => {
      const check = checks.get(bundle.id) ?? null
      return {
        ...bundle,
        name: `lots.${l}.bundles.${b}`,
        check,
        tieStates: check ? tieStates(bundle, check) : tiesNow(bundle),
      }
    }),
  }
}

/** Before anybody has looked: what is tied on, what hangs on the tie board, what is known to be lost. */
const tiesNow = ({ tiesOn, tiesOff, tiesLost }: Bundle) => [
  ...Array<'on'>(tiesOn).fill('on'),
  ...Array<'off'>(tiesOff).fill('off'),
  ...Array<'missing'>(tiesLost).fill('missing'),
]

const isSent = (form: Form): boolean => form.has('version')

/** How many bundles the main button names: those of the ticked lots, without those that are not found. */
const going = (lots: ReturnType<typeof lotShown>[], form: Form): number =>
  lots
    .filter(({ goes, standing }) => goes && standing !== 'gone' && standing !== 'stays')
    .flatMap(({ bundles }) => bundles)
    .filter(({ name, check }) => (isSent(form) ? !form.has(`${name}.missing`) : check?.found !== false)).length

const savedLines = (lots: readonly Lot[], checks: ReadonlyMap<number, BundleCheck>) =>
  slipLines(
    lots
      .filter(({ closedAt }) => closedAt === null)
      .flatMap(lot =>
        lot.bundles.flatMap(bundle => {
          const check = checks.get(bundle.id)
          return check && (check.tiedAgain || !check.found || check.explanation !== '')
            ? [{ bundle: { ...bundle, lotId: lot.id }, check }]
            : []
        }),
      ),
  )

async function showChecklist(request: FastifyRequest, reply: FastifyReply, form: Form, status: number) {
  const { db } = request.server
  const commission = found(await findCommission(db, idIn(request)), 'commission')
  const known = await lotsOfCommission(db, commission.id)
  const checklist = await findChecklist(db, commission.id)
  const lots = known.map((lot, l) => lotShown(lot, l, checklist, form))
  const isBehind = status === 409
  return reply.page('hand-back/checklist', {
    title: `Hand-back: ${commission.clientName}`,
    form,
    status,
    data: {
      commission,
      lots,
      going: going(lots, form),
      lines: savedLines(known, checklist.checks),
      // After a conflict both stand on the page, and the next press is meant for what stands there now.
      version: isBehind ? checklist.version : Number(form.value('version', String(checklist.version))) || 0,
      isBehind,
      conditions: CONDITIONS_BACK,
      points: await openPoints(db, commission.id),
      handBacks: await handBacksOfCommission(db, commission.id),
    },
  })
}

type Sent = { commissionId: number; typed: HandBackTyped; rows: CheckedRow[]; form: Form }

async function save(trx: Trx, by: By, { commissionId, rows }: Sent): Promise<Done> {
  await saveChecks(trx, by, commissionId, new Map(rows.map(({ bundle, check }) => [bundle.id, check])))
  const tied = rows.filter(({ check }) => check.tiedAgain).length
  return {
    to: `/commissions/${commissionId}/hand-back`,
    said: `Saved for later: ${tied === 1 ? '1 bundle is' : `${tied} bundles are`} tied up again.`,
  }
}

async function close(trx: Trx, by: By, { commissionId, typed, rows, form }: Sent): Promise<Done> {
  const leaving = rows.filter(({ goes }) => goes)
  const back = leaving.filter(({ check }) => check.found).length
  refuseUnlessRight([...askWhoAndWhat(typed, leaving), ...troublesOf(leaving)])
  refuseUnlessRight(askAgainForNumber(form, back))
  const id = await closeHandBack(trx, by, {
    commissionId,
    lotIds: [...new Set(leaving.map(({ lot }) => lot.id))],
    toWhom: typed.toWhom,
    words: typed.words,
    checks: new Map(leaving.map(({ bundle, check }) => [bundle.id, check])),
  })
  return { to: `/hand-backs/${id}`, said: `${back} ${back === 1 ? 'bundle is' : 'bundles are'} handed back.` }
}

function refuseUnlessRight(errors: FieldError[]): void {
  if (errors.length > 0) throw new Unfit(errors)
}

const askWhoAndWhat = ({ toWhom }: HandBackTyped, leaving: readonly CheckedRow[]): FieldError[] => [
  ...(leaving.length === 0 ? [{ field: '', sentence: 'Tick at least one lot that goes back.' }] : []),
  ...(toWhom === '' ? [{ field: 'toWhom', sentence: 'Fill in: who receives them.' }] : []),
]

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
  const typed = readHandBack(form, lots, unitsOf(request))
  const rows = checkedRows(form, typed, lots, checklist.checks)
  const sent = { commissionId, typed, rows, form }
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
