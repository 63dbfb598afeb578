/** Putting right what was written at drop-off: a form in which only what was otherwise is filled in. */
import type { FastifyInstance, FastifyReply, FastifyRequest } from 'fastify'
import { z } from 'zod'
import { CONDITIONS_FOUND, sayCondition, sayHowTied, THICK_ENDS, TIE_KINDS, TIE_PLACES } from '../domain/arrival.js'
import { BUNDLE_LIMITS, type BundlesLine, readBundlesLine } from '../domain/bundles-line.js'
import type { Catalogue } from '../domain/catalogue.js'
import { type Damp, dampWeightWords, dryOut, whyNotDamp } from '../domain/damp.js'
import { asksWhy, MOST_BUNDLES } from '../domain/drop-off.js'
import { isHere } from '../domain/place.js'
import type { Written } from '../domain/put-right.js'
import type { Units } from '../domain/quantity.js'
import { type Read, read, unread } from '../domain/refusal.js'
import { lotArrivals } from '../store/arrivals.js'
import type { Db } from '../store/db.js'
import { findLot, type Lot } from '../store/lots.js'
import { type PutRight, putRight as putLotRight } from '../store/put-right.js'
import { dryOrDampIn } from './damp-form.js'
import { readingOf } from './drop-off.js'
import { findingsFor, type Reading, readDryWeight, readThickness, readTies } from './drop-off-fields.js'
import { choice, group, optionalText, readIfTyped, text, tick, version } from './kit/fields.js'
import { atField, check, type FieldError, type Form, Unfit } from './kit/form.js'
import { formPage, found, idIn } from './kit/post.js'

/** "None" in the place of a thickness that was never measured. */
const orNone = <T>(typed: string, reader: (typed: string) => Read<T>): Read<T | 'none'> =>
  typed.toLowerCase() === 'none' ? read('none') : reader(typed)

const rowFields = (units: Units) => ({
  ties: readIfTyped(readTies),
  weight: readIfTyped(typed => readDryWeight(typed, units)),
  thickness: readIfTyped(typed => orNone(typed, length => readThickness(length, units))),
  condition: optionalText('Condition', 500),
  howTied: optionalText('How it is tied', 500),
  withdrawn: tick,
})

const fibreIn = ({ fibres }: Catalogue) => choice('Fibre', ['', ...fibres.map(({ id }) => id)])

const rightForm = ({ units, catalogue }: Reading) =>
  z.object({
    each: group(rowFields(units)),
    bundles: z.preprocess(typed => (Array.isArray(typed) ? typed : []), z.array(z.object(rowFields(units)))),
    fibre: group({ id: fibreIn(catalogue), against: optionalText('Why it is taken in all the same', 1000) }),
    line: readIfTyped(typed => readOverlooked(typed, units)),
    lineCondition: optionalText('Condition', 500),
    lineHowTied: optionalText('How they are tied', 500),
    damp: dryOrDampIn(units),
    why: text('How you know', 500),
    version,
  })
type RightForm = z.output<ReturnType<typeof rightForm>>
type Row = RightForm['each']

/** What a weight in the form counts for: dry as it is, or as the moisture says. */
type Weigh = (weight: { grams: number; typed: string }, field: string) => Pick<Written, 'dryWeightG' | 'weightTyped'>

const weighWith =
  (lot: Lot, damp: Damp | null, { catalogue, dryBasis }: Reading): Weigh =>
  ({ grams, typed }, field) => {
    if (damp === null) return { dryWeightG: grams, weightTyped: typed }
    const fibre = catalogue.fibres.find(({ id }) => id === lot.fibreId) ?? { name: lot.fibreName, regainPercent: null }
    const { dryWeightG } = atField(field, () => dryOut(grams, damp, dryBasis, fibre))
    if (dryWeightG <= BUNDLE_LIMITS.dryWeightG.max) return { dryWeightG, weightTyped: dampWeightWords(typed, damp) }
    throw new Unfit([
      { field, sentence: 'Reckoned dry, that is more than any bundle weighs. Check it, and how damp it was.' },
    ])
  }

/** What is filled in of a row; what is left empty stays. */
function rightIn(row: Row, field: string, weigh: Weigh): Partial<Written> {
  const { ties, weight, thickness, condition, howTied } = row
  return {
    ...(ties === null ? {} : { tiesIn: ties.count }),
    ...(weight === null ? {} : weigh(weight, `${field}.weight`)),
    ...(thickness === null
      ? {}
      : thickness === 'none'
        ? { thicknessMm: null, thicknessTyped: '' }
        : { thicknessMm: thickness.millimetres, thicknessTyped: thickness.typed }),
    ...(condition === '' ? {} : { condition }),
    ...(howTied === '' ? {} : { howTied }),
  }
}

const readOverlooked = (typed: string, units: Units): Read<BundlesLine> => {
  const damp = whyNotDamp(typed)
  return damp === undefined ? readBundlesLine(typed, units) : unread(damp)
}

/** The bundles that were overlooked, laid out; none when nothing is written there. */
function overlookedIn(form: RightForm, lot: Lot, weigh: Weigh): Written[] {
  const { line, lineCondition: condition, lineHowTied: howTied } = form
  const wrong = (sentence: string): never => {
    throw new Unfit([{ field: 'line', sentence }])
  }
  if (line === null) {
    if (`${condition}${howTied}` === '') return []
    return wrong(
      'This says what overlooked bundles are like, but not how many they are. Write the line of bundles too.',
    )
  }
  const { count, tiesEach, dryWeightG, weightTyped, thicknessMm, thicknessTyped } = line
  if (lot.bundles.length + count > MOST_BUNDLES)
    return wrong(`A lot holds ${MOST_BUNDLES} bundles at most. Take the rest in as another lot.`)
  const one = {
    tiesIn: tiesEach,
    ...weigh({ grams: dryWeightG, typed: weightTyped }, 'line'),
    thicknessMm,
    thicknessTyped: thicknessTyped ?? '',
    condition,
    howTied,
  }
  return Array.from({ length: count }, () => one)
}

/** Says which bundle is meant. */
const told = (errors: readonly FieldError[]): FieldError[] =>
  errors.map(({ field, sentence }) => {
    const [, n] = /^bundles\.(\d+)\./.exec(field) ?? []
    return { field, sentence: n === undefined ? sentence : `Bundle ${n}: ${sentence}` }
  })

function checked(form: Form, reading: Reading): RightForm {
  try {
    return check(rightForm(reading), form)
  } catch (fault) {
    throw fault instanceof Unfit ? new Unfit(told(fault.errors)) : fault
  }
}

/** Another fibre than the one that is written; the trade may speak against its dye. */
function fibreAsked({ fibre }: RightForm, lot: Lot, { catalogue }: Reading): PutRight['fibre'] {
  if (fibre.id === '' || fibre.id === lot.fibreId) return undefined
  const speaksAgainst = asksWhy(findingsFor(catalogue, fibre.id, lot.dyeId, lot))
  if (speaksAgainst && fibre.against === '')
    throw new Unfit([
      { field: 'fibre.against', sentence: 'Say why it is dyed so all the same, or ask for another dye first.' },
    ])
  return { id: fibre.id, against: speaksAgainst ? fibre.against : '' }
}

function askedIn(form: Form, lot: Lot, reading: Reading): PutRight {
  const typed = checked(form, reading)
  const fibre = fibreAsked(typed, lot, reading)
  const weigh = weighWith({ ...lot, fibreId: fibre?.id ?? lot.fibreId }, typed.damp, reading)
  const each = rightIn(typed.each, 'each', weigh)
  const withdrawn = typed.bundles.flatMap((row, n) => (row.withdrawn ? [n] : []))
  const here = lot.bundles.filter(({ n, place }) => isHere(place) && !withdrawn.includes(n))
  const rows = typed.bundles.flatMap((row, n): [number, Partial<Written>][] => {
    const own = rightIn(row, `bundles.${n}`, weigh)
    return Object.keys(own).length === 0 || row.withdrawn ? [] : [[n, own]]
  })
  const ofAll = Object.keys(each).length === 0 ? [] : here.map(({ n }): [number, Partial<Written>] => [n, each])
  const bundles = new Map(ofAll)
  for (const [n, own] of rows) bundles.set(n, { ...bundles.get(n), ...own })
  const overlooked = overlookedIn(typed, lot, weigh)
  if (fibre === undefined && bundles.size + withdrawn.length + overlooked.length === 0)
    throw new Unfit([{ field: 'each.ties', sentence: 'Say what was otherwise: nothing is filled in.' }])
  return { lotId: lot.id, version: typed.version, why: typed.why, bundles, withdrawn, overlooked, fibre }
}

/** Each bundle as it stands written, and what is filled in beside it. */
async function bundlesShown(db: Db, lot: Lot, form: Form) {
  const came = (await lotArrivals(db, lot.commissionId)).find(({ lotId }) => lotId === lot.id)
  return lot.bundles.map(bundle => {
    const seen = came?.bundles.find(({ n }) => n === bundle.n)
    const at = `bundles.${bundle.n}`
    return {
      ...bundle,
      condition: seen ? sayCondition(seen.found, seen.words) : bundle.condition,
      howTied: seen ? sayHowTied(seen, bundle.howTied) : bundle.howTied,
      isHere: isHere(bundle.place),
      isOpen: [...form.typed].some(([name, value]) => name.startsWith(`${at}.`) && value !== ''),
    }
  })
}

async function showForm(request: FastifyRequest, reply: FastifyReply, form: Form, status: number) {
  const { db } = request.server
  const lot = found(await findLot(db, idIn(request)), 'lot')
  const { catalogue } = await readingOf(db, request)
  const findings = findingsFor(catalogue, form.value('fibre.id'), lot.dyeId, lot)
  return reply.page('put-right/lot', {
    title: `Lot ${lot.id}: put right what was written`,
    form,
    status,
    data: {
      lot: { ...lot, bundles: await bundlesShown(db, lot, form) },
      fibres: catalogue.fibres.map(({ id, name }) => ({ id, name })),
      findings,
      asksWhy: asksWhy(findings),
      found: CONDITIONS_FOUND,
      tying: { places: TIE_PLACES, kinds: TIE_KINDS, thickEnds: THICK_ENDS },
    },
  })
}

export function putRight(app: FastifyInstance): void {
  formPage(app, '/lots/:id/put-right', {
    show: showForm,
    act: async (trx, request, form, by) => {
      const lot = found(await findLot(trx, idIn(request)), 'lot')
      await putLotRight(trx, by, askedIn(form, lot, await readingOf(trx, request)))
      return { to: `/lots/${lot.id}`, said: 'Put right. What stood there before is kept in the history.' }
    },
  })
}
