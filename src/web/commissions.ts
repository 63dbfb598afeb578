import type { FastifyInstance, FastifyReply, FastifyRequest } from 'fastify'
import { z } from 'zod'
import { SETTLES } from '../domain/client.js'
import { countPlaces, nextFor, sayPressing } from '../domain/commission.js'
import { addDays, dayOf, daysBetween, readDay } from '../domain/day.js'
import { alikeRuns, LONGEST_AHEAD_DAYS, totalsOf } from '../domain/drop-off.js'
import { isHere } from '../domain/place.js'
import { lotsReadyToFetch } from '../store/client-told.js'
import {
  type Commission,
  changeCommission,
  changesOfCommission,
  commissionsInHand,
  findCommission,
} from '../store/commissions.js'
import { handBacksOfCommission } from '../store/hand-backs.js'
import { type Bundle, type Lot, lotsOfCommission } from '../store/lots.js'
import { openPoints } from '../store/open-points.js'
import { promisesOfCommission } from '../store/promises.js'
import { receiptsIssued } from '../store/receipts.js'
import { releaseMarks } from '../store/release.js'
import { tellingOf } from './client-told.js'
import { choice, optionalText, readBy, text, version } from './kit/fields.js'
import { check, type Form } from './kit/form.js'
import { formPage, found, idIn } from './kit/post.js'
import { tagsShown } from './tags.js'

const dayNow = (request: FastifyRequest): string => dayOf(request.server.now().toISOString(), request.workshop.timeZone)

function pressingOf(countedOn: string, request: FastifyRequest) {
  const daysLeft = daysBetween(dayNow(request), countedOn)
  return { daysLeft, pressing: sayPressing(daysLeft) }
}

async function listCommissions(request: FastifyRequest, reply: FastifyReply) {
  const inHand = await commissionsInHand(request.server.db)
  const commissions = inHand.map(one => ({ ...one, ...pressingOf(one.countedOn, request) }))
  return reply.page('commissions/list', { title: 'In hand', data: { commissions } })
}

const asBrought = ({ tiesIn, dryWeightG, weightTyped, thicknessMm, thicknessTyped, condition, howTied }: Bundle) => ({
  tiesIn,
  dryWeightG,
  weightTyped,
  thicknessMm,
  thicknessTyped,
  condition,
  howTied,
})

const lotShown = (lot: Lot) => ({
  ...lot,
  totals: totalsOf(lot.bundles),
  places: countPlaces(lot.bundles),
  next: nextFor(lot.bundles),
  runs: alikeRuns(lot.bundles.map(bundle => ({ n: bundle.n, one: asBrought(bundle) }))),
})

async function showCommission(request: FastifyRequest, reply: FastifyReply) {
  const { db } = request.server
  const commission = found(await findCommission(db, idIn(request)), 'commission')
  const lots = await lotsOfCommission(db, commission.id)
  const bundles = lots.flatMap(lot => lot.bundles)
  const days = lots.flatMap(lot => (lot.bundles.some(({ place }) => isHere(place)) ? lot.countedOn : []))
  const countedOn = days.toSorted()[0] ?? commission.neededBy
  return reply.page('commissions/show', {
    title: `Commission ${commission.id}: ${commission.clientName}`,
    data: {
      commission: { ...commission, countedOn, ...pressingOf(countedOn, request) },
      totals: totalsOf(bundles),
      here: bundles.filter(({ place }) => isHere(place)).length,
      ready: bundles.filter(({ place }) => place === 'ready shelf').length,
      lots: lots.map(lotShown),
      points: await openPoints(db, commission.id),
      tags: await tagsShown(db, commission.id),
      isHeld: (await releaseMarks(db, commission.id))[0]?.held ?? false,
      telling: tellingOf(await lotsReadyToFetch(db), commission.id),
      came: { receipts: await receiptsIssued(db, commission.id) },
      handBacks: await handBacksOfCommission(db, commission.id),
      promises: await promisesOfCommission(db, commission.id),
      changes: await changesOfCommission(db, commission.id),
    },
  })
}

/** A commission that is late may stay late: only a day before its drop-off is a slip. */
const askedForm = (commission: Commission, request: FastifyRequest) =>
  z.object({
    purpose: text('Purpose', 500),
    neededBy: readBy(typed =>
      readDay(typed, dayNow(request), {
        label: 'needed-by day',
        earliest: dayOf(commission.takenInAt, request.workshop.timeZone),
        latest: addDays(dayNow(request), LONGEST_AHEAD_DAYS),
      }),
    ),
    arrangement: choice('How this is settled', SETTLES),
    note: optionalText('Note', 2000),
    version,
  })

async function showEdit(request: FastifyRequest, reply: FastifyReply, form: Form, status: number) {
  const commission = found(await findCommission(request.server.db, idIn(request)), 'commission')
  return reply.page('commissions/edit', {
    title: `Commission ${commission.id}: change`,
    form,
    status,
    data: { commission },
  })
}

export function commissions(app: FastifyInstance): void {
  app.get('/commissions', listCommissions)
  app.get('/commissions/:id', showCommission)
  formPage(app, '/commissions/:id/edit', {
    show: showEdit,
    act: async (trx, request, form, by) => {
      const commission = found(await findCommission(trx, idIn(request)), 'commission')
      const { version, ...asked } = check(askedForm(commission, request), form)
      await changeCommission(trx, by, commission.id, version, asked)
      return { to: `/commissions/${commission.id}`, said: 'The commission is changed.' }
    },
  })
}
