/** A checked lot of the drop-off's form, as it is written down: weights dry, and what was said of it. */
import type { Tying } from '../domain/arrival.js'
import { BUNDLE_LIMITS } from '../domain/bundles-line.js'
import { type Damp, type Dried, dampWeightWords, dryOut } from '../domain/damp.js'
import { asksWhy, isRepeat } from '../domain/drop-off.js'
import type { Finding } from '../domain/recipe.js'
import type { Db } from '../store/db.js'
import type { BundleIn, LotIn } from '../store/drop-off.js'
import { findLot } from '../store/lots.js'
import { lotCameIn } from './drop-off-came.js'
import type { LotForm, Reading } from './drop-off-fields.js'
import { NO_SWATCH } from './drop-off-rows.js'
import { atField, errorsIn, type FieldError, Unfit } from './kit/form.js'

type TypedBundle = LotForm['bundles'][number]

const bundleIn = (bundle: TypedBundle): BundleIn => ({
  tiesIn: bundle.ties.count,
  dryWeightG: bundle.weight.grams,
  weightTyped: bundle.weight.typed,
  thicknessMm: bundle.thickness?.millimetres ?? null,
  thicknessTyped: bundle.thickness?.typed ?? '',
  condition: bundle.condition,
  howTied: bundle.howTied,
})

type Weighed = Pick<LotIn, 'bundles' | 'damp'>

/** Bundles that were weighed damp count by what they weigh dry; what was typed stays, with how damp they were. */
function dried(lot: LotForm, damp: Damp, l: number, { catalogue, dryBasis }: Reading): Weighed {
  const fibre = catalogue.fibres.find(({ id }) => id === lot.fibreId) ?? { name: lot.fibreId, regainPercent: null }
  const dry = (grams: number): Dried => dryOut(grams, damp, dryBasis, fibre)
  const bundles = lot.bundles.map(bundle => ({
    ...bundleIn(bundle),
    dryWeightG: dry(bundle.weight.grams).dryWeightG,
    weightTyped: dampWeightWords(bundle.weight.typed, damp),
  }))
  refuseTooHeavy(bundles, l)
  const dampG = lot.bundles.reduce((sum, { weight }) => sum + weight.grams, 0)
  return { bundles, damp: atField(`lots.${l}.line`, () => dry(dampG)) }
}

/** Fibre from very dry air weighs more once it holds its regain. */
function refuseTooHeavy(bundles: readonly BundleIn[], l: number): void {
  const mostG = BUNDLE_LIMITS.dryWeightG.max
  const sentence = `Reckoned dry that is more than ${mostG / 1000} kg, which no bundle is. Check its weight, and how damp it was.`
  const errors = bundles.flatMap(({ dryWeightG }, b): FieldError[] =>
    dryWeightG > mostG ? [{ field: `lots.${l}.bundles.${b}.weight`, sentence }] : [],
  )
  if (errors.length > 0) throw new Unfit(errors)
}

function weighed(lot: LotForm, l: number, reading: Reading): Weighed {
  if (lot.damp === null) return { bundles: lot.bundles.map(bundleIn), damp: null }
  try {
    return dried(lot, lot.damp, l, reading)
  } catch (fault) {
    throw new Unfit(errorsIn(fault))
  }
}

async function repeatedLot(db: Db, lot: LotForm): Promise<number | null> {
  if (lot.repeatsLotId === null) return null
  const before = await findLot(db, lot.repeatsLotId)
  if (!before) throw new Unfit([{ field: '', sentence: 'The lot that is to be repeated is not known here.' }])
  return isRepeat({ fibreId: lot.fibreId, dyeId: lot.dyeId.id }, before) ? before.id : null
}

/** The lot in row `l` of the form; throws `Unfit` when its weights cannot be reckoned dry. */
export async function lotIn(
  db: Db,
  lot: LotForm,
  l: number,
  { findings, usual, reading }: { findings: Finding[]; usual: Tying; reading: Reading },
): Promise<LotIn> {
  return {
    fibreId: lot.fibreId,
    colour: lot.colour,
    swatch: lot.noSwatch || lot.swatch === NO_SWATCH ? null : lot.swatch,
    route: lot.dyeId.route,
    dyeId: lot.dyeId.id,
    tiesUndyed: lot.tiesUndyed,
    conditions: lot.conditions,
    purposes: lot.purposes,
    came: lotCameIn(lot, usual),
    against: asksWhy(findings) ? lot.against : '',
    repeatsLotId: await repeatedLot(db, lot),
    ...weighed(lot, l, reading),
  }
}
