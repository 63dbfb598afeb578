import './site.js'
import { randomUUID } from 'node:crypto'
import { join } from 'node:path'
import view from '@fastify/view'
import { Eta } from 'eta'
import type { FastifyInstance, FastifyReply, FastifyRequest } from 'fastify'
import { projectRoot } from '../../root.js'
import { findWorkshop, type Workshop } from '../../store/workshop.js'
import { bundleDrawing } from './bundle-drawing.js'
import type { Config } from './config.js'
import { Form } from './form.js'
import { type Say, sayFor } from './say.js'
import { asset } from './static.js'

export type Page = {
  title: string
  /** The records that the page shows: SI units, ISO times. The same goes out as JSON. */
  data: Record<string, unknown>
  form?: Form
  status?: number
  /** Shows work that goes on: it is looked at again whenever something is written down anywhere. */
  live?: boolean
}

declare module 'fastify' {
  interface FastifyReply {
    page(view: string, page: Page): Promise<FastifyReply>
    /** A sentence for the next page this browser opens, with what it offers to undo. */
    say(sentence: string, undo?: Undo): void
  }
  interface FastifyRequest {
    workshop: Workshop & { version: number }
  }
}

/** Prints a value, or stops: an `undefined` or `NaN` on a recipe is a ruined lot, so it is a fault of the program. */
function printable(value: unknown): unknown {
  if (value === undefined || value === null || Number.isNaN(value)) throw new Error(`a template printed ${value}`)
  return value
}

const SAID = 'said'
const UNDO = 'undo'
/** Asked for by a script of an open page, which leaves what was said to the page that is opened next. */
export const isByScript = ({ headers }: FastifyRequest): boolean => headers['x-by-script'] !== undefined

/** The load on which something was pressed, and its version since. */
export type Undo = { loadId: number; version: number }

function undoIn(cookie: string | undefined): Undo | null {
  const [, loadId = '', version = ''] = /^(\d{1,15})-(\d{1,9})$/.exec(cookie ?? '') ?? []
  return loadId === '' ? null : { loadId: Number(loadId), version: Number(version) }
}

/** Asked for by a script: JSON, and not a browser that would take anything. */
export const wantsJson = (request: FastifyRequest): boolean => {
  const accept = request.headers.accept ?? ''
  return accept.includes('application/json') && !accept.includes('text/html')
}

const unitsBeforeSetUp: Workshop & { version: number } = {
  name: 'Tie for Tie',
  weightUnit: 'metric',
  volumeUnit: 'metric',
  timeZone: 'UTC',
  dryBasis: 'conditioned',
  scaleStepG: 1,
  slipPaper: 'A5',
  slipWords: '',
  version: 0,
}

export type TemplateData = {
  title: string
  data: Record<string, unknown>
  form: Form
  key: string
  here: string
  who: string
  workshop: Workshop
  said: string
  undo: Undo | null
  plainHttp: boolean
  live: boolean
  /** How far the records had come when this page was asked for. */
  asOf: string
  say: Say
  asset: typeof asset
  drawing: typeof bundleDrawing
}

export function templates(): Eta {
  const eta = new Eta({
    views: join(projectRoot, 'views'),
    cache: true,
    autoFilter: true,
    filterFunction: value => printable(value) as string,
  })
  // Where a template's file lies is worked out once for each name: for each include, it cost as much as filling it in.
  const find = eta.resolvePath
  const files = new Map<string, string>()
  eta.resolvePath = function (name, options) {
    const file = files.get(name) ?? find.call(this, name, options)
    if (name.startsWith('/')) files.set(name, file)
    return file
  }
  return eta
}

export function pages(app: FastifyInstance, config: Config): void {
  const eta = templates()
  app.register(view, { engine: { eta }, root: join(projectRoot, 'views'), viewExt: 'eta', production: true })

  const briefly = {
    path: '/',
    httpOnly: true,
    sameSite: 'lax',
    maxAge: 60,
    secure: config.transport === 'proxy',
  } as const
  app.decorateReply('say', function (this: FastifyReply, sentence: string, undo?: Undo) {
    this.setCookie(SAID, sentence, briefly)
    if (undo) this.setCookie(UNDO, `${undo.loadId}-${undo.version}`, briefly)
    else if (this.request.cookies?.[UNDO]) this.clearCookie(UNDO, { path: '/' })
  })

  app.decorateRequest('workshop')
  app.addHook('preHandler', async request => {
    request.workshop = (await findWorkshop(app.db)) ?? unitsBeforeSetUp
  })

  app.decorateReply('page', async function (this: FastifyReply, name: string, page: Page) {
    const { request } = this
    this.code(page.status ?? 200)
    const form = page.form ?? new Form()
    if (wantsJson(request)) {
      const trouble = form.errors.length > 0 ? { errors: form.errors } : {}
      return this.type('application/json; charset=utf-8').send(JSON.stringify({ ...page.data, ...trouble }))
    }
    const said = isByScript(request) ? '' : (request.cookies?.[SAID] ?? '')
    const undo = said === '' ? null : undoIn(request.cookies?.[UNDO])
    if (said) this.clearCookie(SAID, { path: '/' })
    if (undo) this.clearCookie(UNDO, { path: '/' })
    const workshop = request.workshop ?? unitsBeforeSetUp
    const it: TemplateData = {
      title: page.title,
      data: page.data,
      form,
      key: form.value('key') || randomUUID(),
      here: request.url,
      who: request.worker?.name ?? '',
      workshop,
      said,
      undo,
      plainHttp: config.transport === 'plain',
      live: page.live ?? false,
      asOf: request.asOf,
      say: sayFor(workshop, app.now().toISOString()),
      asset,
      drawing: bundleDrawing,
    }
    return this.type('text/html; charset=utf-8').view(name, it)
  })
}
