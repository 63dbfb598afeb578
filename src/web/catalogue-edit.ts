import type { FastifyInstance, FastifyReply, FastifyRequest } from 'fastify'
import { z } from 'zod'
import { type Figure, PROVENANCE_KINDS, SEVERITIES } from '../domain/catalogue.js'
import { copyOf, correctFigure, fieldOf, slugOf } from '../domain/catalogue-entry.js'
import { readNumber } from '../domain/read-number.js'
import { Refusal } from '../domain/refusal.js'
import {
  addEntry,
  type CatalogueRow,
  changeEntry,
  findEntry,
  freeId,
  listEntries,
  withdraw,
} from '../store/catalogue.js'
import type { By, Trx } from '../store/db.js'
import { entryIn } from './catalogue.js'
import { choice, optionalText, readBy, text, version } from './kit/fields.js'
import { check, Form, Unfit } from './kit/form.js'
import { type Done, formPage, found } from './kit/post.js'

const why = text('Why it is changed', 500)
const pathIn = (request: FastifyRequest): string => Form.read(request.query).value('figure')

async function showEdit(request: FastifyRequest, reply: FastifyReply, form: Form, status: number) {
  const row = await entryIn(request.server.db, request)
  const path = pathIn(request)
  const shared = { id: row.id, kind: row.kind, name: row.name, version: row.version }
  if (path === '') {
    const data = { ...shared, entry: row.entry, provenanceKinds: PROVENANCE_KINDS, severities: SEVERITIES }
    return reply.page('catalogue/edit', { title: `${row.name}: change its words`, form, status, data })
  }
  const figure = found(fieldOf(row, path), 'figure')
  return reply.page('catalogue/figure', {
    title: `${row.name}: ${figure.label}`,
    form,
    status,
    data: { ...shared, figure, provenanceKinds: PROVENANCE_KINDS },
  })
}

async function edit(trx: Trx, request: FastifyRequest, form: Form, by: By): Promise<Done> {
  const row = await entryIn(trx, request)
  const path = pathIn(request)
  const { entry, ...told } = path === '' ? changedWords(row, form) : changedFigure(row, path, form)
  if (JSON.stringify(entry) === JSON.stringify(row.entry))
    return { to: `/catalogue/${row.id}`, said: 'Nothing was different, so nothing was changed.' }
  await changeEntry(trx, by, row.id, told.version, entry, told.why)
  return { to: `/catalogue/${row.id}`, said: `${entry.name} is changed. Recipes from now on go by it.` }
}

/** A figure with where it comes from, or "not known" in its place. */
function changedFigure(row: CatalogueRow, path: string, form: Form) {
  const { label, unit, least, most, figure } = found(fieldOf(row, path), 'figure')
  const example = String(figure?.value ?? least)
  const known = z.object({
    value: readBy(typed => readNumber(typed, { label, unit, example, min: least, max: most })),
    kind: choice('Where it comes from', PROVENANCE_KINDS),
    source: text('Source', 300),
    why,
    version,
  })
  if (form.value('notKnown') !== '') {
    const told = check(z.object({ why, version }), form)
    return { ...told, entry: correctFigure(row, path, null) }
  }
  const { value, kind, source, ...told } = check(known, form)
  const corrected: Figure = { value, provenance: { kind, source } }
  return { ...told, entry: correctFigure(row, path, corrected) }
}

const name = text('Name', 80)
const latin = optionalText('Latin name', 120).transform(typed => (typed === '' ? null : typed))
const words = text('What to know', 1000)
const wordsForm = {
  fibre: z.object({ name, latin, words, why, version }),
  substance: z.object({ name, latin, words, care: optionalText('Usual care', 2000), why, version }),
  rule: z.object({
    name,
    words,
    severity: choice('How bad', SEVERITIES),
    kind: choice('Where it comes from', PROVENANCE_KINDS),
    source: text('Source', 300),
    why,
    version,
  }),
}

function changedWords(row: CatalogueRow, form: Form) {
  if (row.kind === 'fibre') {
    const { why, version, ...told } = check(wordsForm.fibre, form)
    return { why, version, entry: { ...row.entry, ...told } }
  }
  if (row.kind === 'substance') {
    const { why, version, care, ...told } = check(wordsForm.substance, form)
    const sentences = care.split('\n').map(line => line.trim())
    return { why, version, entry: { ...row.entry, ...told, care: sentences.filter(line => line !== '') } }
  }
  const { why, version, kind, source, ...told } = check(wordsForm.rule, form)
  return { why, version, entry: { ...row.entry, ...told, provenance: { kind, source } } }
}

const newForm = z.object({
  from: text('What it is like', 80),
  name,
  latin,
  words,
  figures: choice('Its figures', ['taken over', 'not known']),
})

async function showNew(request: FastifyRequest, reply: FastifyReply, form: Form, status: number) {
  const entries = await listEntries(request.server.db)
  const copied = entries.filter(({ kind, withdrawnAt }) => kind !== 'rule' && withdrawnAt === null)
  return reply.page('catalogue/new', {
    title: 'A fibre or dyestuff of your own',
    form,
    status,
    data: {
      from: Form.read(request.query).value('from').slice(0, 80),
      copied: copied.map(({ id, kind, name }) => ({ id, kind, name })),
    },
  })
}

async function add(trx: Trx, form: Form, by: By): Promise<Done> {
  const { from, figures, ...told } = check(newForm, form)
  const row = await findEntry(trx, from)
  if (row === undefined || row.kind === 'rule')
    throw new Unfit([{ field: 'from', sentence: 'Choose the fibre or dyestuff that it is like.' }])
  if ((await listEntries(trx)).some(one => one.name.toLowerCase() === told.name.toLowerCase()))
    throw new Refusal('wrong', `The catalogue already has “${told.name}”: give this one a name of its own.`, 'name')
  const id = await freeId(trx, slugOf(told.name) || `own-${row.kind}`)
  const entry = copyOf(row, { id, ...told }, figures === 'taken over')
  await addEntry(trx, by, row.kind, entry, `made after ${row.name}, figures ${figures}`)
  return { to: `/catalogue/${id}`, said: `${told.name} is in the catalogue. Look through its figures.` }
}

async function showWithdrawal(request: FastifyRequest, reply: FastifyReply, form: Form, status: number) {
  const { id, name, version, withdrawnAt } = await entryIn(request.server.db, request)
  const title = `${name}: ${withdrawnAt ? 'bring back' : 'withdraw'}`
  return reply.page('catalogue/withdrawal', { title, form, status, data: { id, name, version, withdrawnAt } })
}

export function catalogueEdit(app: FastifyInstance): void {
  formPage(app, '/catalogue/new', { show: showNew, act: (trx, _request, form, by) => add(trx, form, by) })
  formPage(app, '/catalogue/:id/edit', { show: showEdit, act: edit })
  formPage(app, '/catalogue/:id/withdrawal', {
    show: showWithdrawal,
    act: async (trx, request, form, by) => {
      const { id, name, withdrawnAt } = await entryIn(trx, request)
      const told = check(z.object({ why, version }), form)
      const out = withdrawnAt === null
      await withdraw(trx, by, id, told.version, out, told.why)
      return { to: `/catalogue/${id}`, said: out ? `${name} is withdrawn.` : `${name} is back.` }
    },
  })
}
