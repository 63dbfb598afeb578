import './site.js'
import './changes.js'
import type { FastifyInstance, FastifyReply, FastifyRequest } from 'fastify'
import { Refusal } from '../../domain/refusal.js'
import type { By, Trx } from '../../store/db.js'
import { AlreadyDone, pressOnce } from '../../store/press.js'
import { STATUS } from './errors.js'
import { key } from './fields.js'
import { Form, Unfit } from './form.js'
import { isByScript, type Undo } from './page.js'
import { noteIfWrongTag } from './wrong-tag.js'

/** Where a carried-out form leads, and what the next page says. */
export type Done = {
  to: string
  said: string
  /** A press at the pot, which the message offers to undo. */
  undo?: Undo
  /** What can be done only once the work is kept, such as taking a file away. */
  afterwards?: () => Promise<unknown>
}

export type Post = {
  /** Shows the form's page: at first with an empty form, and again with what was typed and what is wrong. */
  show: (request: FastifyRequest, reply: FastifyReply, form: Form, status: number) => Promise<FastifyReply>
  /** Does the work inside the one transaction that also spends the form's one-time key. */
  act: (trx: Trx, request: FastifyRequest, form: Form, by: By) => Promise<Done>
}

export const byOf = (request: FastifyRequest): By => ({
  workerId: request.worker.id,
  at: request.server.now().toISOString(),
})

/** The errors of a refusal, as the form's page lists them; undefined for a fault, which is not the typist's. */
export function troubleOf(fault: unknown, form: Form): { form: Form; status: number } | undefined {
  if (fault instanceof Unfit) return { form: form.with(fault.errors), status: 422 }
  if (!(fault instanceof Refusal) || fault.code === 'not-found') return undefined
  const doneAt = fault instanceof AlreadyDone ? fault.location : undefined
  return {
    form: form.with([{ field: fault.field ?? '', sentence: fault.message }], doneAt),
    status: STATUS[fault.code],
  }
}

/** What was sent: the form, and what tells its files from others; the same key with other files is another form. */
export type Sent = { form: Form; files: string }

export function keyOf(form: Form): string {
  const read = key.safeParse(form.value('key'))
  if (read.success) return read.data
  throw new Unfit([{ field: '', sentence: read.error.issues[0]?.message ?? '' }])
}

/** Carries out a form that was sent: done once and redirected, or shown again with everything that was typed. */
export async function carryOut(
  request: FastifyRequest,
  reply: FastifyReply,
  { show, act }: Post,
  { form, files }: Sent = { form: Form.read(request.body), files: '' },
) {
  try {
    let done: Done | undefined
    const press = {
      key: keyOf(form),
      body: `${request.url}\n${JSON.stringify([...form.typed])}${files}`,
      at: byOf(request).at,
    }
    const to = await pressOnce(request.server.db, press, async trx => {
      done = await act(trx, request, form, byOf(request))
      return done.to
    })
    request.server.changes.tell()
    await done?.afterwards?.()
    return answerDone(request, reply, to, done)
  } catch (fault) {
    await noteIfWrongTag(request, fault)
    const trouble = troubleOf(fault, form)
    if (!trouble) throw fault
    return show(request, reply, trouble.form, trouble.status)
  }
}

/** Leads to what was done: a browser by itself; a script that sent a kept press is told where. */
function answerDone(request: FastifyRequest, reply: FastifyReply, to: string, done: Done | undefined): FastifyReply {
  const byScript = isByScript(request)
  if (done) reply.say(done.said, done.undo)
  // A kept press comes again when no answer reached it: nobody pressed twice, and its own words may stand there still.
  else if (!byScript) reply.say('This was already done. Here it is.')
  return byScript ? reply.code(204).header('location', to).send() : reply.redirect(to, 303)
}

/** One form, one POST address. */
export function onPost(app: FastifyInstance, url: string, post: Post): void {
  app.post(url, (request, reply) => carryOut(request, reply, post))
}

/** A page with a form on it: GET shows it, POST carries it out. */
export function formPage(app: FastifyInstance, url: string, post: Post): void {
  app.get(url, (request, reply) => post.show(request, reply, new Form(), 200))
  onPost(app, url, post)
}

/** A number from the address; anything else is simply not there. */
export function idIn(request: FastifyRequest, name = 'id'): number {
  const typed = (request.params as Record<string, string>)[name] ?? ''
  if (!/^\d{1,15}$/.test(typed)) throw new Refusal('not-found', 'There is nothing at this address.')
  return Number(typed)
}

/** What was looked up, or the page that says that there is no such thing. */
export function found<T>(record: T | undefined, what: string): T {
  if (record === undefined) throw new Refusal('not-found', `There is no such ${what}.`)
  return record
}
