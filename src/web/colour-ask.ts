import type { FastifyInstance, FastifyReply, FastifyRequest } from 'fastify'
import { z } from 'zod'
import { AGREED_HOW } from '../domain/arrival.js'
import type { Catalogue } from '../domain/catalogue.js'
import { dayOf } from '../domain/day.js'
import { asksWhy } from '../domain/drop-off.js'
import { agreeAgain, lotsNotAgreed } from '../store/agreements.js'
import { readCatalogue } from '../store/catalogue.js'
import { type ColourAsk, changeColourAsk, whyAskIsSettled } from '../store/colour-ask.js'
import { findLot, type Lot } from '../store/lots.js'
import { dyesByRoute } from './drop-off.js'
import { dyeIn, findingsFor } from './drop-off-fields.js'
import { NO_SWATCH } from './drop-off-rows.js'
import { choice, group, optionalText, swatch, text, tick, version } from './kit/fields.js'
import { check, Form, Unfit } from './kit/form.js'
import { formPage, found, idIn } from './kit/post.js'

const askForm = (catalogue: Catalogue) =>
  z.object({
    ask: group({
      colour: text('Colour in words', 500),
      swatch,
      noSwatch: tick,
      dyeId: dyeIn(catalogue),
      tiesUndyed: tick,
      against: optionalText('Why it is taken in all the same', 1000),
      agreed: choice('Agreed with the client', ['', ...AGREED_HOW]),
    }),
    version,
  })

/** A form that was sent shows what was typed in it; before that it shows what is asked now. */
const filledIn = (form: Form, lot: Lot): Form =>
  form.has('key')
    ? form
    : Form.of({
        version: String(lot.version),
        'ask.colour': lot.colour,
        'ask.swatch': lot.swatch ?? '',
        'ask.dyeId': lot.dyeId,
        'ask.tiesUndyed': lot.tiesUndyed ? 'yes' : '',
        'ask.against': lot.against,
      })

async function showAsk(request: FastifyRequest, reply: FastifyReply, sent: Form, status: number) {
  const { db } = request.server
  const lot = found(await findLot(db, idIn(request)), 'lot')
  const catalogue = await readCatalogue(db)
  const form = filledIn(sent, lot)
  const tiesUndyed = form.value('ask.tiesUndyed') !== ''
  const findings = findingsFor(catalogue, lot.fibreId, form.value('ask.dyeId'), { ...lot, tiesUndyed })
  const { bundles: _, ...asked } = lot
  return reply.page('lots/colour-ask', {
    title: `Lot ${lot.id}: the colour asked`,
    form: form.with(sent.errors, sent.doneAt),
    status,
    data: {
      lot: asked,
      settled: await whyAskIsSettled(db, lot.id),
      dyes: dyesByRoute(catalogue),
      findings,
      asksWhy: asksWhy(findings),
    },
  })
}

/** What was typed, or `Unfit`: also when the trade speaks against it on this fibre and no reason is given. */
function askIn(form: Form, lot: Lot, catalogue: Catalogue) {
  const { ask, version } = check(askForm(catalogue), form)
  const { swatch, noSwatch, dyeId: dye, against, agreed, ...rest } = ask
  const speaksAgainst = asksWhy(findingsFor(catalogue, lot.fibreId, dye.id, { ...lot, ...ask }))
  if (speaksAgainst && against === '') {
    throw new Unfit([{ field: 'ask.against', sentence: 'Say why it is dyed so all the same, or choose another dye.' }])
  }
  const asked: ColourAsk = {
    ...rest,
    swatch: noSwatch || swatch === NO_SWATCH ? null : swatch,
    dyeId: dye.id,
    route: dye.route,
    against: speaksAgainst ? against : '',
  }
  return { ask: asked, agreed, version }
}

export function colourAsk(app: FastifyInstance): void {
  formPage(app, '/lots/:id/colour-ask', {
    show: showAsk,
    act: async (trx, request, form, by) => {
      const lot = found(await findLot(trx, idIn(request)), 'lot')
      const { ask, agreed, version } = askIn(form, lot, await readCatalogue(trx))
      await changeColourAsk(trx, by, lot.id, version, ask)
      const { commissionId } = lot
      if (agreed !== '' && (await lotsNotAgreed(trx, commissionId)).includes(lot.id)) {
        const agreedOn = dayOf(by.at, request.workshop.timeZone)
        await agreeAgain(trx, by, commissionId, { how: agreed, agreedOn, words: '' }, [lot.id])
      }
      return { to: `/lots/${lot.id}`, said: 'The colour asked is changed.' }
    },
  })
}
