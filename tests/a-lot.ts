/** A lot on the arrivals shelf, for tests that begin after the drop-off. */
import { inOneStep } from '../src/store/db.js'
import { type BundleIn, type LotIn, takeIn } from '../src/store/drop-off.js'
import type { testApp } from './helper.js'

type Site = Pick<Awaited<ReturnType<typeof testApp>>, 'db' | 'by'>

export const bundle = (dryWeightG: number, tiesIn = 3): BundleIn => ({
  tiesIn,
  dryWeightG,
  weightTyped: `${dryWeightG} g`,
  thicknessMm: 0.8,
  thicknessTyped: '0.8 mm',
  condition: '',
  howTied: '',
})

const weldOnFlax: LotIn = {
  fibreId: 'flax',
  colour: 'straw yellow',
  swatch: '#d8c060',
  route: 'plant',
  dyeId: 'weld',
  tiesUndyed: false,
  against: '',
  repeatsLotId: null,
  bundles: [bundle(500), bundle(300), bundle(200)],
}

/** Takes one lot in and answers its number: a kilogram of flax for weld, unless told otherwise. */
export async function takeInLot({ db, by }: Site, lot: Partial<LotIn> = {}): Promise<number> {
  const client = {
    name: 'Ilka Fenn',
    mark: 'IF',
    contact: 'the mill',
    settles: 'paid',
    wishes: 'not near the dog',
    photographs: 'no',
    note: '',
  } as const
  await inOneStep(db, trx =>
    takeIn(trx, by, {
      client,
      purpose: 'chair seats',
      neededBy: '2026-04-01',
      arrangement: 'paid',
      note: '',
      lots: [{ ...weldOnFlax, ...lot }],
    }),
  )
  const { id } = await db.selectFrom('lot').select('id').orderBy('id', 'desc').limit(1).executeTakeFirstOrThrow()
  return id
}
