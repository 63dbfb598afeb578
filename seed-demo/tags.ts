/** Tags in the demo: printed for what is in hand, but for the newest commission; one was lost at the soak tub. */

import { commissionsInHand } from '../src/store/commissions.js'
import { inOneStep } from '../src/store/db.js'
import { printTags, tagsOfCommission } from '../src/store/print-tags.js'
import { replaceTag } from '../src/store/replace-tag.js'
import { type Doing, HOUR, iso } from './doing.js'

export async function tellTags({ db, workerId }: Doing, now: number): Promise<void> {
  const inHand = await commissionsInHand(db)
  const newest = Math.max(...inHand.map(({ id }) => id))
  for (const { id, takenInAt } of inHand.filter(({ id }) => id !== newest)) {
    const bundleIds = (await tagsOfCommission(db, id)).map(({ bundleId }) => bundleId)
    const by = { workerId, at: iso(Date.parse(takenInAt) + HOUR / 4) }
    await inOneStep(db, trx => printTags(trx, by, { commissionId: id, bundleIds, how: 'printed' }))
  }
  const [oldest] = inHand.filter(({ id }) => id !== newest)
  const [bundle] = oldest ? await tagsOfCommission(db, oldest.id) : []
  if (!bundle) return
  const lost = { bundleId: bundle.bundleId, code: bundle.code, why: 'lost: its string came undone at the soak tub' }
  await inOneStep(db, trx => replaceTag(trx, { workerId, at: iso(now - HOUR) }, lost))
}
