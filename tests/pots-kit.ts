/** A lot with a kept recipe and some pots: what every test at the pot starts from. */

import type { RecipeJob } from '../src/domain/recipe.js'
import { reckon } from '../src/domain/reckon.js'
import { JOB_DEFAULTS } from '../src/domain/reckon-job.js'
import { readCatalogue } from '../src/store/catalogue.js'
import type { Client } from '../src/store/clients.js'
import type { By, Db, Trx } from '../src/store/db.js'
import { inOneStep } from '../src/store/db.js'
import { takeIn } from '../src/store/drop-off.js'
import { lotsOfCommission } from '../src/store/lots.js'
import { addPot } from '../src/store/pots.js'
import { keepRecipe } from '../src/store/recipes.js'

export const ilse: Client = {
  name: 'Ilse Marram',
  mark: 'IM',
  contact: 'the net loft',
  settles: 'trade',
  wishes: 'Never hang it by the thin ends.',
  photographs: 'no',
  note: '',
}

export type LotAsk = { bundles?: number; ties?: number; dryWeightG?: number; neededBy?: string }

/** Takes in one lot of alike bundles, red bark in black bottled dye, and answers its number. */
export async function takeInLot(db: Db, by: By, ask: LotAsk = {}): Promise<number> {
  const { bundles = 4, ties = 3, dryWeightG = 150, neededBy = '2026-03-20' } = ask
  const bundle = {
    tiesIn: ties,
    dryWeightG,
    weightTyped: `${dryWeightG} g`,
    thicknessMm: 0.8,
    thicknessTyped: '0.8 mm',
    condition: 'clean',
    howTied: 'thick end first',
  }
  const lot = {
    fibreId: 'red-cedar-inner-bark',
    colour: 'true black',
    swatch: '#2a2523',
    route: 'label' as const,
    dyeId: 'all-purpose-bottled',
    tiesUndyed: true,
    against: '',
    repeatsLotId: null,
    bundles: Array.from({ length: bundles }, () => bundle),
  }
  const dropOff = { client: ilse, purpose: 'hat class', neededBy, arrangement: 'trade' as const, note: '', lots: [lot] }
  const commissionId = await inOneStep(db, trx => takeIn(trx, by, dropOff))
  const [taken] = await lotsOfCommission(db, commissionId)
  if (!taken) throw new Error('no lot was taken in')
  return taken.id
}

export const jobOf = (dryWeightG: number, more: Partial<RecipeJob> = {}): RecipeJob => ({
  ...JOB_DEFAULTS,
  fibreId: 'red-cedar-inner-bark',
  dryWeightG,
  route: 'label',
  dyes: [{ substanceId: 'all-purpose-bottled', share: 1, owfPercent: null }],
  liquorRatioLPerKg: 20,
  ...more,
})

/** Keeps the recipe of a lot at 20 litres for each kilogram. */
export async function keep(db: Db, by: By, lotId: number, job: RecipeJob): Promise<number> {
  const catalogue = await readCatalogue(db)
  return inOneStep(db, trx => keepRecipe(trx, by, lotId, reckon(job, catalogue)))
}

/** A lot of alike bundles with its recipe kept. */
export async function lotReady(db: Db, by: By, ask: LotAsk = {}, more: Partial<RecipeJob> = {}): Promise<number> {
  const lotId = await takeInLot(db, by, ask)
  await keep(db, by, lotId, jobOf((ask.bundles ?? 4) * (ask.dryWeightG ?? 150), more))
  return lotId
}

export const potOf = (name: string, litres: number) => ({
  name,
  usableMl: litres * 1000,
  usableTyped: `${litres} L`,
  metal: 'stainless steel',
  note: '',
  outOfUse: false,
})

/** Pot 1 of 15 L, Pot 2 of 9 L, Pot 3 of 6 L: their numbers. */
export async function threePots(db: Db, by: By): Promise<[number, number, number]> {
  const add = (name: string, litres: number) => inOneStep(db, trx => addPot(trx, by, potOf(name, litres)))
  return [await add('Pot 1', 15), await add('Pot 2', 9), await add('Pot 3', 6)]
}

/** Runs one action in its own transaction, as a form would. */
export const act = <T>(db: Db, action: (trx: Trx) => Promise<T>): Promise<T> => inOneStep(db, action)
