import type { FastifyInstance, FastifyReply, FastifyRequest } from 'fastify'
import { z } from 'zod'
import { type Entry, type Figure, PROVENANCE_KINDS } from '../domain/catalogue.js'
import { figureAt, shownGroups } from '../domain/catalogue-entry.js'
import type { Group } from '../domain/catalogue-field.js'
import { GROUPS } from '../domain/catalogue-fields.js'
import { useOf } from '../domain/catalogue-uses.js'
import { askWhichMass } from '../domain/formula.js'
import { valueAt, withValue } from '../domain/json-path.js'
import { figureIn } from '../domain/read-entry.js'
import { readNumber } from '../domain/read-number.js'
import { Refusal } from '../domain/refusal.js'
import { type CatalogueRow, changeEntry, listEntries, withdraw } from '../store/catalogue.js'
import type { By, Db, Trx } from '../store/db.js'
import { entryIn, namesIn } from './catalogue.js'
import { askedFor, type Choices, filledIn } from './catalogue-asked.js'
import { typedInto } from './catalogue-typed.js'
import { choice, readBy, text, version } from './kit/fields.js'
import { check, Form } from './kit/form.js'
import { type Done, formPage, found } from './kit/post.js'

const why = text('Why it is changed', 500)
const whyAndVersion = z.object({ why, version })

const groupIn = (request: FastifyRequest, { kind }: Entry): Group =>
  found(
    GROUPS[kind].find(({ key }) => key === (request.params as { group: string }).group),
    'group of an entry',
  )

/** What a field may name: what can be chosen and suits, and what this entry names already. */
export async function choicesFor(db: Db, own: { id: string; entry: unknown } | null): Promise<Choices> {
  const rows = (await listEntries(db)).sort((one, other) => one.name.localeCompare(other.name, 'en'))
  const said = JSON.stringify(own?.entry ?? null)
  const open = rows.filter(row => row.withdrawnAt === null || said.includes(JSON.stringify(row.id)))
  const named = (suits: (row: CatalogueRow) => boolean) =>
    open.filter(suits).map(({ id, name }): [string, string] => [id, name])
  return {
    fibre: named(row => row.kind === 'fibre'),
    dye: named(row => row.kind === 'substance' && row.entry.dyeClass !== null),
    mordant: named(row => row.kind === 'substance' && row.entry.mordantDose !== null),
    substance: named(row => row.kind === 'substance' && row.id !== own?.id),
  }
}

async function showGroup(request: FastifyRequest, reply: FastifyReply, form: Form, status: number) {
  const { db } = request.server
  const row = await entryIn(db, request)
  const { key, title, fields } = groupIn(request, row)
  const choices = await choicesFor(db, row)
  const now = shownGroups(row, await namesIn(db)).find(group => group.key === key)
  const shown = form.typed.size + form.errors.length === 0 ? filledIn(fields, row.entry, choices) : form
  return reply.page('catalogue/edit', {
    title: `${row.name}: ${title.toLowerCase()}`,
    form: shown,
    status,
    data: {
      ...{ id: row.id, kind: row.kind, name: row.name, version: row.version },
      asked: askedFor(fields, shown, choices),
      now,
      provenanceKinds: PROVENANCE_KINDS,
    },
  })
}

async function changeGroup(trx: Trx, request: FastifyRequest, form: Form, by: By): Promise<Done> {
  const row = await entryIn(trx, request)
  const { fields } = groupIn(request, row)
  const json = typedInto(row.entry, fields, form, await choicesFor(trx, row), whyAndVersion)
  const told = check(whyAndVersion, form)
  askWhenAtOdds(row, json, form)
  return change(trx, by, row.id, json, told)
}

const BOTH_STAND = 'bothStand'

/** Asks once, when the formula or the molar mass is changed and they do not agree; why both stand is said anyway. */
function askWhenAtOdds({ entry }: CatalogueRow, json: unknown, form: Form): void {
  const [formula, mass] = [valueAt(json, 'formula'), figureIn(valueAt(json, 'molarMassGPerMol'))]
  const before = [valueAt(entry, 'formula'), figureIn(valueAt(entry, 'molarMassGPerMol'))?.value]
  if (typeof formula !== 'string' || mass === null || form.value(BOTH_STAND) !== '') return
  if (formula === before[0] && mass.value === before[1]) return
  const question = askWhichMass(formula, mass.value)
  if (question !== null) throw new Refusal('wrong', question, BOTH_STAND)
}

async function change(trx: Trx, by: By, id: string, json: unknown, told: { version: number; why: string }) {
  const { name, changed } = await changeEntry(trx, by, id, told.version, json, told.why)
  const said = changed
    ? `${name} is changed. Recipes from now on go by it.`
    : 'Nothing was different, so nothing was changed.'
  return { to: `/catalogue/${id}`, said }
}

const pathIn = (request: FastifyRequest): string => Form.read(request.query).value('figure')

async function showFigure(request: FastifyRequest, reply: FastifyReply, form: Form, status: number) {
  const { db } = request.server
  const row = await entryIn(db, request)
  const names = await namesIn(db)
  const figure = found(figureAt(row, pathIn(request), names), 'figure')
  return reply.page('catalogue/figure', {
    title: `${row.name}: ${figure.label}`,
    form,
    status,
    data: {
      ...{ id: row.id, kind: row.kind, name: row.name, version: row.version },
      figure: { ...figure, usedFor: useOf(row, figure.path, names).words },
      provenanceKinds: PROVENANCE_KINDS,
    },
  })
}

async function changeFigure(trx: Trx, request: FastifyRequest, form: Form, by: By): Promise<Done> {
  const row = await entryIn(trx, request)
  const { path, ...asked } = found(figureAt(row, pathIn(request)), 'figure')
  const { figure, ...told } = typedFigure(asked, form)
  const json = withValue(row.entry, path, figure)
  askWhenAtOdds(row, json, form)
  return change(trx, by, row.id, json, told)
}

/** A figure with where it comes from, or "not known" in its place. */
function typedFigure(
  asked: { label: string; unit: string; least: number; most: number; figure: Figure | null },
  form: Form,
): { figure: Figure | null; why: string; version: number } {
  if (form.value('notKnown') !== '') return { figure: null, ...check(whyAndVersion, form) }
  const { label, unit, least: min, most: max } = asked
  const example = String(asked.figure?.value ?? min)
  const known = z.object({
    value: readBy(typed => readNumber(typed, { label, unit, example, min, max })),
    kind: choice('Where it comes from', PROVENANCE_KINDS),
    source: text('Source', 300),
    why,
    version,
  })
  const { value, kind, source, ...told } = check(known, form)
  return { figure: { value, provenance: { kind, source } }, ...told }
}

async function showWithdrawal(request: FastifyRequest, reply: FastifyReply, form: Form, status: number) {
  const { id, name, version, withdrawnAt } = await entryIn(request.server.db, request)
  const title = `${name}: ${withdrawnAt ? 'bring back' : 'withdraw'}`
  return reply.page('catalogue/withdrawal', { title, form, status, data: { id, name, version, withdrawnAt } })
}

async function withdrawOrBringBack(trx: Trx, request: FastifyRequest, form: Form, by: By): Promise<Done> {
  const { id, name, withdrawnAt } = await entryIn(trx, request)
  const told = check(whyAndVersion, form)
  const out = withdrawnAt === null
  await withdraw(trx, by, id, told.version, out, told.why)
  return { to: `/catalogue/${id}`, said: out ? `${name} is withdrawn.` : `${name} is back.` }
}

export function catalogueEdit(app: FastifyInstance): void {
  formPage(app, '/catalogue/:id/edit', { show: showFigure, act: changeFigure })
  formPage(app, '/catalogue/:id/edit/:group', { show: showGroup, act: changeGroup })
  formPage(app, '/catalogue/:id/withdrawal', { show: showWithdrawal, act: withdrawOrBringBack })
}
