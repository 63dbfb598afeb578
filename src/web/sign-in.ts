import { randomBytes, timingSafeEqual } from 'node:crypto'
import type { FastifyInstance, FastifyReply, FastifyRequest } from 'fastify'
import { z } from 'zod'
import { PAPERS } from '../domain/paper.js'
import { inOneStep } from '../store/db.js'
import {
  addWorker,
  beginSession,
  changePassphrase,
  endAllSessions,
  endSession,
  hashPassphrase,
  isSetUp,
  LONGEST_DAYS,
  workerByPassphrase,
} from '../store/sign-in.js'
import { addWorkshop } from '../store/workshop.js'
import type { Config } from './kit/config.js'
import { choice, text } from './kit/fields.js'
import { check, type FieldError, Form, Unfit } from './kit/form.js'
import { cookieName } from './kit/guard.js'
import { passphraseTrouble } from './kit/passphrase.js'
import { SlowDown } from './kit/slow-down.js'
import { timeZone, VOLUME_UNITS, WEIGHT_UNITS } from './settings.js'

/** A code for the set-up page, 128 random bits in groups that can be typed: shown on the server's console only. */
export const newSetUpCode = (): string =>
  randomBytes(16)
    .toString('hex')
    .replace(/(.{8})(?=.)/g, '$1-')

const sameCode = (typed: string, code: string): boolean => {
  const [a, b] = [typed, code].map(words => Buffer.from(words.toLowerCase().replace(/[^0-9a-f]/g, '')))
  return a !== undefined && b !== undefined && a.length === b.length && timingSafeEqual(a, b)
}

/** Only our own paths: "//elsewhere" and "/\elsewhere" are other hosts to a browser. */
const ownPath = (typed: string): string => (/^\/(?![/\\])[^\s\\]*$/.test(typed) ? typed : '/')

const passphrase = z
  .string()
  .catch('')
  .transform((typed, context) => {
    const trouble = passphraseTrouble(typed)
    if (trouble === '') return typed
    context.issues.push({ code: 'custom', message: trouble, input: '' })
    return z.NEVER
  })

const setUpForm = z.object({
  name: text('Your name'),
  workshopName: text('Name of the workshop'),
  weightUnit: choice('Weights', WEIGHT_UNITS),
  volumeUnit: choice('Volumes', VOLUME_UNITS),
  slipPaper: choice('Paper for slips', PAPERS),
  timeZone,
  passphrase,
})

const WRONG_CODE = {
  field: 'code',
  sentence: 'That is not the set-up code. It stands on the console where the program was started.',
}

/** Says at once what is wrong with the code and with everything else. */
function refuseWith(errors: FieldError[], form: Form): void {
  const rest = setUpForm.safeParse(form.nested()).error?.issues ?? []
  const all = [...errors, ...rest.map(({ path, message }) => ({ field: path.join('.'), sentence: message }))]
  if (all.length > 0) throw new Unfit(all)
}

export function signIn(app: FastifyInstance, config: Config): void {
  const slowDown = new SlowDown()
  const now = () => app.now().toISOString()

  const letIn = async (reply: FastifyReply, workerId: number): Promise<void> => {
    const token = await beginSession(app.db, workerId, now())
    reply.setCookie(cookieName(config.transport), token, {
      path: '/',
      httpOnly: true,
      sameSite: 'lax',
      secure: config.transport === 'proxy',
      maxAge: LONGEST_DAYS * 86_400,
    })
  }

  const showSetUp = async (_request: FastifyRequest, reply: FastifyReply, form: Form, status: number) => {
    if (await isSetUp(app.db)) return reply.redirect('/sign-in', 303)
    return reply.page('sign-in/set-up', { title: 'Set up the workshop', form, status, data: {} })
  }

  app.get('/set-up', { config: { open: true } }, (request, reply) => showSetUp(request, reply, new Form(), 200))

  app.post('/set-up', { config: { open: true } }, async (request, reply) => {
    const form = Form.read(request.body)
    try {
      if (await isSetUp(app.db)) return reply.redirect('/sign-in', 303)
      const wait = slowDown.waitMs(app.now().getTime())
      if (wait > 0)
        throw new Unfit([
          { field: 'code', sentence: `Too many tries. Wait ${Math.ceil(wait / 1000)} seconds, then try again.` },
        ])
      const isRight = app.setUpCode !== undefined && sameCode(form.value('code'), app.setUpCode)
      if (!isRight) slowDown.failed(app.now().getTime())
      refuseWith(isRight ? [] : [WRONG_CODE], form)
      const { name, workshopName, passphrase, ...units } = check(setUpForm, form)
      const hash = await hashPassphrase(passphrase)
      const workerId = await inOneStep(app.db, async trx => {
        if (await isSetUp(trx))
          throw new Unfit([{ field: 'code', sentence: 'The workshop has just been set up elsewhere.' }])
        await addWorkshop(trx, { ...units, name: workshopName, dryBasis: 'conditioned', scaleStepG: 1, slipWords: '' })
        return addWorker(trx, name, hash, now())
      })
      app.setUpCode = undefined
      await letIn(reply, workerId)
      reply.say('The workshop is set up. Add your pots first, then take in a client’s bundles.')
      return reply.redirect('/pots/new', 303)
    } catch (fault) {
      if (fault instanceof Unfit) return showSetUp(request, reply, form.with(fault.errors), 422)
      throw fault
    }
  })

  app.get('/sign-in', { config: { open: true } }, async (request, reply) => {
    if (!(await isSetUp(app.db))) return reply.redirect('/set-up', 303)
    const next = ownPath(Form.read(request.query).value('next', '/'))
    return reply.page('sign-in/sign-in', { title: 'Sign in', data: { next, held: '', wait: 0 } })
  })

  app.post('/sign-in', { config: { open: true } }, async (request, reply) => {
    const form = Form.read(request.body)
    const [next, held] = [ownPath(form.value('next', '/')), form.value('held')]
    const again = (sentence: string, status: number, wait: number) =>
      reply.page('sign-in/sign-in', {
        title: 'Sign in',
        status,
        form: form.with([{ field: 'passphrase', sentence }]),
        data: { next, held, wait },
      })
    const wait = slowDown.waitMs(app.now().getTime())
    if (wait > 0) {
      const seconds = Math.ceil(wait / 1000)
      reply.header('retry-after', String(seconds))
      return again(`Too many tries. Wait ${seconds} seconds, then try again.`, 429, seconds)
    }
    const worker = await slowDown.oneByOne(() => workerByPassphrase(app.db, form.value('passphrase')))
    if (!worker) {
      slowDown.failed(app.now().getTime())
      return again('That is not the passphrase. Try again; capitals and spaces count.', 422, 0)
    }
    slowDown.succeeded()
    await letIn(reply, worker.id)
    const kept = readHeld(held)
    if (!kept) return reply.redirect(next, 303)
    return reply.page('sign-in/held', { title: 'What you typed is still here', data: kept })
  })

  app.post('/sign-out', async (request, reply) => {
    const token = request.cookies[cookieName(config.transport)]
    if (Form.read(request.body).has('everywhere')) await endAllSessions(app.db, request.worker.id)
    else if (token) await endSession(app.db, token)
    app.changes.look()
    reply.clearCookie(cookieName(config.transport), { path: '/', secure: config.transport === 'proxy' })
    reply.header('clear-site-data', '"cache"')
    return reply.redirect('/sign-in', 303)
  })

  const showPassphrase = (_request: FastifyRequest, reply: FastifyReply, form: Form, status: number) =>
    reply.page('settings/passphrase', { title: 'Change the passphrase', form, status, data: {} })

  app.get('/settings/passphrase', (request, reply) => showPassphrase(request, reply, new Form(), 200))
  app.post('/settings/passphrase', async (request, reply) => {
    const form = Form.read(request.body)
    try {
      const { next } = check(z.object({ next: passphrase }), form)
      const worker = await slowDown.oneByOne(() => workerByPassphrase(app.db, form.value('now')))
      if (worker?.id !== request.worker.id) {
        throw new Unfit([{ field: 'now', sentence: 'That is not the passphrase in use now.' }])
      }
      await changePassphrase(app.db, worker.id, await hashPassphrase(next))
      app.changes.look()
      await letIn(reply, worker.id)
      reply.say('The passphrase is changed; every other device has to sign in again.')
      return reply.redirect('/settings', 303)
    } catch (fault) {
      if (fault instanceof Unfit) return showPassphrase(request, reply, form.with(fault.errors), 422)
      throw fault
    }
  })
}

/** What was typed before the sign-in had run out, as the sign-in page carried it; undefined when it is not ours. */
function readHeld(held: string): { to: string; typed: [string, string][] } | undefined {
  if (held === '') return undefined
  try {
    const { to, typed } = z.object({ to: z.string(), typed: z.record(z.string(), z.string()) }).parse(JSON.parse(held))
    return { to: ownPath(to), typed: [...Form.read(typed).typed] }
  } catch {
    return undefined
  }
}
