/** The drop-off's form checked as a whole: everything that is wrong is said at once, and nothing is written. */
import { type Day, sayDay } from '../domain/day.js'
import { asksWhy, MOST_BUNDLES, MOST_LOTS } from '../domain/drop-off.js'
import type { Finding } from '../domain/recipe.js'
import { usualTying } from '../store/arrivals.js'
import type { Db } from '../store/db.js'
import type { DropOff } from '../store/drop-off.js'
import { cameIn, toldIn } from './drop-off-came.js'
import { readClient, type WhoBrings } from './drop-off-client.js'
import { dropOffForm, findingsFor, type Reading } from './drop-off-fields.js'
import { lotIn } from './drop-off-lot.js'
import { layOut, lotsTyped, type TypedLot, withLots, withoutBlanks } from './drop-off-rows.js'
import { check, errorsIn, type FieldError, Form, Unfit } from './kit/form.js'

/** `form` is what was typed with every line laid out and every "Friday" made a day. */
export type Checked = { form: Form; who: WhoBrings; dropOff: DropOff; findings: Finding[][] }

type Tried<T> = { value: T; errors: readonly FieldError[] } | { value: undefined; errors: readonly FieldError[] }

/** The value, or what is wrong: so that the parts of the form can be checked side by side. */
async function tried<T>(reading: () => T | Promise<T>): Promise<Tried<T>> {
  try {
    return { value: await reading(), errors: [] }
  } catch (fault) {
    return { value: undefined, errors: errorsIn(fault) }
  }
}

/** What is wrong with the rows as rows: none, or more than can be written down. */
function rowErrors(lots: readonly TypedLot[], lineErrors: readonly FieldError[]): FieldError[] {
  const tooMany =
    lots.length > MOST_LOTS ? [{ field: '', sentence: `One drop-off holds ${MOST_LOTS} lots at most.` }] : []
  const inLots = lots.flatMap(({ bundles }, l) => {
    const field = `lots.${l}.line`
    if (lineErrors.some(error => error.field.startsWith(`lots.${l}.line`))) return []
    if (bundles.length > MOST_BUNDLES) {
      return [{ field, sentence: `A lot holds ${MOST_BUNDLES} bundles at most. Put the rest in another lot.` }]
    }
    return bundles.length === 0
      ? [{ field, sentence: 'Say what was brought: one line for alike bundles, or a row for each.' }]
      : []
  })
  return [...tooMany, ...lineErrors, ...inLots]
}

const lotOf = (field: string): number => Number(/^lots\.(\d+)/.exec(field)?.[1] ?? -1)

/** In the order of the page, and saying which lot and which bundle is meant where there are several. */
function told(errors: readonly FieldError[], lots: readonly TypedLot[]): FieldError[] {
  const inOrder = [...errors].sort((one, other) => lotOf(one.field) - lotOf(other.field))
  return inOrder.map(({ field, sentence }) => {
    const [, l, b] = /^lots\.(\d+)(?:\.bundles\.(\d+))?/.exec(field) ?? []
    const which = [
      l !== undefined && lots.length > 1 ? `lot ${Number(l) + 1}` : '',
      b === undefined ? '' : `bundle ${Number(b) + 1}`,
    ].filter(Boolean)
    const place = which.join(', ')
    return { field, sentence: place ? `${place.charAt(0).toUpperCase()}${place.slice(1)}: ${sentence}` : sentence }
  })
}

/** Every "Friday" is a day now, and every name a client, so that what was read back is what is taken in. */
function pinned(form: Form, who: WhoBrings, neededBy: Day | null): Form {
  const typed = new Map(form.typed)
  if (neededBy !== null) typed.set('neededBy', sayDay(neededBy))
  if ('known' in who) typed.set('clientId', String(who.known.id))
  return new Form(typed)
}

/** The drop-off that was typed, or `Unfit` with all that is wrong with it. */
export async function checkDropOff(db: Db, form: Form, reading: Reading): Promise<Checked> {
  const { catalogue, units } = reading
  const rows = layOut(withoutBlanks(lotsTyped(form)), units)
  const whole = withLots(form, rows.lots)
  const who = await tried(() => readClient(db, whole))
  const fields = await tried(() => check(dropOffForm(reading), whole))
  const errors = [...who.errors, ...told([...fields.errors, ...rowErrors(rows.lots, rows.errors)], rows.lots)]
  if (errors.length > 0 || !who.value || !fields.value) throw new Unfit(errors)
  const { lots, arrangement, came, ...asked } = fields.value
  const client = 'known' in who.value ? who.value.known : who.value.fresh
  const usual = await usualTying(db, 'known' in who.value ? who.value.known.id : null)
  const findings = lots.map(lot => findingsFor(catalogue, lot.fibreId, lot.dyeId.id, lot))
  const written = await tried(() =>
    Promise.all(lots.map((lot, l) => lotIn(db, lot, l, { findings: findings[l] ?? [], usual, reading }))),
  )
  const cameAs = await tried(() => cameIn(came, reading.today))
  if (!written.value || !cameAs.value) throw new Unfit([...told(written.errors, rows.lots), ...cameAs.errors])
  const toldNow = toldIn(came)
  const dropOff: DropOff = {
    ...asked,
    neededBy: asked.neededBy ?? reading.dayWithoutAsking,
    dayAsked: asked.neededBy !== null,
    client: 'known' in who.value ? { id: who.value.known.id, told: toldNow } : { ...who.value.fresh, ...toldNow },
    came: cameAs.value,
    arrangement: arrangement === '' ? client.settles : arrangement,
    lots: written.value,
  }
  return { form: pinned(whole, who.value, asked.neededBy), who: who.value, dropOff, findings }
}

/** Lots against which the trade speaks, and that nobody has given a reason for yet. */
export const withoutReason = ({ form, dropOff, findings }: Checked): FieldError[] =>
  told(
    dropOff.lots.flatMap(({ against }, l) =>
      asksWhy(findings[l] ?? []) && against === ''
        ? [{ field: `lots.${l}.against`, sentence: 'Say why it is taken in all the same, or change its dye.' }]
        : [],
    ),
    lotsTyped(form),
  )
