import type { FastifyInstance, FastifyReply, FastifyRequest } from 'fastify'
import { z } from 'zod'
import { Refusal } from '../domain/refusal.js'
import {
  DOT_SIZES,
  DOTS_PER_INCH,
  qrFor,
  readTagAddress,
  TAG_PAPERS,
  TAG_SIZES,
  type TagSettings,
  tagsOnSheet,
} from '../domain/tag-label.js'
import { changeTagSettings, findTagSettings } from '../store/tag-settings.js'
import { choice, readBy, version } from './kit/fields.js'
import { check, type Form } from './kit/form.js'
import { formPage } from './kit/post.js'

const settingsForm = z.object({
  paper: choice('What tags are printed on', TAG_PAPERS),
  size: choice('Size of a tag', TAG_SIZES),
  dotsPerInch: choice('Dots of the printer', DOTS_PER_INCH.map(String)),
  dotSize: choice('Squares of the code', DOT_SIZES),
  address: readBy(readTagAddress),
  version,
})

/** Every square code on offer with this address: how fine it is for each printer, and on which tags it has room. */
function offered(settings: TagSettings) {
  return DOTS_PER_INCH.flatMap(dotsPerInch =>
    DOT_SIZES.map(dotSize => {
      const { dots, moduleMm, sideMm } = qrFor({ ...settings, dotsPerInch, dotSize })
      const sizes = TAG_SIZES.filter(size => qrFor({ ...settings, size, dotsPerInch, dotSize }).fits)
      return { dotsPerInch, dotSize, dots, moduleMm, sideMm, sizes }
    }),
  )
}

async function showSettings(request: FastifyRequest, reply: FastifyReply, form: Form, status: number) {
  const settings = await findTagSettings(request.server.db)
  return reply.page('tags/settings', {
    title: 'Settings: tags',
    form,
    status,
    data: {
      settings,
      offered: offered(settings),
      sheets: TAG_SIZES.map(size => ({ size, A4: tagsOnSheet('A4', size), Letter: tagsOnSheet('Letter', size) })),
      host: request.host,
    },
  })
}

export function tagSettings(app: FastifyInstance): void {
  formPage(app, '/settings/tags', {
    show: showSettings,
    act: async (trx, _request, form, by) => {
      const { version, dotsPerInch, ...others } = check(settingsForm, form)
      const settings = { ...others, dotsPerInch: DOTS_PER_INCH.find(one => String(one) === dotsPerInch) ?? 600 }
      if (!qrFor(settings).fits)
        throw new Refusal(
          'wrong',
          'The square code has no room on a tag of this size. Choose a larger tag, or smaller squares.',
          'size',
        )
      await changeTagSettings(trx, by, settings, version)
      return { to: '/settings/tags', said: 'Settings of the tags saved.' }
    },
  })
}
