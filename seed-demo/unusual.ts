/** What is not of every day, each on a commission that says what it is here to show: invented like all the rest. */
import { type Damp, dampWeightWords, dryOut } from '../src/domain/damp.js'
import { readCatalogue } from '../src/store/catalogue.js'
import { inOneStep } from '../src/store/db.js'
import { type LotIn, takeIn } from '../src/store/drop-off.js'
import { lotsOfCommission } from '../src/store/lots.js'
import { putRight } from '../src/store/put-right.js'
import type { Who } from './cast.js'
import { alike, DAY, type Doing, HOUR, iso } from './doing.js'

export async function tellTheUnusual(doing: Doing, ids: Record<Who, number>, now: number): Promise<void> {
  const bring = (at: number, who: Who, purpose: string, note: string, lot: LotIn) =>
    inOneStep(doing.db, trx =>
      takeIn(trx, doing.by(at), {
        client: { id: ids[who] },
        purpose,
        neededBy: iso(at + 14 * DAY).slice(0, 10),
        arrangement: 'paid',
        note,
        lots: [lot],
      }),
    )
  const weighedDamp = 'Invented for this demo, to show fibre that was weighed damp.'
  await bring(now - 26 * HOUR, 'tarn', 'rope for the ferry', weighedDamp, await dampJute(doing))
  const used = 'Invented for this demo, to show a lot with something unusual about it.'
  await bring(now - 7 * HOUR, 'quill', 'a fish bag', used, waxyRush)
  const mistyped = 'Invented for this demo, to show what was written down wrongly and put right.'
  await putOneRight(
    doing,
    await bring(now - 6 * HOUR, 'guild', 'the second creel', mistyped, creelRush),
    now - 5 * HOUR,
  )
}

const everyday = { swatch: null, tiesUndyed: false, against: '', repeatsLotId: null }

/** Four bundles from a damp shed, each weighed as it came. */
async function dampJute(doing: Doing): Promise<LotIn> {
  const { fibres } = await readCatalogue(doing.db)
  const jute = fibres.find(({ id }) => id === 'jute')
  if (!jute) throw new Error('the catalogue has no jute')
  const damp: Damp = { how: 'moisture', percent: 22, of: 'oven-dry weight' }
  const dried = (grams: number) => dryOut(grams, damp, 'conditioned', jute)
  const [count, dampG] = [4, 244]
  const bundles = alike(count, 3, dried(dampG).dryWeightG, 0.4, 'damp to the hand').map(bundle => ({
    ...bundle,
    weightTyped: dampWeightWords(`${dampG} g`, damp),
  }))
  const asked = { fibreId: 'jute', colour: 'straw', route: 'plant' as const, dyeId: 'weld' }
  return { ...everyday, ...asked, damp: dried(count * dampG), bundles }
}

const creelRush: LotIn = {
  ...everyday,
  fibreId: 'soft-rush',
  colour: 'slate',
  swatch: '#59636b',
  route: 'label',
  dyeId: 'all-purpose-bottled',
  against: 'A pale face is welcome.',
  bundles: alike(3, 2, 150, 3, ''),
}

/** 150 g were 510 g, one bundle had a tie more, and a fourth one lay under the table. */
async function putOneRight(doing: Doing, commissionId: number, at: number): Promise<void> {
  const [lot] = await lotsOfCommission(doing.db, commissionId)
  if (!lot) throw new Error('the creel has no lot')
  const bundles = new Map([
    [1, { dryWeightG: 510, weightTyped: '510 g' }],
    [3, { tiesIn: 3 }],
  ])
  const why = '150 was typed for 510, and all were counted again with her at the table'
  await inOneStep(doing.db, trx =>
    putRight(trx, doing.by(at), {
      ...{ lotId: lot.id, version: lot.version, why, bundles, withdrawn: [] },
      overlooked: alike(1, 2, 140, 3, ''),
    }),
  )
}

const waxyRush: LotIn = {
  ...everyday,
  fibreId: 'soft-rush',
  colour: 'harbour blue',
  swatch: '#2f4f6f',
  route: 'label',
  dyeId: 'all-purpose-bottled',
  against: 'It is scoured first, and a pale face is welcome.',
  conditions: ['dirty or waxy', 'split after dyeing'],
  purposes: ['wet use'],
  bundles: alike(3, 2, 160, 3, 'mud on the thick ends'),
}
