import type { FastifyInstance, FastifyReply, FastifyRequest } from 'fastify'
import { z } from 'zod'
import { WANTED } from '../domain/photograph.js'
import { keptBytes } from '../store/photographs.js'
import { changePhotographSetting, photographSetting } from '../store/photographs-wanted.js'
import type { Config } from './kit/config.js'
import { choice, version } from './kit/fields.js'
import { check, type Form } from './kit/form.js'
import { formPage } from './kit/post.js'

const asked = z.object({ wanted: choice('Remind me of photographs', WANTED), version })

export function photographSettings(app: FastifyInstance, config: Config): void {
  const show = async (request: FastifyRequest, reply: FastifyReply, form: Form, status: number) => {
    const { db } = request.server
    const room = { keptBytes: await keptBytes(db), mostBytes: config.photographsMostBytes }
    return reply.page('photographs/settings', {
      title: 'Photographs: settings',
      form,
      status,
      data: { setting: await photographSetting(db), ...room },
    })
  }
  formPage(app, '/settings/photographs', {
    show,
    act: async (trx, _request, form) => {
      const { wanted, version } = check(asked, form)
      await changePhotographSetting(trx, wanted, version)
      return { to: '/settings/photographs', said: 'Settings saved.' }
    },
  })
}
