/** A commission whose lots stand on the ready shelf, as a finished load leaves them, and forms for its hand-back. */
import type { Database } from 'better-sqlite3'
import type { By, Db } from '../src/store/db.js'
import { inOneStep } from '../src/store/db.js'
import { type BundleIn, type LotIn, takeIn } from '../src/store/drop-off.js'
import { keepRecipe } from '../src/store/recipes.js'

export const aBundle: BundleIn = {
  tiesIn: 3,
  dryWeightG: 150,
  weightTyped: '150 g',
  thicknessMm: 0.8,
  thicknessTyped: '0.8 mm',
  condition: 'as expected',
  howTied: 'thick end first, three knots',
}

export const aLot = (bundles: BundleIn[], more: Partial<LotIn> = {}): LotIn => ({
  fibreId: 'red-cedar-inner-bark',
  colour: 'barn red',
  swatch: '#8c2f26',
  route: 'plant',
  dyeId: 'cochineal',
  tiesUndyed: true,
  against: '',
  repeatsLotId: null,
  bundles,
  ...more,
})

export const alike = (count: number, more: Partial<BundleIn> = {}): BundleIn[] =>
  Array.from({ length: count }, () => ({ ...aBundle, ...more }))

/** One client's commission with these lots, on the arrivals shelf; answers its number. */
export const bring = (db: Db, by: By, lots: LotIn[], client: { name?: string; wishes?: string } = {}) =>
  inOneStep(db, trx =>
    takeIn(trx, by, {
      client: {
        name: client.name ?? 'Marta Quill',
        mark: 'MQ',
        contact: 'letter box 4',
        settles: 'trade',
        wishes: client.wishes ?? 'keep it out of the sun',
        photographs: 'no',
        note: '',
      },
      purpose: 'chair seats',
      neededBy: '2026-04-01',
      arrangement: 'trade',
      note: '',
      lots,
    }),
  )

/** Puts all bundles of a lot on the ready shelf, the way a load leaves them. */
export const makeReady = (raw: Database, lotId: number): void => {
  raw
    .prepare(
      `insert into move (bundle_id, from_place, to_place, at, worker_id, why)
        select id, place, 'ready shelf', '2026-03-02T09:00:00.000Z', 1, '' from bundle where lot_id = ?`,
    )
    .run(lotId)
  raw.prepare("update bundle set place = 'ready shelf' where lot_id = ?").run(lotId)
}

/** What the checklist's form sends for rows in which everything is as it came. */
export function rowsTicked(lots: { lot: number; bundles: number; ties?: number }[]): Record<string, string> {
  const fields: Record<string, string> = {}
  for (const { lot, bundles, ties = 3 } of lots) {
    fields[`lots.${lot}.goes`] = 'yes'
    for (let n = 0; n < bundles; n += 1) Object.assign(fields, rowTicked(`lots.${lot}.bundles.${n}`, ties))
  }
  return fields
}

const rowTicked = (row: string, ties: number): Record<string, string> => ({
  [`${row}.tiedAgain`]: 'yes',
  [`${row}.tiesBack`]: String(ties),
  [`${row}.tiesReplaced`]: '0',
  [`${row}.weight`]: '',
  [`${row}.condition`]: 'as it came',
  [`${row}.explanation`]: '',
})

const recipe = {
  job: { dryWeightG: 300 },
  dyeWords: 'cochineal on potassium alum',
  routeWords: 'plant or insect dye on a mordant',
  depthWords: 'medium',
  lines: [
    { key: 'mordant-1:alum', substanceId: 'potassium-alum', name: 'Potassium alum', amount: 45, unit: 'g' },
    { key: 'dye:cochineal', substanceId: 'cochineal', name: 'Cochineal', amount: 30, unit: 'g' },
  ],
}

/** Lot 1 lay in one pot, was rinsed until clear, and had vinegar added once and once by mistake. */
export async function dyeLotOne(db: Db, raw: Database, by: By): Promise<void> {
  const grams = Number(raw.prepare('select sum(dry_weight_g) from bundle where lot_id = 1').pluck().get())
  const suited = JSON.parse(JSON.stringify({ ...recipe, job: { dryWeightG: grams } }))
  const kept = await inOneStep(db, trx => keepRecipe(trx, by, 1, suited))
  const { at } = by
  raw.exec(`
    insert into pot (name, usable_ml, usable_typed, metal, note) values ('Pot 1', 20000, '20 L', 'steel', '');
    insert into load (pot_id, recipe_id, dry_weight_g, laid_at, laid_by, step_n, step_since, pot_free_at, done_at)
      values (1, ${kept}, 300, '${at}', 1, 1, '${at}', '${at}', '${at}');
    insert into load_lot (load_id, lot_id, recipe_id, dry_weight_g) values (1, 1, ${kept}, 300);
    insert into load_bundle (load_id, bundle_id) values (1, 1), (1, 2);
    insert into bath_log (load_id, at, entered_at, worker_id, kind, substance_id, amount, unit)
      values (1, '${at}', '${at}', 1, 'added', 'vinegar', 30, 'mL'), (1, '${at}', '${at}', 1, 'added', 'ferrous-sulfate', 3, 'g');
    insert into bath_log (load_id, at, entered_at, worker_id, kind, undoes) values (1, '${at}', '${at}', 1, 'undone', 2);
    insert into bath_log (load_id, at, entered_at, worker_id, kind, water)
      values (1, '${at}', '${at}', 1, 'rinsed', 'coloured'), (1, '${at}', '${at}', 1, 'rinsed', 'clear');`)
}

/** A page as it reads. */
export const plainText = (html: string) =>
  html
    .replace(/<svg.*?<\/svg>/gs, ' ')
    .replace(/<[^>]+>/g, ' ')
    .replace(/\s+/g, ' ')
