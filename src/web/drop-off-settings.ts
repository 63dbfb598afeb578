import type { FastifyInstance, FastifyReply, FastifyRequest } from 'fastify'
import { z } from 'zod'
import { THICK_ENDS, TIE_KINDS, TIE_PLACES } from '../domain/arrival.js'
import { readCount } from '../domain/quantity.js'
import { changeDropOffDefaults, dropOffDefaults } from '../store/arrivals.js'
import { choice, optionalText, readBy, version } from './kit/fields.js'
import { check, type Form } from './kit/form.js'
import { formPage } from './kit/post.js'

const defaultsForm = z.object({
  receiptWords: optionalText('Terms on every receipt', 4000),
  weeksWithoutDay: readBy(typed => readCount(typed, { label: 'weeks', noun: 'week', min: 1, max: 52 })).transform(
    ({ count }) => count,
  ),
  tiePlace: choice('Where bundles are tied', TIE_PLACES),
  tieKind: choice('How bundles are tied', TIE_KINDS),
  thickEnd: choice('Thick ends', THICK_ENDS),
  version,
})

async function showDefaults(request: FastifyRequest, reply: FastifyReply, form: Form, status: number) {
  return reply.page('settings/drop-off', {
    title: 'What a drop-off starts from',
    form,
    status,
    data: {
      defaults: await dropOffDefaults(request.server.db),
      tying: { places: TIE_PLACES, kinds: TIE_KINDS, thickEnds: THICK_ENDS },
    },
  })
}

export function dropOffSettings(app: FastifyInstance): void {
  formPage(app, '/settings/drop-off', {
    show: showDefaults,
    act: async (trx, _request, form, by) => {
      const { version, ...defaults } = check(defaultsForm, form)
      await changeDropOffDefaults(trx, by, version, defaults)
      return { to: '/settings/drop-off', said: 'Saved. The next drop-off starts from it.' }
    },
  })
}
