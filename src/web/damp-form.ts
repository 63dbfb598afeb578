/** How fibre was weighed: dry, or damp with its moisture measured, or damp after it rested in air. */
import { z } from 'zod'
import type { Damp } from '../domain/damp.js'
import { readTemperature, type Units } from '../domain/quantity.js'
import { readNumber } from '../domain/read-number.js'
import { type Read, unread } from '../domain/refusal.js'
import { choice, readBy } from './kit/fields.js'

export const OF_WEIGHTS = ['oven-dry weight', 'damp weight'] as const

const MEASURE_IT =
  'How damp is it? Measure the moisture with a meter; or weigh a strip, dry it in a warm oven until it loses no more, weigh it again, and enter the per cent.'

const readMoisture = (typed: string): Read<number> =>
  typed === '' ? unread(MEASURE_IT) : readNumber(typed, { label: 'moisture', unit: '%', example: '22', max: 1000 })

const measured = z
  .object({
    how: z.literal('moisture'),
    percent: readBy(readMoisture),
    of: choice('Per cent of which weight', OF_WEIGHTS),
  })
  .transform((moisture, context): Damp => {
    if (moisture.of === 'oven-dry weight' || moisture.percent <= 99) return moisture
    const message = 'Moisture is at most 99 % of the damp weight. Is it per cent of the dry weight?'
    context.issues.push({ code: 'custom', message, path: ['percent'], input: moisture.percent })
    return z.NEVER
  })

const rested = (units: Units) =>
  z
    .object({
      how: z.literal('air'),
      temperature: readBy(typed => readTemperature(typed, units, { label: 'temperature of the air', min: 0, max: 80 })),
      humidity: readBy(typed =>
        readNumber(typed, { label: 'humidity of the air', unit: '%', example: '65', min: 0, max: 98 }),
      ),
    })
    .transform(
      ({ how, temperature, humidity }): Damp => ({
        how,
        temperatureC: temperature.temperatureC,
        temperatureTyped: temperature.typed,
        relativeHumidityPercent: humidity,
      }),
    )

const error = 'Choose one: how it was weighed.'

const withHow = (otherwise: string) => (sent: unknown) => {
  const fields = typeof sent === 'object' && sent !== null && !Array.isArray(sent) ? sent : {}
  return 'how' in fields && fields.how !== '' ? fields : { ...fields, how: otherwise }
}

/** Damp fibre, and how damp. */
export const dampIn = (units: Units) =>
  z.preprocess(withHow(''), z.discriminatedUnion('how', [measured, rested(units)], { error }))

/** The same, or null for what was weighed dry, which is what it is unless somebody says otherwise. */
export const dryOrDampIn = (units: Units) => {
  const dry = z.object({ how: z.literal('dry') }).transform(() => null)
  return z.preprocess(withHow('dry'), z.discriminatedUnion('how', [dry, measured, rested(units)], { error }))
}
