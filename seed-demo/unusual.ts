/** What is not of every day, each on a commission that says what it is here to show: invented like all the rest. */
import { type Damp, dampWeightWords, dryOut } from '../src/domain/damp.js'
import { readCatalogue } from '../src/store/catalogue.js'
import { inOneStep } from '../src/store/db.js'
import { type LotIn, takeIn } from '../src/store/drop-off.js'
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
