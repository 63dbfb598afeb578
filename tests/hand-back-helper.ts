/** A commission whose lots stand on the ready shelf, as a finished load leaves them, and forms for its hand-back. */
import type { Database } from 'better-sqlite3'
import type { By, Db } from '../src/store/db.js'
import { inOneStep } from '../src/store/db.js'
import { type BundleIn, type LotIn, takeIn } from '../src/store/drop-off.js'

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
