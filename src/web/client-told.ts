import type { FastifyInstance, FastifyReply, FastifyRequest } from 'fastify'
import { z } from 'zod'
import { TOLD } from '../domain/client-told.js'
import { dayOf, readDay } from '../domain/day.js'
import { lotsReadyToFetch, type ReadyLot, tellClient } from '../store/client-told.js'
import { findCommission } from '../store/commissions.js'
import { choice, optionalText, readBy } from './kit/fields.js'
import { check, type Form, Unfit } from './kit/form.js'
import { formPage, found, idIn } from './kit/post.js'

const dayNow = (request: FastifyRequest): string => dayOf(request.server.now().toISOString(), request.workshop.timeZone)

/** What a client knows of the lots of a commission that are ready. */
export const tellingOf = (lots: readonly ReadyLot[], commissionId: number) => {
  const its = lots.filter(lot => lot.commissionId === commissionId)
  return {
    untoldLotIds: its.filter(({ told }) => told === null).map(({ lotId }) => lotId),
    told: its.flatMap(({ lotId, told }) => (told ? [{ lotId, ...told }] : [])),
  }
}

async function showTelling(request: FastifyRequest, reply: FastifyReply, form: Form, status: number) {
  const { db } = request.server
  const commission = found(await findCommission(db, idIn(request)), 'commission')
  const telling = tellingOf(await lotsReadyToFetch(db), commission.id)
  return reply.page('client-told/tell', {
    title: `Ready: tell ${commission.clientName}`,
    form,
    status,
    data: { commission, telling, ways: TOLD },
  })
}

const LONGEST_AGO = '2000-01-01'

/** An empty day is today: the everyday answer is one press. */
const toldForm = (today: string) =>
  z.object({
    how: choice('How they were told', TOLD),
    day: readBy(typed =>
      typed === ''
        ? { ok: true, value: today }
        : readDay(typed, today, { label: 'day on which they were told', earliest: LONGEST_AGO, latest: today }),
    ),
    words: optionalText('Words', 1000),
  })

export function clientTold(app: FastifyInstance): void {
  formPage(app, '/commissions/:id/told', {
    show: showTelling,
    act: async (trx, request, form, by) => {
      const commissionId = idIn(request)
      const { how, day, words } = check(toldForm(dayNow(request)), form)
      if (how === 'cannot be told' && !/[\p{L}\p{N}]/u.test(words))
        throw new Unfit([{ field: 'words', sentence: 'Say why they cannot be told.' }])
      await tellClient(trx, by, { commissionId, onDay: day, how, words })
      return { to: `/commissions/${commissionId}`, said: how === 'cannot be told' ? 'Written down.' : `Told ${how}.` }
    },
  })
}
