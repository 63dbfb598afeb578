/** What the page of the bath asks. Everything but the bath itself may be left empty, part by part. */
import { z } from 'zod'
import { choice, readBy, readIfTyped } from './kit/fields.js'
import type { Form } from './kit/form.js'
import { measuresOf, plainFigure, type ReadFigure } from './kit/measures.js'
import type { Shed } from './kit/sum.js'

const isTyped = (form: Form, field: string): boolean => form.value(field).trim() !== ''

/** Whether anything was written into a part; a radio button that is always pressed tells nothing. */
const isTold = (form: Form, part: string): boolean =>
  [...form.typed.keys()].some(name => name.startsWith(`${part}.`) && name !== 'pot.shape' && isTyped(form, name))

/** A part of the form: left out as a whole, or else whole. */
const part = <S extends z.ZodType>(form: Form, name: string, schema: S) =>
  z.preprocess(sent => (isTold(form, name) ? sent : undefined), schema.optional())

const needed = (isNeeded: boolean, reader: ReadFigure) =>
  isNeeded ? readBy<number | null>(reader) : readIfTyped(reader)

function wet(form: Form, { workshop }: Shed) {
  const soaked = measuresOf(workshop).grams('weight soaked and drained', { max: 1e6 })
  const takeUp = plainFigure({ label: 'water taken up', unit: 'L/kg', example: '1.5', min: 0, max: 20 })
  return z.object({ soaked: needed(!isTyped(form, 'wet.takeUp'), soaked), takeUp: readIfTyped(takeUp) })
}

function potFloor({ workshop }: Shed) {
  const { millimetres } = measuresOf(workshop)
  const length = (label: string) => readBy(millimetres(label, { min: 10, max: 5000 }))
  const depth = readBy(millimetres('depth that covers the fibre', { max: 5000 }))
  const long = { across: length('length of the pot'), width: length('width of the pot'), depth }
  return z.discriminatedUnion(
    'shape',
    [
      z.object({ shape: z.literal('round'), across: length('diameter of the pot'), depth }),
      z.object({ shape: z.literal('oval'), ...long }),
      z.object({ shape: z.literal('oblong'), ...long }),
    ],
    { error: 'Choose one: shape of the pot.' },
  )
}

const temperature = ({ workshop }: Shed, label: string): ReadFigure =>
  measuresOf(workshop).celsius(label, { min: 0, max: 100 })

const mix = (shed: Shed) =>
  z.object({
    hot: readBy(temperature(shed, 'temperature of the hot water')),
    cold: readBy(temperature(shed, 'temperature of the cold water')),
    wanted: readBy(temperature(shed, 'temperature wanted')),
  })

const heat = (form: Form, shed: Shed) =>
  z.object({
    from: needed(!isTold(form, 'mix'), temperature(shed, 'temperature now')),
    to: readBy(temperature(shed, 'temperature to heat to')),
    power: readBy(readPower),
    efficiency: readBy(
      plainFigure({ label: 'share of the heat that arrives', unit: '%', example: '50', min: 5, max: 100 }),
    ),
  })

/** Watts, or kilowatts where they are named. */
function readPower(typed: string) {
  const label = 'power of the burner'
  if (!/kw$/i.test(typed)) return plainFigure({ label, unit: 'W', example: '2000', min: 50, max: 100_000 })(typed)
  const kilowatts = plainFigure({ label, unit: 'kW', example: '2', min: 0.05, max: 100 })(typed)
  return kilowatts.ok ? { ...kilowatts, value: kilowatts.value * 1000 } : kilowatts
}

function lift({ workshop }: Shed) {
  const { grams } = measuresOf(workshop)
  return z.object({
    pot: readBy(grams('weight of the empty pot', { max: 1e6 })),
    most: readIfTyped(grams('weight for one person', { min: 1000, max: 1e5 })),
  })
}

/** The fibre is asked where its liquor ratio is. */
const fibre = ({ catalogue }: Shed, isNeeded: boolean) => {
  const ids = catalogue.fibres.map(({ id }) => id)
  return choice('Fibre', isNeeded ? ids : ['', ...ids])
}

/** The form as far as it was told. Without a bath that is known already, it follows from the weight and the fibre. */
export function bathAsked(form: Form, shed: Shed) {
  const { grams, millilitres } = measuresOf(shed.workshop)
  const isKnown = isTyped(form, 'bath')
  const ratio = plainFigure({ label: 'liquor ratio', unit: 'L/kg', example: '20', min: 1, max: 200 })
  const weight = grams('dry weight', { min: 0.1, max: 100_000 })
  return z.object({
    bath: readIfTyped(millilitres('bath', { min: 1, max: 1e7 })),
    weight: needed(!isKnown || isTold(form, 'wet'), weight),
    fibreId: fibre(shed, !isKnown && !isTyped(form, 'liquorRatioLPerKg')),
    liquorRatioLPerKg: readIfTyped(ratio),
    headRoom: readIfTyped(plainFigure({ label: 'head-room', unit: '%', example: '20', min: 0, max: 80 })),
    byTheLitre: readIfTyped(plainFigure({ label: 'strength', unit: 'g/L', example: '20', min: 0.001, max: 1000 })),
    wet: part(form, 'wet', wet(form, shed)),
    pot: part(form, 'pot', potFloor(shed)),
    mix: part(form, 'mix', mix(shed)),
    heat: part(form, 'heat', heat(form, shed)),
    lift: part(form, 'lift', lift(shed)),
  })
}

export type BathAsked = z.output<ReturnType<typeof bathAsked>>
