import { readFile, statfs } from 'node:fs/promises'
import type { FastifyInstance, FastifyReply, FastifyRequest } from 'fastify'
import { z } from 'zod'
import { MOMENTS, MOST_FILE_BYTES, MOST_FILES, mayPhotograph, momentNow, sayNoRoom } from '../domain/photograph.js'
import { sayFileName } from '../domain/picture-kind.js'
import { Refusal } from '../domain/refusal.js'
import { findClient } from '../store/clients.js'
import { describe, descriptionsOfLot } from '../store/descriptions.js'
import { findLot } from '../store/lots.js'
import { takeAwayUnused } from '../store/photograph-care.js'
import { enterIncoming, isInPlace, leaveIncoming, pathOf, photographFolder } from '../store/photograph-folder.js'
import {
  answerPhotographs,
  findPhotograph,
  keepPhotographs,
  keptBytes,
  photographsOfHash,
  photographsOfLot,
  refuseUnlessYes,
  withdrawPhotograph,
} from '../store/photographs.js'
import type { Picture } from '../store/picture.js'
import type { Config } from './kit/config.js'
import { choice, id, optionalText, text, version } from './kit/fields.js'
import { check, Form, Unfit } from './kit/form.js'
import { formPage, found, idIn, onPost } from './kit/post.js'
import type { Limits, Upload } from './kit/upload.js'
import { uploadPage } from './kit/upload-page.js'

const wholeOrBundle = id('Of which bundle').transform(bundleId => (bundleId === 0 ? null : bundleId))
const kept = z.object({
  bundleId: wholeOrBundle,
  moment: choice('When', MOMENTS),
  words: optionalText('In words', 500),
})
const described = z.object({
  described: z.object({ bundleId: wholeOrBundle, moment: choice('When', MOMENTS), words: text('How it looks', 2000) }),
})
const answered = z.object({ photographs: choice('Photographs', ['yes', 'yes, not to show', 'no']), version })
const withdrawn = z.object({ why: text('Why', 500) })

/** What an address asks to have chosen already: "?bundle=3&moment=at the pot". */
function chosenIn(request: FastifyRequest, bundles: readonly { id: number; n: number }[], now: string) {
  const asked = Form.read(request.query)
  const bundle = bundles.find(({ n }) => String(n) === asked.value('bundle'))
  const moment = MOMENTS.find(moment => moment === asked.value('moment')) ?? now
  return { bundleId: bundle?.id ?? 0, moment }
}

async function showPhotographs(request: FastifyRequest, reply: FastifyReply, form: Form, status: number) {
  const { db } = request.server
  const lot = found(await findLot(db, idIn(request)), 'lot')
  const client = found(await findClient(db, lot.clientId), 'client')
  const photographs = await photographsOfLot(db, lot.id)
  return reply.page('photographs/show', {
    title: `Photographs of lot ${lot.id}`,
    form,
    status,
    data: {
      lot,
      said: client.photographs,
      may: mayPhotograph(client.photographs),
      clientVersion: client.version,
      chosen: chosenIn(request, lot.bundles, momentNow(lot.bundles.map(({ place }) => place))),
      photographs: photographs.filter(({ withdrawnAt }) => withdrawnAt === null),
      withdrawn: photographs.filter(({ withdrawnAt }) => withdrawnAt !== null),
      descriptions: await descriptionsOfLot(db, lot.id),
      mostFiles: MOST_FILES,
    },
  })
}

/** Every picture made anew, or all that is wrong with them at once. */
async function makeAll(files: readonly Upload[], folder: string): Promise<Picture[]> {
  if (files.length === 0)
    throw new Unfit([{ field: 'photographs', sentence: 'Take a photograph or choose one, then keep it.' }])
  const { makeAnew } = await import('../store/picture.js') // only now: the library of pictures is large and slow to load
  const pictures: Picture[] = []
  const errors = []
  for (const [n, { name, path }] of files.entries()) {
    try {
      pictures.push(await makeAnew(path, `${folder}/${n}.jpg`))
    } catch (fault) {
      if (!(fault instanceof Refusal)) throw fault
      errors.push({ field: 'photographs', sentence: `The file ${sayFileName(name)} ${fault.message}` })
    }
  }
  if (errors.length === 0) return pictures
  const none = { field: 'photographs', sentence: 'None of these was kept: choose the others again.' }
  throw new Unfit(files.length === errors.length ? errors : [...errors, none])
}

export function photographs(app: FastifyInstance, config: Config): void {
  const folder = photographFolder(config.dataFolder)

  const refuseWithoutRoom = async (request: FastifyRequest, own: string) => {
    const { bavail, bsize } = await statfs(own)
    const room = sayNoRoom({
      freeBytes: bavail * bsize,
      comingBytes: Number(request.headers['content-length'] ?? 0),
      keptBytes: await keptBytes(app.db),
      mostBytes: config.photographsMostBytes,
    })
    if (room) throw new Refusal('not-now', room)
  }

  async function withFolder<T>(request: FastifyRequest, work: (limits: Limits) => Promise<T>): Promise<T> {
    const own = enterIncoming(folder)
    try {
      await refuseWithoutRoom(request, own)
      return await work({ folder: own, mostFiles: MOST_FILES, mostFileBytes: MOST_FILE_BYTES, field: 'photographs' })
    } finally {
      leaveIncoming(own)
    }
  }

  uploadPage(app, '/lots/:id/photographs', {
    show: showPhotographs,
    mayCome: request => refuseUnlessYes(app.db, idIn(request)),
    withFolder,
    make: async (_request, form, files, own) => {
      const shown = check(kept, form)
      return { shown, pictures: await makeAll(files, own) }
    },
    act: async (trx, request, _form, by, { shown, pictures }) => {
      const lotId = idIn(request)
      const count = await keepPhotographs(trx, by, { lotId, ...shown }, pictures, folder)
      const known = pictures.length - count
      const said = count === 1 ? 'The photograph is kept.' : `${count} photographs are kept.`
      return {
        to: `/lots/${lotId}/photographs`,
        said: known === 0 ? said : `${said} ${known} more had been kept before.`,
      }
    },
  })

  onPost(app, '/lots/:id/photographs/answer', {
    show: showPhotographs,
    act: async (trx, request, form, by) => {
      const { photographs: said, version } = check(answered, form)
      const name = await answerPhotographs(trx, by, idIn(request), version, said)
      return { to: `/lots/${idIn(request)}/photographs`, said: `${name} says of photographs: ${said}.` }
    },
  })

  onPost(app, '/lots/:id/descriptions', {
    show: showPhotographs,
    act: async (trx, request, form, by) => {
      const lotId = idIn(request)
      await describe(trx, by, { lotId, ...check(described, form).described })
      return { to: `/lots/${lotId}/photographs`, said: 'The description is kept.' }
    },
  })

  const photographAt = async (request: FastifyRequest) => {
    const photograph = await findPhotograph(app.db, idIn(request, 'photographId'))
    return found(photograph?.lotId === idIn(request) ? photograph : undefined, 'photograph of this lot')
  }

  formPage(app, '/lots/:id/photographs/:photographId/withdrawal', {
    show: async (request, reply, form, status) => {
      const photograph = await photographAt(request)
      return reply.page('photographs/withdraw', { title: 'Withdraw a photograph', form, status, data: { photograph } })
    },
    act: async (trx, request, form, by) => {
      const { why } = check(withdrawn, form)
      const { hash, lotId } = await withdrawPhotograph(trx, by, idIn(request, 'photographId'), why)
      const afterwards = () => takeAwayUnused(app.db, folder, [hash])
      return { to: `/lots/${lotId}/photographs`, said: 'The photograph is withdrawn and its file is gone.', afterwards }
    },
  })

  app.get('/photographs/:hash(^[0-9a-f]{64}).jpg', async (request, reply) => {
    const { hash } = request.params as { hash: string }
    const rows = await photographsOfHash(app.db, hash)
    if (rows.length === 0) throw new Refusal('not-found', 'There is no such photograph.')
    if (rows.every(({ withdrawnAt }) => withdrawnAt !== null))
      throw new Refusal('gone', 'This photograph was withdrawn, and its file is gone.')
    return sendPhotograph(request, reply, folder, hash)
  })
}

/** The picture as a picture and nothing else: no browser may take it for a page, whatever is in it. */
export async function sendPhotograph(request: FastifyRequest, reply: FastifyReply, folder: string, hash: string) {
  if (!isInPlace(folder, hash)) {
    throw new Refusal('not-found', 'The file of this photograph is missing. The newest backup may still have it.')
  }
  reply.headers({
    'content-security-policy': "default-src 'none'; sandbox",
    'x-content-type-options': 'nosniff',
    'content-disposition': `inline; filename="photograph-${hash.slice(0, 12)}.jpg"`,
    'cache-control': 'private, no-cache',
    etag: `"${hash}"`,
  })
  if (request.headers['if-none-match'] === `"${hash}"`) return reply.code(304).send()
  return reply.type('image/jpeg').send(await readFile(pathOf(folder, hash)))
}
