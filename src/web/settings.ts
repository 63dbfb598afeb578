import type { FastifyInstance, FastifyReply, FastifyRequest } from 'fastify'
import { z } from 'zod'
import { PAPERS } from '../domain/paper.js'
import { answersOf, sayChangedSettings, settingsInWords } from '../domain/settings.js'
import { changeWorkshop, findWorkshop, workshopChanges } from '../store/workshop.js'
import { choice, optionalText, readBy, text, version } from './kit/fields.js'
import { check, type Form } from './kit/form.js'
import { formPage, found } from './kit/post.js'

export const WEIGHT_UNITS = ['metric', 'pounds'] as const
export const VOLUME_UNITS = ['metric', 'us', 'imperial'] as const
export const DRY_BASES = ['conditioned', 'oven-dry'] as const
const SCALE_STEPS = ['0.01', '0.1', '1', '5'] as const

export function isTimeZone(name: string): boolean {
  try {
    return new Intl.DateTimeFormat('en', { timeZone: name }).format(0) !== ''
  } catch {
    return false
  }
}

export const timeZone = readBy(typed =>
  typed !== '' && isTimeZone(typed)
    ? { ok: true, value: typed }
    : { ok: false, sentence: 'Time zone: use a name such as Europe/Lisbon, America/Vancouver or UTC.' },
)

const settingsForm = z.object({
  name: text('Name of the workshop'),
  weightUnit: choice('Weights', WEIGHT_UNITS),
  volumeUnit: choice('Volumes', VOLUME_UNITS),
  timeZone,
  dryBasis: choice('What dry means', DRY_BASES),
  scaleStepG: choice('Smallest step of your scale', SCALE_STEPS),
  slipPaper: choice('Paper for slips', PAPERS),
  slipWords: optionalText('Words at the foot of every slip', 1000),
  version,
})

const CHOSEN = ['weightUnit', 'volumeUnit', 'dryBasis', 'scaleStepG']

async function showSettings(request: FastifyRequest, reply: FastifyReply, form: Form, status: number) {
  const workshop = found(await findWorkshop(request.server.db), 'workshop')
  const changes = await workshopChanges(request.server.db)
  return reply.page('settings/edit', {
    title: 'Settings',
    form,
    status,
    data: {
      workshop,
      inWords: settingsInWords(workshop),
      answers: Object.fromEntries(CHOSEN.map(field => [field, answersOf(field)])),
      changes: changes.map(({ was, became, ...line }) => ({ ...line, words: sayChangedSettings(was, became) })),
    },
  })
}

export function settings(app: FastifyInstance): void {
  formPage(app, '/settings', {
    show: showSettings,
    act: async (trx, _request, form, by) => {
      const { version, scaleStepG, ...workshop } = check(settingsForm, form)
      await changeWorkshop(trx, by, { ...workshop, scaleStepG: Number(scaleStepG) }, version)
      return { to: '/settings', said: 'Settings saved.' }
    },
  })
}
