import type { FastifyInstance, FastifyReply, FastifyRequest } from 'fastify'
import { z } from 'zod'
import { isHere } from '../domain/place.js'
import { Refusal } from '../domain/refusal.js'
import { sayTagCode } from '../domain/tag-code.js'
import { pagesOf, payloadOf, qrFor, secondName, TAG_MEASURES, tagsOnSheet } from '../domain/tag-label.js'
import { findClient } from '../store/clients.js'
import { findCommission } from '../store/commissions.js'
import type { Db } from '../store/db.js'
import { findTagSheet, liveCodes, printTags, type TagToPrint, tagsOfCommission } from '../store/print-tags.js'
import { changeNameOnTag, findTagSettings, nameOnTag } from '../store/tag-settings.js'
import { choice } from './kit/fields.js'
import { check, type Form } from './kit/form.js'
import { formPage, found, idIn, onPost } from './kit/post.js'
import { qrDrawing } from './kit/qr-drawing.js'

/** A bundle that went back has no use for a tag. */
const toTag = async (db: Db, commissionId: number): Promise<TagToPrint[]> =>
  (await tagsOfCommission(db, commissionId)).filter(({ place }) => isHere(place))

const shown = (tag: TagToPrint) => ({
  ...tag,
  codeWords: sayTagCode(tag.code),
  secondName: secondName({ name: tag.clientName, mark: tag.clientMark, nameOnTag: tag.nameOnTag }, tag.commissionId),
})

/** The tags that stand on a commission's page. */
export const tagsShown = async (db: Db, commissionId: number) => (await toTag(db, commissionId)).map(shown)

/** The code of each bundle of a lot by its number there, as it is read aloud. */
export async function codesOfLot(db: Db, lotId: number): Promise<Record<number, string>> {
  const live = await liveCodes(db, lotId)
  return Object.fromEntries(live.map(({ n, code }) => [n, sayTagCode(code)]))
}

async function showTags(request: FastifyRequest, reply: FastifyReply, form: Form, status: number) {
  const { db } = request.server
  const commission = found(await findCommission(db, idIn(request)), 'commission')
  const tags = await tagsShown(db, commission.id)
  const settings = await findTagSettings(db)
  return reply.page('tags/commission', {
    title: `Tags of commission ${commission.id}`,
    form,
    status,
    data: { commission, tags, settings, onSheet: tagsOnSheet(settings.paper, settings.size) },
  })
}

const printForm = z.object({ do: choice('Which tags', ['new', 'all', 'some', 'by hand']) })

const TICK = /^bundles\.(\d+)$/

function chosen(form: Form, tags: readonly TagToPrint[]): TagToPrint[] {
  const which = check(printForm, form).do
  if (which === 'all') return [...tags]
  if (which !== 'some') return tags.filter(({ prints }) => prints === 0)
  const ticked = new Set([...form.typed.keys()].map(name => Number(TICK.exec(name)?.[1] ?? -1)))
  return tags.filter((_, at) => ticked.has(at))
}

async function showSheet(request: FastifyRequest, reply: FastifyReply, form: Form, status: number) {
  const { db } = request.server
  const sheet = found(await findTagSheet(db, idIn(request)), 'sheet of tags')
  const settings = await findTagSettings(db)
  const { moduleMm } = qrFor(settings)
  const tags = sheet.tags.map(tag => ({
    ...shown(tag),
    qr: qrDrawing(payloadOf(settings.address, tag.code), moduleMm, `Tag ${sayTagCode(tag.code)}`),
  }))
  return reply.page('tags/sheet', {
    title: `Tags, sheet ${sheet.sheet}`,
    form,
    status,
    data: {
      sheet: { ...sheet, tags },
      pages: pagesOf(tags, tagsOnSheet(settings.paper, settings.size)),
      settings: { ...settings, ...TAG_MEASURES[settings.size] },
    },
  })
}

async function showOnTags(request: FastifyRequest, reply: FastifyReply, form: Form, status: number) {
  const { db } = request.server
  const client = found(await findClient(db, idIn(request)), 'client')
  const shown = await nameOnTag(db, client.id)
  return reply.page('tags/on-tags', { title: client.name, form, status, data: { client, nameOnTag: shown } })
}

const nameForm = z.object({ onTags: choice('On tags', ['name', 'mark']) })

export function tags(app: FastifyInstance): void {
  formPage(app, '/commissions/:id/tags', {
    show: showTags,
    act: async (trx, request, form, by) => {
      const commissionId = found(await findCommission(trx, idIn(request)), 'commission').id
      const some = chosen(form, await toTag(trx, commissionId))
      const how = form.value('do') === 'by hand' ? 'by hand' : 'printed'
      const sheet = await printTags(trx, by, { commissionId, bundleIds: some.map(({ bundleId }) => bundleId), how })
      return how === 'by hand'
        ? { to: `/commissions/${commissionId}/tags`, said: 'Noted: these tags are written by hand.' }
        : { to: `/tag-sheets/${sheet}`, said: '' }
    },
  })
  formPage(app, '/tag-sheets/:id', {
    show: showSheet,
    act: async (trx, request, _form, by) => {
      const { tags } = found(await findTagSheet(trx, idIn(request)), 'sheet of tags')
      const [first] = tags
      if (!first) throw new Refusal('conflict', 'None of the tags on this sheet counts any more.')
      const bundleIds = tags.map(({ bundleId }) => bundleId)
      const sheet = await printTags(trx, by, { commissionId: first.commissionId, bundleIds, how: 'printed' })
      return { to: `/tag-sheets/${sheet}`, said: '' }
    },
  })
  onPost(app, '/clients/:id/on-tags', {
    show: showOnTags,
    act: async (trx, request, form, by) => {
      const client = found(await findClient(trx, idIn(request)), 'client')
      const { onTags } = check(nameForm, form)
      await changeNameOnTag(trx, by, client.id, onTags === 'name')
      return {
        to: `/clients/${client.id}`,
        said: onTags === 'name' ? 'Tags bear the name.' : 'Tags bear the mark only.',
      }
    },
  })
}
