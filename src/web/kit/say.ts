import { dayOf, sayDay, sayLapse, sayTime } from '../../domain/day.js'
import { type Measured, measureOf } from '../../domain/line-measure.js'
import { sayRuns, sayRunsOf } from '../../domain/number-runs.js'
import { sayOnScale, stockFor } from '../../domain/on-scale.js'
import { sayFigure, sayLength, sayRatio, sayTemperature, sayVolume, sayWeight } from '../../domain/quantity.js'
import { saySource } from '../../domain/say-source.js'
import type { Workshop } from '../../store/workshop.js'

/**
 * The gap between a figure and what it counts in, in the words of a page: never inside a tag, nor in what was typed into a
 * field of several lines.
 */
const BEFORE_UNIT =
  /(<textarea[\s\S]*?<\/textarea>)|(\d[½¼¾⅛⅜⅝⅞]?|[½¼¾⅛⅜⅝⅞]) (?=(?:g|kg|mL|L|mm|m|min|h|days?|lb|oz|fl oz|tsp|tbsp|cups?|pt|qt|gal|ties?|bundles?)\b[^<>]*<|[%°])/g

/** How figures and times read on this workshop's pages: its units, its clock. */
export function sayFor(workshop: Workshop, now: string) {
  const units = { weight: workshop.weightUnit, volume: workshop.volumeUnit }
  const { timeZone } = workshop
  const today = dayOf(now, timeZone)
  return {
    now,
    today,
    weight: (grams: number) => sayWeight(grams, units),
    volume: (millilitres: number) => sayVolume(millilitres, units),
    /** Of a substance, which is weighed in grams everywhere. */
    amount: (amount: number, unit: 'g' | 'mL') =>
      unit === 'g' ? sayWeight(amount, { weight: 'metric' }) : sayVolume(amount, units),
    /** Grams to the step of the scale here. */
    onScale: (grams: number) => sayOnScale(grams, workshop.scaleStepG),
    /** A line of a recipe, yet to be weighed or measured out. */
    toMeasure: (line: Measured) => measureOf(line, units, workshop.scaleStepG),
    /** What was weighed or measured out, as it was. */
    measured: (line: Measured) => measureOf(line, units, null),
    ratio: sayRatio,
    /** How to measure what the scale is too coarse for; null when it is not. */
    stockFor: (amount: number, unit: 'g' | 'mL') => stockFor(amount, unit, workshop.scaleStepG),
    /** A page with no line broken between a figure and its unit. */
    unbroken: (html: string) =>
      html.replace(BEFORE_UNIT, (whole, typed?: string, figure?: string) => (typed ? whole : `${figure}\u00a0`)),
    length: (millimetres: number) => sayLength(millimetres, units),
    temperature: (celsius: number) => sayTemperature(celsius, units),
    figure: sayFigure,
    source: saySource,
    day: sayDay,
    /** Where another day was promised, that leads: "promised for Fri 4 Dec 2026, needed by Mon 7 Dec 2026". */
    by: ({ countedOn, neededBy }: { countedOn: string; neededBy: string }) =>
      countedOn === neededBy
        ? `needed by ${sayDay(neededBy)}`
        : `promised for ${sayDay(countedOn)}, needed by ${sayDay(neededBy)}`,
    dayOf: (at: string) => sayDay(dayOf(at, timeZone)),
    time: (at: string) => sayTime(at, timeZone, today),
    lapse: sayLapse,
    since: (at: string) => sayLapse((Date.parse(now) - Date.parse(at)) / 60_000),
    /** "bundle 3", "bundles 1 to 4, 7". */
    bundles: (ns: readonly number[]) => `${ns.length === 1 ? 'bundle' : 'bundles'} ${sayRuns(ns)}`,
    /** "3 of 12", for one bundle of a lot of so many. */
    which: (n: number, ofLot: number) => sayRunsOf([n], ofLot),
    count: (n: number, one: string, many = `${one}s`) => `${n} ${n === 1 ? one : many}`,
  }
}

export type Say = ReturnType<typeof sayFor>
