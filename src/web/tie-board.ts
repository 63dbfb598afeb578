import type { FastifyInstance, FastifyReply, FastifyRequest } from 'fastify'
import { z } from 'zod'
import { isHere } from '../domain/place.js'
import { Refusal } from '../domain/refusal.js'
import { drawnTies, saidOfTie, sayTieCounts, TIE_SAYINGS, type TieSaying } from '../domain/tie-board.js'
import { findLot } from '../store/lots.js'
import { sharedNow } from '../store/lots-in-load.js'
import { sayOfTie, tieEventsOfLot } from '../store/tie-board.js'
import { choice, optionalText } from './kit/fields.js'
import { check, type Form } from './kit/form.js'
import { formPage, found, idIn } from './kit/post.js'

const BUTTONS: Record<TieSaying, string> = {
  lost: 'Lost one',
  replaced: 'Replaced one from its own end',
  found: 'Found one again',
  'first back': 'The first one is back',
}
const SAID: Record<TieSaying, string> = {
  lost: 'one tie is lost. At the hand-back it is missing, until it is found or explained.',
  replaced: 'one tie is replaced from its own end.',
  found: 'one lost tie is found again.',
  'first back': 'the first tie is back in place of the new one.',
}

const sayingForm = z.object({
  n: z.coerce.number().int().min(1).max(100_000),
  after: z.coerce.number().int().min(0),
  saying: choice('What became of the tie', TIE_SAYINGS),
  words: optionalText('In words', 500),
})

async function showBoard(request: FastifyRequest, reply: FastifyReply, form: Form, status: number) {
  const { db } = request.server
  const lot = found(await findLot(db, idIn(request)), 'lot')
  const events = await tieEventsOfLot(db, lot.id)
  const bundles = lot.bundles.map(bundle => ({
    ...bundle,
    drawn: drawnTies(bundle),
    inWords: sayTieCounts(bundle, lot.tiesUndyed),
    events: events.filter(({ bundleId }) => bundleId === bundle.id),
    after: events.findLast(({ bundleId }) => bundleId === bundle.id)?.id ?? 0,
    sayings: TIE_SAYINGS.filter(saying => isHere(bundle.place) && saidOfTie(bundle, saying) !== undefined).map(
      saying => ({ saying, button: BUTTONS[saying] }),
    ),
  }))
  const total = (of: 'tiesIn' | 'tiesOn' | 'tiesOff' | 'tiesLost' | 'tiesReplaced') =>
    bundles.reduce((sum, bundle) => sum + bundle[of], 0)
  const all = {
    tiesIn: total('tiesIn'),
    tiesOn: total('tiesOn'),
    tiesOff: total('tiesOff'),
    tiesLost: total('tiesLost'),
    tiesReplaced: total('tiesReplaced'),
  }
  return reply.page('tie-board/lot', {
    title: `Lot ${lot.id}: tie board`,
    form,
    status,
    data: { lot, shared: await sharedNow(db, lot.id), bundles, all, allInWords: sayTieCounts(all, lot.tiesUndyed) },
  })
}

export function tieBoard(app: FastifyInstance): void {
  formPage(app, '/lots/:id/ties', {
    show: showBoard,
    act: async (trx, request, form, by) => {
      const lotId = idIn(request)
      found(await findLot(trx, lotId), 'lot')
      const said = sayingForm
        .pick({ n: true, after: true })
        .safeParse({ n: form.value('n'), after: form.value('after') })
      if (!said.success) throw new Refusal('wrong', 'Choose the bundle, and press what became of its tie.')
      if (!TIE_SAYINGS.some(known => known === form.value('saying')))
        throw new Refusal('wrong', 'Press what became of the tie.')
      const { saying, words } = check(sayingForm.pick({ saying: true, words: true }), form)
      await sayOfTie(trx, by, { ...said.data, lotId, saying, words })
      return { to: `/lots/${lotId}/ties`, said: `Bundle ${said.data.n}: ${SAID[saying]}` }
    },
  })
}
