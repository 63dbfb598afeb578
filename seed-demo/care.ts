/** What went wrong and was told, what a wet cloth showed, and a client who has a page of their own. */
import { openClientPage } from '../src/store/client-page.js'
import { inOneStep } from '../src/store/db.js'
import { addWord, closeIncident, openIncident } from '../src/store/incidents.js'
import { noteWetCloth } from '../src/store/wet-cloths.js'
import type { Who } from './cast.js'
import { DAY, type Doing, HOUR } from './doing.js'

export async function tellCare(doing: Doing, ids: Record<Who, number>, now: number): Promise<void> {
  await inOneStep(doing.db, trx => openClientPage(trx, doing.by(now - 30 * DAY), ids.guild))
  const ready = await lotAt(doing, 'ready shelf')
  const cloth = { grade: '4-5' as const, why: '', words: 'a breath of plum at the fine ends' }
  await inOneStep(doing.db, trx => noteWetCloth(trx, doing.by(now - 2 * DAY), ready, cloth))
  await aTornStrip(doing, await lotAt(doing, 'drying line'), now - 5 * HOUR)
  await aFindThatIsSettled(doing, await lotAt(doing, 'arrivals shelf'), now - 4 * HOUR)
}

async function lotAt({ db }: Doing, place: 'ready shelf' | 'drying line' | 'arrivals shelf'): Promise<number> {
  const { lot_id } = await db
    .selectFrom('bundle')
    .select('lot_id')
    .where('place', '=', place)
    .orderBy('id')
    .limit(1)
    .executeTakeFirstOrThrow()
  return lot_id
}

async function firstBundle({ db }: Doing, lotId: number): Promise<number> {
  const { id } = await db
    .selectFrom('bundle')
    .select('id')
    .where('lot_id', '=', lotId)
    .where('n', '=', 1)
    .executeTakeFirstOrThrow()
  return id
}

/** Told at once, and open until the client has looked at it. */
async function aTornStrip(doing: Doing, lotId: number, at: number): Promise<void> {
  const bundleIds = [await firstBundle(doing, lotId)]
  const whatHappened = 'One strip caught on the rail of the line and tore a hand from its end.'
  await inOneStep(doing.db, async trx => {
    const id = await openIncident(trx, doing.by(at), { lotId, kind: 'strip torn', bundleIds, whatHappened })
    const words = 'She wants to see it before it is trimmed.'
    await addWord(trx, doing.by(at + HOUR / 2), id, { kind: 'client told', how: 'by telephone', words })
  })
}

async function aFindThatIsSettled(doing: Doing, lotId: number, at: number): Promise<void> {
  const bundleIds = [await firstBundle(doing, lotId)]
  const whatHappened = 'A stem of another plant was tied up with it.'
  await inOneStep(doing.db, async trx => {
    const id = await openIncident(trx, doing.by(at), { lotId, kind: 'otherwise', bundleIds, whatHappened })
    await addWord(trx, doing.by(at + HOUR / 4), id, { kind: 'client told', how: 'at the table', words: '' })
    await closeIncident(trx, doing.by(at + HOUR / 4), id, 1, 'It was taken out and given back.')
  })
}
