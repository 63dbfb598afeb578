/** Two spots on the shelves, and a shelf count of this morning that did not see one bundle: that is still to be answered. */
import { inOneStep } from '../src/store/db.js'
import { bundlesByPlace } from '../src/store/places.js'
import { beginShelfCount, endShelfCount, noteSeen } from '../src/store/shelf-counts.js'
import { addSpot, findSpot, putAtSpot } from '../src/store/spots.js'
import { DAY, type Doing, HOUR } from './doing.js'

export async function tellPlaces(doing: Doing, now: number): Promise<void> {
  const waiting = (await bundlesByPlace(doing.db)).filter(({ place }) => place === 'arrivals shelf')
  const [first] = waiting
  if (!first) return
  const lot = waiting.filter(({ lotId }) => lotId === first.lotId)
  await inOneStep(doing.db, async trx => {
    const board = await addSpot(trx, doing.by(now - 30 * DAY), { place: 'arrivals shelf', name: 'top board' })
    await addSpot(trx, doing.by(now - 30 * DAY), { place: 'ready shelf', name: 'by the door' })
    const ids = lot.map(({ bundleId }) => bundleId)
    await putAtSpot(trx, doing.by(now - 2 * HOUR), (await findSpot(trx, board)) ?? null, ids, {
      why: 'out of the draught',
    })
  })
  await inOneStep(doing.db, async trx => {
    const count = await beginShelfCount(trx, doing.by(now - HOUR), 'arrivals shelf', null)
    const unseen = lot.at(-1)?.bundleId
    const seen = waiting.map(({ bundleId }) => bundleId).filter(id => id !== unseen)
    await noteSeen(trx, doing.by(now - HOUR / 2), count, { seen, unseen: [] })
    await endShelfCount(trx, doing.by(now - HOUR / 3), count)
  })
}
