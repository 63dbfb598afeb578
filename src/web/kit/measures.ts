/** Readers for one measure, in the units of this workshop: each gives a plain figure in SI, or a sentence. */
import { readLength, readTemperature, readVolume, readWeight } from '../../domain/quantity.js'
import { type NumberOptions, readNumber } from '../../domain/read-number.js'
import { type Read, read } from '../../domain/refusal.js'
import type { Workshop } from '../../store/workshop.js'

export type Limits = { min?: number; max?: number }
export type ReadFigure = (typed: string) => Read<number>

const figureIn = <T>(answer: Read<T>, figure: (value: T) => number): Read<number> =>
  answer.ok ? read(figure(answer.value)) : answer

/** `label` names the measure in a sentence, without "the"; limits are in g, mL, mm or °C and included. */
export const measuresOf = ({ weightUnit, volumeUnit }: Pick<Workshop, 'weightUnit' | 'volumeUnit'>) => {
  const units = { weight: weightUnit, volume: volumeUnit }
  return {
    grams:
      (label: string, limits: Limits = {}): ReadFigure =>
      typed =>
        figureIn(readWeight(typed, units, { label, ...limits }), ({ grams }) => grams),
    millilitres:
      (label: string, limits: Limits = {}): ReadFigure =>
      typed =>
        figureIn(readVolume(typed, units, { label, ...limits }), ({ millilitres }) => millilitres),
    millimetres:
      (label: string, limits: Limits = {}): ReadFigure =>
      typed =>
        figureIn(readLength(typed, units, { label, ...limits }), ({ millimetres }) => millimetres),
    celsius:
      (label: string, limits: Limits = {}): ReadFigure =>
      typed =>
        figureIn(readTemperature(typed, units, { label, ...limits }), ({ temperatureC }) => temperatureC),
  }
}

export const plainFigure =
  (options: NumberOptions): ReadFigure =>
  typed =>
    readNumber(typed, options)
