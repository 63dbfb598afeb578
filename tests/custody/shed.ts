/** A workshop with a client, two workers and four pots, made once and copied for each history. */
import BetterSqlite3 from 'better-sqlite3'
import { firstCatalogue } from '../../src/domain/first-catalogue/index.js'
import { fillCatalogue } from '../../src/store/catalogue.js'
import { linkOlderRecords } from '../../src/store/chain.js'
import { addClient } from '../../src/store/clients.js'
import { type Db, kyselyOn, prepare } from '../../src/store/db.js'
import { addPot } from '../../src/store/pots.js'
import { addWorker } from '../../src/store/sign-in.js'
import { addWorkshop, type Workshop } from '../../src/store/workshop.js'
import { START } from '../helper.js'
import { openMemory } from '../memory.js'
import { ilse, potOf } from '../pots-kit.js'
import { CLIENTS } from './actions.js'

export const minutesLater = (minutes: number): string => new Date(Date.parse(START) + minutes * 60_000).toISOString()

export const settings: Workshop = {
  name: 'The Weir Shed',
  weightUnit: 'metric',
  volumeUnit: 'metric',
  timeZone: 'Europe/Lisbon',
  dryBasis: 'conditioned',
  scaleStepG: 1,
  slipPaper: 'A5',
  slipWords: '',
}

async function furnished(): Promise<Buffer> {
  const { db, raw, close } = openMemory()
  await fillCatalogue(db, firstCatalogue, START)
  await addWorkshop(db, settings)
  const by = { workerId: await addWorker(db, 'Wren', 'not a hash', START), at: START }
  await addWorker(db, 'Linnet', 'not a hash', START)
  await addClient(db, by, ilse)
  await addPot(db, by, potOf('Pot 1', 500))
  await addPot(db, by, potOf('Pot 2', 500))
  await addPot(db, by, potOf('Tiny pot', 0.2))
  await addPot(db, by, { ...potOf('Old pot', 500), outOfUse: true })
  await linkOlderRecords(db)
  const copy = raw.serialize()
  await close()
  return copy
}

/** Two more clients: the fibre of the first two may share a bath, that of the third never does. */
export async function withNeighbours<S extends { db: Db }>(shed: S): Promise<S> {
  const by = { workerId: 1, at: START }
  await shed.db.updateTable('client').set({ shares_bath: 'may' }).where('id', '=', 1).execute()
  for (const [id, sharesBath] of [
    [2, 'may'],
    [3, 'never'],
  ] as const)
    await addClient(shed.db, by, { ...ilse, name: CLIENTS[id] ?? '', mark: '', sharesBath })
  return shed
}

let first: Promise<Buffer> | undefined

/** Another workshop like it, in memory. */
export async function anotherShed() {
  first ??= furnished()
  const raw = prepare(new BetterSqlite3(await first))
  return { raw, db: kyselyOn(raw) }
}
