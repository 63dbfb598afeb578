/** The steps of an indigo vat: the stock, then dips and airings in turn. */
import { NOT_KNOWN, type Vat } from './catalogue.js'
import { findSubstance } from './catalogue-look-up.js'
import { JOB_BOUNDS } from './check-job.js'
import { plainNumber } from './how.js'
import type { Bench } from './recipe-bench.js'
import { Refusal } from './refusal.js'
import { type Stage, stage, valueOrNull } from './stage.js'

const HANDS = { stock: 30, dip: 5, air: 2 } as const

export function vatSteps(bench: Bench): Stage[] {
  const dyes = bench.job.dyes.map(dye => findSubstance(bench.catalogue, dye.substanceId, 'dyes.0.substanceId'))
  return dyes.flatMap(dye => {
    const vat = vatOf(dye.vat, dye.name)
    const dips = Array.from({ length: dipCount(bench, vat) }, (_, at) => dipAndAir(vat, at + 1))
    return [stockStage(vat, valueOrNull(dye.bath.minutes), valueOrNull(dye.bath.temperatureC)), ...dips.flat()]
  })
}

function vatOf(vat: Vat | null, name: string): Vat {
  if (vat !== null) return vat
  const sentence = `${name} has no vat in this catalogue: choose an indigo that says how its vat is made.`
  throw new Refusal('wrong', sentence, 'dyes.0.substanceId')
}

/** As many dips as typed, else the vat's own number for a medium shade times the depth, one to twenty. */
export function dipCount({ job }: Bench, vat: Vat): number {
  if (job.dips !== null) return job.dips
  if (vat.dips === null) throw new Refusal('wrong', `How many dips is ${NOT_KNOWN}, then type the number.`, 'dips')
  const { least, most } = JOB_BOUNDS.dips
  return Math.min(most, Math.max(least, Math.round(vat.dips.value * job.depth)))
}

function stockStage(vat: Vat, minutes: number | null, temperatureC: number | null): Stage {
  const window = `${windowWords('Keep the vat', vat.lowestC, vat.highestC, ' °C')} ${windowWords('Its pH', vat.lowestPh, vat.highestPh, '')}`
  return stage({
    key: 'vat',
    title: 'Make the stock and the vat',
    words: `Make the stock, let it turn clear yellow or green under its skin, then lower it into the vat without splashing. ${window}`,
    place: 'pot',
    minutes,
    atLeastMinutes: minutes,
    temperatureC,
    handsMinutes: HANDS.stock,
    mayStandOvernight: true,
    bathKey: 'stock',
  })
}

function windowWords(what: string, low: Vat['lowestC'], high: Vat['highestC'], unit: string): string {
  if (low === null || high === null) return `${what}: ${NOT_KNOWN}.`
  return `${what}: ${plainNumber(low.value)} to ${plainNumber(high.value)}${unit}.`
}

function dipAndAir(vat: Vat, number: number): Stage[] {
  const [dip, air] = [valueOrNull(vat.dipMinutes), valueOrNull(vat.airingMinutes)]
  const { lowestC, highestC } = vat
  const temperatureC = lowestC === null || highestC === null ? null : (lowestC.value + highestC.value) / 2
  return [
    stage({
      key: 'dip',
      title: `Dip ${number}`,
      words: 'Lower the wet fibre in slowly, without carrying air, and keep it off the bottom.',
      place: 'pot',
      minutes: dip,
      atLeastMinutes: dip,
      temperatureC,
      handsMinutes: HANDS.dip,
      bathKey: 'vat',
    }),
    stage({
      key: 'air',
      title: `Air ${number}`,
      words: 'Lift out, drain, and spread it to the air until the green has turned to blue.',
      place: 'drying line',
      minutes: air,
      atLeastMinutes: air,
      handsMinutes: HANDS.air,
    }),
  ]
}
