/** All that is kept of one client: to be read, taken away, or erased. */
import type { FastifyInstance, FastifyReply, FastifyRequest } from 'fastify'
import { z } from 'zod'
import { wordsThatStay } from '../domain/client-data.js'
import { inWords } from '../domain/client-data-words.js'
import { everythingOf } from '../store/client-data.js'
import { erasedAt, findClient } from '../store/clients.js'
import { eraseClient, forget, listErased, whyNotErased } from '../store/erase-client.js'
import { takeAwayUnused } from '../store/photograph-care.js'
import { photographFolder } from '../store/photograph-folder.js'
import type { Config } from './kit/config.js'
import { readBy } from './kit/fields.js'
import { check, type Form } from './kit/form.js'
import { formPage, found, idIn } from './kit/post.js'

async function showEverything(request: FastifyRequest, reply: FastifyReply) {
  const { db } = request.server
  const client = found(await findClient(db, idIn(request)), 'client')
  const data = await everythingOf(db, client.id)
  return reply.page('client-data/everything', {
    title: `${client.name}: all that is kept`,
    data: {
      client: { id: client.id, name: client.name },
      isErased: (await erasedAt(db, client.id)) !== null,
      tables: data,
      parts: inWords(data),
    },
  })
}

async function showErasing(request: FastifyRequest, reply: FastifyReply, form: Form, status: number) {
  const { db } = request.server
  const client = found(await findClient(db, idIn(request)), 'client')
  return reply.page('client-data/erase', {
    title: `${client.name}: erase`,
    form,
    status,
    data: {
      client: { id: client.id, name: client.name },
      whyNot: await whyNotErased(db, client.id),
      stays: wordsThatStay(await everythingOf(db, client.id)),
    },
  })
}

/** Erasing cannot be undone: the name is typed, so that it is nobody else's. */
const erasing = (name: string) =>
  z.object({
    name: readBy(typed =>
      typed === name
        ? { ok: true, value: typed }
        : { ok: false, sentence: `Type the name exactly as it stands here: ${name}.` },
    ),
  })

export function clientData(app: FastifyInstance, config: Config): void {
  app.get('/clients/:id/everything', showEverything)
  formPage(app, '/clients/:id/erase', {
    show: showErasing,
    act: async (trx, request, form, by) => {
      const client = found(await findClient(trx, idIn(request)), 'client')
      check(erasing(client.name), form)
      const hashes = await eraseClient(trx, by, client.id)
      const { db } = request.server
      return {
        to: `/clients/${client.id}`,
        said: 'The person is erased. Backups from before still hold them: destroy those, or erase again after a restore.',
        afterwards: async () => {
          await takeAwayUnused(db, photographFolder(config.dataFolder), hashes)
          await forget(db)
          await listErased(db, config.dataFolder)
        },
      }
    },
  })
}
