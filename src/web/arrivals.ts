/** How a commission came, and what of it is still to be answered: one page, a small form for each answer. */
import type { FastifyInstance, FastifyReply, FastifyRequest } from 'fastify'
import { z } from 'zod'
import { AGREED_HOW, sayCondition, sayTying } from '../domain/arrival.js'
import { OFFCUTS, SHARES_BATH_WORDS } from '../domain/client.js'
import { type Day, dayOf, readDay } from '../domain/day.js'
import { agreeAgain, agreementsOf, lotsNotAgreed } from '../store/agreements.js'
import { changeArrival, findArrival, type LotArrival, lotArrivals, noteFaults } from '../store/arrivals.js'
import { findCommission } from '../store/commissions.js'
import type { By, Db, Trx } from '../store/db.js'
import { keepApart, keptApart, release } from '../store/keep-apart.js'
import { findLot, lotsOfCommission } from '../store/lots.js'
import { receiptsIssued } from '../store/receipts.js'
import { addReturnables, answerReturnable, returnablesOf } from '../store/returnables.js'
import { decideWish, noteUnmetWish, unmetWishes } from '../store/unmet-wishes.js'
import { arrivalFields, faultsIn, returnables } from './drop-off-came.js'
import { choice, group, optionalText, readBy, text, version } from './kit/fields.js'
import { check, type Form, Unfit } from './kit/form.js'
import { type Done, formPage, found, idIn, onPost } from './kit/post.js'

const withWords = (lot: LotArrival | undefined) =>
  lot === undefined
    ? null
    : {
        ...lot,
        bundles: lot.bundles.map(one => ({
          ...one,
          says: [sayCondition(one.found, one.words), sayTying(one)].filter(Boolean).join('; '),
        })),
      }

/** How one lot came, for its own page. */
export async function howLotCame(db: Db, { id, commissionId }: { id: number; commissionId: number }) {
  return withWords((await lotArrivals(db, commissionId)).find(({ lotId }) => lotId === id))
}

/** Everything that is said of how a commission came; its lots with what was seen of each bundle. */
export async function howItCame(db: Db, commissionId: number) {
  const arrival = found(await findArrival(db, commissionId), 'commission')
  const lots = await lotsOfCommission(db, commissionId)
  const came = await lotArrivals(db, commissionId)
  const apart = await keptApart(
    db,
    lots.map(({ id }) => id),
  )
  return {
    arrival,
    lots: lots.map(({ id, fibreName, colour, closedAt }) => ({
      id,
      fibreName,
      colour,
      closedAt,
      came: withWords(came.find(({ lotId }) => lotId === id)),
      keptApart: apart.find(({ lotId }) => lotId === id) ?? null,
    })),
    agreements: await agreementsOf(db, commissionId),
    notAgreed: await lotsNotAgreed(db, commissionId),
    returnables: await returnablesOf(db, commissionId),
    unmetWishes: await unmetWishes(db, commissionId),
    receipts: await receiptsIssued(db, commissionId),
  }
}

const today = (request: FastifyRequest): Day => dayOf(request.server.now().toISOString(), request.workshop.timeZone)

/** The commission of the address, also where that names one of its lots. */
async function commissionOf(db: Db, request: FastifyRequest) {
  const isLot = request.url.startsWith('/lots/')
  const id = isLot ? found(await findLot(db, idIn(request)), 'lot').commissionId : idIn(request)
  return found(await findCommission(db, id), 'commission')
}

async function showArrival(request: FastifyRequest, reply: FastifyReply, form: Form, status: number) {
  const { db } = request.server
  const commission = await commissionOf(db, request)
  const came = await howItCame(db, commission.id)
  return reply.page('arrivals/show', {
    title: `Commission ${commission.id}: how it came`,
    form,
    status,
    data: {
      commission,
      ...came,
      bathWords: SHARES_BATH_WORDS[commission.sharesBath],
      offcuts: OFFCUTS,
      posted: form.has('key') ? request.url.split('?')[0] : '',
    },
  })
}

const arrivalForm = z.object({
  came: group({ ...arrivalFields, offcuts: choice('Offcuts and lost ties', OFFCUTS) }),
  version,
})

async function correct(trx: Trx, request: FastifyRequest, form: Form, by: By): Promise<Done> {
  const { came, version } = check(arrivalForm, form)
  const authority = came.broughtBy === '' ? '' : came.authority
  await changeArrival(trx, by, idIn(request), version, { ...came, authority })
  return done(idIn(request), 'How it came is changed.')
}

const done = (commissionId: number, said: string): Done => ({ to: `/commissions/${commissionId}/arrival`, said })

const EARLIEST_AGREED = '2000-01-01'

const agreementForm = (request: FastifyRequest) =>
  z.object({
    agreed: group({
      how: choice('How it was agreed', AGREED_HOW),
      on: readBy(typed =>
        readDay(typed === '' ? 'today' : typed, today(request), {
          label: 'day on which it was agreed',
          lean: 'back',
          earliest: EARLIEST_AGREED,
          latest: today(request),
        }),
      ),
      words: optionalText('What was said about it', 500),
    }),
  })

async function agree(trx: Trx, request: FastifyRequest, form: Form, by: By): Promise<Done> {
  const { id } = await commissionOf(trx, request)
  const { how, on, words } = check(agreementForm(request), form).agreed
  await agreeAgain(trx, by, id, { how, agreedOn: on, words })
  const said = 'The plan is agreed, as it stands now.'
  const backTo = form.value('backTo')
  return /^\d{1,15}$/.test(backTo) ? { to: `/lots/${backTo}/load`, said } : done(id, said)
}

const returnablesForm = z.object({ cameAlong: returnables })

async function addCameAlong(trx: Trx, request: FastifyRequest, form: Form, by: By): Promise<Done> {
  const { id } = await commissionOf(trx, request)
  const { cameAlong } = check(returnablesForm, form)
  if (cameAlong.length === 0) throw new Unfit([{ field: 'cameAlong', sentence: 'Say what came along, one to a line.' }])
  await addReturnables(trx, by, id, cameAlong)
  return done(id, 'It is on the list of what goes back.')
}

/** Words that are needed; their field is marked by a number, since several forms of its kind stand on the page. */
function wordsOf(form: Form, name: string, field: string, label: string, most = 500): string {
  const read = text(label, most).safeParse(form.value(name))
  if (read.success) return read.data
  throw new Unfit(read.error.issues.map(({ message }) => ({ field, sentence: message })))
}

async function answer(trx: Trx, request: FastifyRequest, form: Form, by: By): Promise<Done> {
  const [id, one] = [idIn(request), idIn(request, 'one')]
  if (form.value('do') === 'gone back' && form.value('why').trim() === '') {
    const { words } = await answerReturnable(trx, by, id, one, { answer: 'gone back', why: '' })
    return done(id, `Gone back: ${words}.`)
  }
  if (form.value('do') === 'gone back') {
    const sentence = 'Why it does not go back is written here: write that down, or take the words out.'
    throw new Unfit([{ field: `why-${one}`, sentence }])
  }
  const why = wordsOf(form, 'why', `why-${one}`, 'Why it does not go back')
  const { words } = await answerReturnable(trx, by, id, one, { answer: 'does not go back', why })
  return done(id, `Does not go back: ${words}.`)
}

async function mark(trx: Trx, request: FastifyRequest, form: Form, by: By): Promise<Done> {
  const { id: commissionId } = await commissionOf(trx, request)
  const lotId = idIn(request)
  const isReleased = form.value('do') === 'release'
  const label = isReleased ? 'Why it may lie beside others again' : 'Why it is kept apart'
  const why = wordsOf(form, 'why', `apart-why-${lotId}`, label)
  if (isReleased) await release(trx, by, lotId, why)
  else await keepApart(trx, by, lotId, why)
  return done(commissionId, isReleased ? `Lot ${lotId} may lie beside others again.` : `Lot ${lotId} is kept apart.`)
}

async function tellFaults(trx: Trx, request: FastifyRequest, form: Form, by: By): Promise<Done> {
  const { id: commissionId } = await commissionOf(trx, request)
  const lotId = idIn(request)
  const isNone = form.value('do') === 'none'
  if (isNone && form.value('why').trim() !== '') {
    const sentence = 'Faults are written here: write them down, or take the words out.'
    throw new Unfit([{ field: `faults-${lotId}`, sentence }])
  }
  const words = isNone ? '' : wordsOf(form, 'why', `faults-${lotId}`, 'What the client tells of it', 1000)
  await noteFaults(trx, by, lotId, faultsIn(isNone ? 'client says no faults' : '', words))
  return done(commissionId, `What the client tells of lot ${lotId} is written down.`)
}

async function noteWish(trx: Trx, request: FastifyRequest, form: Form, by: By): Promise<Done> {
  const { id } = await commissionOf(trx, request)
  const { unmet } = check(z.object({ unmet: text('Which wish cannot be met', 1000) }), form)
  await noteUnmetWish(trx, by, id, unmet)
  return done(id, 'Nothing of this commission is put in a pot until the client has decided.')
}

const decisionForm = z.object({
  decision: text('What was decided', 1000),
  decidedBy: text('Who decided'),
})

async function decide(trx: Trx, request: FastifyRequest, form: Form, by: By): Promise<Done> {
  await decideWish(trx, by, idIn(request), idIn(request, 'one'), check(decisionForm, form))
  return done(idIn(request), 'What the client decided is written down.')
}

export function arrivals(app: FastifyInstance): void {
  const show = showArrival
  formPage(app, '/commissions/:id/arrival', { show, act: correct })
  onPost(app, '/commissions/:id/agreements', { show, act: agree })
  onPost(app, '/commissions/:id/returnables', { show, act: addCameAlong })
  onPost(app, '/commissions/:id/returnables/:one', { show, act: answer })
  onPost(app, '/commissions/:id/unmet-wishes', { show, act: noteWish })
  onPost(app, '/commissions/:id/unmet-wishes/:one', { show, act: decide })
  onPost(app, '/lots/:id/apart', { show, act: mark })
  onPost(app, '/lots/:id/faults', { show, act: tellFaults })
}
