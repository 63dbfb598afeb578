/** The fields of the drop-off's form, as the workshop reads them: its units, its day, its catalogue. */
import { z } from 'zod'
import { BUNDLE_LIMITS } from '../domain/bundles-line.js'
import type { Catalogue, Substance } from '../domain/catalogue.js'
import { SETTLES } from '../domain/client.js'
import { whyNotDamp } from '../domain/damp.js'
import { addDays, type Day, readDay } from '../domain/day.js'
import { LONGEST_AHEAD_DAYS, LOT_CONDITIONS } from '../domain/drop-off.js'
import { conditionsOf, feasibility } from '../domain/feasibility.js'
import { ROUTE_OF_CLASS } from '../domain/job-for-lot.js'
import { readCount, readLength, readWeight, type Units } from '../domain/quantity.js'
import { type Finding, PURPOSES, type RecipeJob, type Route } from '../domain/recipe.js'
import { type Read, read, unread } from '../domain/refusal.js'
import type { Workshop } from '../store/workshop.js'
import { dryOrDampIn } from './damp-form.js'
import { cameForm, lotCameFields } from './drop-off-came.js'
import { choice, optionalText, readBy, readIfTyped, swatch, text, tick, tickName, ticks } from './kit/fields.js'

/** What the form is read with: the workshop's units, what it calls dry, its days, its catalogue. */
export type Reading = {
  units: Units
  dryBasis: Workshop['dryBasis']
  today: Day
  catalogue: Catalogue
  /** When it is done, or talked about, where it is needed by no day. */
  dayWithoutAsking: Day
}

export const routeOf = (dye: Substance): Route | undefined =>
  dye.dyeClass === null ? undefined : ROUTE_OF_CLASS[dye.dyeClass]

export const readDryWeight = (typed: string, units: Units) => {
  const damp = whyNotDamp(typed)
  return damp === undefined
    ? readWeight(typed, units, {
        label: 'dry weight',
        ...BUNDLE_LIMITS.dryWeightG,
        defaultUnit: units.weight === 'metric' ? 'g' : undefined,
      })
    : unread<{ grams: number; typed: string }>(damp)
}

export const readTies = (typed: string) =>
  readCount(typed, { label: 'number of ties', noun: 'tie', ...BUNDLE_LIMITS.ties })

export const readThickness = (typed: string, units: Units) =>
  readLength(typed, units, {
    label: 'thickness',
    ...BUNDLE_LIMITS.thicknessMm,
    defaultUnit: units.weight === 'metric' ? 'mm' : undefined,
  })

const bundleForm = (units: Units) =>
  z.object({
    ties: readBy(readTies),
    weight: readBy(typed => readDryWeight(typed, units)),
    thickness: readIfTyped(typed => readThickness(typed, units)),
    condition: optionalText('Condition', 500),
    howTied: optionalText('How it is tied', 500),
  })

export const dyeIn = (catalogue: Catalogue) =>
  readBy<{ id: string; route: Route }>(typed => {
    const dye = catalogue.substances.find(each => each.id === typed)
    const route = dye && routeOf(dye)
    return route ? { ok: true, value: { id: typed, route } } : { ok: false, sentence: 'Choose one: dye.' }
  })

export type LotForm = z.output<ReturnType<typeof lotForm>>

const lotForm = ({ units, catalogue }: Reading) =>
  z.object({
    fibreId: choice(
      'Fibre',
      catalogue.fibres.map(fibre => fibre.id),
    ),
    colour: text('Colour in words', 500),
    swatch,
    noSwatch: tick,
    dyeId: dyeIn(catalogue),
    tiesUndyed: tick,
    conditions: ticks(LOT_CONDITIONS),
    purposes: ticks(PURPOSES),
    ...lotCameFields,
    against: optionalText('Why it is taken in all the same', 1000),
    repeatsLotId: readIfTyped(numberOfLot),
    bundles: z.array(bundleForm(units)).default([]),
    damp: dryOrDampIn(units),
  })

const numberOfLot = (typed: string): Read<number> =>
  /^\d{1,15}$/.test(typed)
    ? read(Number(typed))
    : unread('The number of the lot that is repeated is not whole. Begin again from that lot.')

export const dropOffForm = (reading: Reading) =>
  z.object({
    purpose: text('Purpose', 500),
    /** Null: by no day. */
    neededBy: readIfTyped(typed =>
      readDay(typed, reading.today, {
        label: 'needed-by day',
        earliest: reading.today,
        latest: addDays(reading.today, LONGEST_AHEAD_DAYS),
      }),
    ),
    arrangement: choice('How this is settled', ['', ...SETTLES]),
    note: optionalText('Note', 2000),
    came: cameForm,
    lots: z.array(lotForm(reading)),
  })

/** What was said of the fibre and its use beside its dye. */
export type Said = Pick<RecipeJob, 'conditions' | 'purposes' | 'tiesUndyed'>

/** The same as it was ticked, before anything is checked. */
export const saidIn = (value: (field: string) => string): Said => ({
  conditions: LOT_CONDITIONS.filter(words => value(`conditions.${tickName(words)}`) !== ''),
  purposes: PURPOSES.filter(words => value(`purposes.${tickName(words)}`) !== ''),
  tiesUndyed: value('tiesUndyed') !== '',
})

/** What the trade says to this dye on this fibre; nothing as long as one of them is not chosen. */
export function findingsFor(catalogue: Catalogue, fibreId: string, dyeId: string, said: Said): Finding[] {
  const isKnown =
    catalogue.fibres.some(({ id }) => id === fibreId) && catalogue.substances.some(({ id }) => id === dyeId)
  if (!isKnown) return []
  const ask = { fibreId, dyeIds: [dyeId], mordantIds: null, conditions: conditionsOf(said) }
  return feasibility(ask, catalogue)
}
