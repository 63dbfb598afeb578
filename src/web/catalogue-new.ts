import type { FastifyInstance, FastifyReply, FastifyRequest } from 'fastify'
import { z } from 'zod'
import { type Entry, type EntryKind, PROVENANCE_KINDS } from '../domain/catalogue.js'
import { blankEntry, copyOf, slugOf } from '../domain/catalogue-entry.js'
import type { Field } from '../domain/catalogue-field.js'
import { GROUPS } from '../domain/catalogue-fields.js'
import { valueAt, withValue } from '../domain/json-path.js'
import { Refusal } from '../domain/refusal.js'
import { addEntry, type CatalogueRow, findEntry, freeId, listEntries } from '../store/catalogue.js'
import type { By, Db, Trx } from '../store/db.js'
import { askedFor, filledIn } from './catalogue-asked.js'
import { choicesFor } from './catalogue-edit.js'
import { typedInto } from './catalogue-typed.js'
import { choice } from './kit/fields.js'
import { Form } from './kit/form.js'
import { type Done, formPage, found } from './kit/post.js'

const KINDS: readonly EntryKind[] = ['fibre', 'substance', 'rule']
const TITLES: Record<EntryKind, string> = {
  fibre: 'A fibre of your own',
  substance: 'A dyestuff, mordant or assistant of your own',
  rule: 'A rule of your own',
}

const kindIn = (request: FastifyRequest): EntryKind =>
  found(
    KINDS.find(kind => kind === (request.params as { kind: string }).kind),
    'kind of entry',
  )

/** What the new entry is made after, when it is. */
async function likeIn(db: Db, request: FastifyRequest, kind?: EntryKind): Promise<CatalogueRow | undefined> {
  const from = Form.read(request.query).value('from')
  if (from === '') return undefined
  const like = found(await findEntry(db, from), 'entry in the catalogue')
  return found(kind === undefined || like.kind === kind ? like : undefined, 'entry of this kind')
}

/** What is asked of a new entry: what it is, and of a rule also when it speaks. The rest is asked on its pages. */
const fieldsOf = (kind: EntryKind): Field[] =>
  GROUPS[kind]
    .filter(({ key }) => kind === 'rule' || key === 'words')
    .flatMap(({ fields, whenNew }) => [...fields, ...whenNew])

async function choose(request: FastifyRequest, reply: FastifyReply) {
  const { db } = request.server
  const like = await likeIn(db, request)
  if (like) return reply.redirect(`/catalogue/new/${like.kind}?from=${like.id}`, 302)
  const open = (await listEntries(db)).filter(({ withdrawnAt }) => withdrawnAt === null)
  const entries = open.map(({ id, kind, name }) => ({ id, kind, name }))
  return reply.page('catalogue/new', { title: 'Something of your own', data: { titles: TITLES, entries } })
}

async function showNew(request: FastifyRequest, reply: FastifyReply, form: Form, status: number) {
  const { db } = request.server
  const kind = kindIn(request)
  const like = await likeIn(db, request, kind)
  const fields = fieldsOf(kind)
  const choices = await choicesFor(db, like ?? null)
  const start = withValue(like?.entry ?? blankEntry(kind, 'new'), 'name', '')
  const shown = form.typed.size + form.errors.length === 0 ? filledIn(fields, start, choices) : form
  return reply.page('catalogue/new-entry', {
    title: TITLES[kind],
    form: shown,
    status,
    data: {
      kind,
      like: like ? { id: like.id, name: like.name } : null,
      asked: askedFor(fields, shown, choices),
      provenanceKinds: PROVENANCE_KINDS,
    },
  })
}

const takenOver = z.object({ figures: choice('Its figures', ['taken over', 'not known']) })

async function add(trx: Trx, request: FastifyRequest, form: Form, by: By): Promise<Done> {
  const kind = kindIn(request)
  const like = await likeIn(trx, request, kind)
  const asksFigures = like !== undefined && kind !== 'rule'
  const besides = asksFigures ? takenOver : z.object({})
  const id = await freeId(trx, slugOf(form.value('name').slice(0, 200)) || `own-${kind}`)
  const figures = form.value('figures')
  const start = like ? copyOf(like, id, figures === 'taken over').entry : blankEntry(kind, id)
  const json = typedInto(start, fieldsOf(kind), form, await choicesFor(trx, like ?? null), besides)
  if (asksFigures) refuseOtherUnit(like, json, figures)
  const name = await addEntry(trx, by, kind, usable(json), whyOf(like, figures))
  return { to: `/catalogue/${id}`, said: `${name} is in the catalogue. Look through its figures.` }
}

const whyOf = (like: Entry | undefined, figures: string): string =>
  like === undefined
    ? 'made anew, nothing known yet'
    : `made after ${like.entry.name}${like.kind === 'rule' ? '' : `, figures ${figures}`}`

/** Grams taken over as millilitres would be another figure. */
function refuseOtherUnit(like: CatalogueRow, json: unknown, figures: string): void {
  if (like.kind !== 'substance' || figures === 'not known' || valueAt(json, 'unit') === like.entry.unit) return
  const sentence = `The figures of ${like.name} are in ${like.entry.unit}: measure this one so too, or leave its figures not known.`
  throw new Refusal('wrong', sentence, 'unit')
}

/** A mordant of which nothing is known can be chosen all the same: how much is then typed in the recipe. */
const usable = (json: unknown): unknown =>
  valueAt(json, 'kind') === 'mordant' && valueAt(json, 'mordantDose') === null
    ? withValue(json, 'mordantDose', { basis: '% owf', amount: null })
    : json

export function catalogueNew(app: FastifyInstance): void {
  app.get('/catalogue/new', choose)
  formPage(app, '/catalogue/new/:kind', { show: showNew, act: add })
}
