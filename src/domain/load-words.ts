/** What a press at the pot did, and what it asks before it does it, in words. */
import { sayLapse } from './day.js'
import type { LoadStep } from './load.js'
import type { StepPlace } from './recipe.js'

/** Where the load is once a step has begun: "now in the dye bath". */
const NOW: Readonly<Record<string, string>> = {
  soak: 'now in the soak',
  vat: 'the vat is being made',
  dye: 'now in the dye bath',
  iron: 'now in the iron bath',
  mordant: 'now in the mordant bath',
  stand: 'now left in the bath overnight',
  rinse: 'now in the rinse',
  dry: 'now hung up to dry',
}

/** "now in the rinse", "now at Dip 2"; null: it left the work, "now on the ready shelf". */
export const nowWords = (step: Pick<LoadStep, 'key' | 'title'> | null): string =>
  step === null ? 'now on the ready shelf' : (NOW[step.key] ?? `now at ${step.title}`)

/** How a load begins: in its pot, or with a first step elsewhere, for which the pot is kept. */
export function begunWords(first: Pick<LoadStep, 'title' | 'place'> | undefined, potName: string): string {
  if (first === undefined || first.place === 'pot') return `put in ${potName}`
  return `begun: ${first.place === 'soak tub' ? 'soaking' : first.title}, for ${potName}`
}

/** A step that lacks less than a tenth of its least time is not worth a question: common practice, no source. */
const NEARLY = 0.9
/** A second tap on a button that has become the next one: within this, it is asked about. */
const SECOND_TAP_S = 10

/** `minutes`: how long the step has run; `tapS`: seconds since the last press, null when it was none or was told later. */
export type Pace = { title: string; atLeastMinutes: number | null; minutes: number; tapS: number | null }

/** Why a press on the next step asks whether it is meant, in a sentence; null when it does not. */
export function asksIfMeant({ title, atLeastMinutes, minutes, tapS }: Pace): string | null {
  if (atLeastMinutes !== null && minutes < atLeastMinutes * NEARLY)
    return `${minutes < 1 ? 'Less than a minute' : `Only ${sayLapse(minutes)}`} of at least ${sayLapse(atLeastMinutes)} so far: ${title}.`
  if (tapS !== null && tapS < SECOND_TAP_S) return `This was pressed a moment ago: ${title} has only just begun.`
  return null
}

/** What is noted most often, in one press: common practice, no source. */
const QUICK_NOTES: Readonly<Record<StepPlace, readonly string[]>> = {
  'soak tub': ['Turned over', 'Topped up with water', 'Wet through', 'Still floats'],
  pot: ['Stirred', 'Topped up with water', 'Heat turned down', 'Takes evenly', 'Takes unevenly'],
  rinse: ['Water changed', 'Pressed out', 'Straightened'],
  'drying line': ['Turned over', 'Straightened', 'Taken out of the sun', 'Nearly dry'],
}

/** The notes that a page at the pot offers on a press of their own, by where the load is. */
export const quickNotes = (place: StepPlace): readonly string[] => QUICK_NOTES[place]
