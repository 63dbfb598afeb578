import { firstCatalogue } from '../src/domain/first-catalogue/index.js'
import { changeDropOffDefaults } from '../src/store/arrivals.js'
import { fillCatalogue } from '../src/store/catalogue.js'
import { addClient } from '../src/store/clients.js'
import { type Db, inOneStep } from '../src/store/db.js'
import { addPot } from '../src/store/pots.js'
import { addWorker } from '../src/store/sign-in.js'
import { addWorkshop } from '../src/store/workshop.js'
import { tellCare } from './care.js'
import { clients, dropOffDefaults, pots, WORKER, workshop } from './cast.js'
import { DAY, Doing, HOUR, iso } from './doing.js'
import { tellOtherwise } from './otherwise.js'
import { tellThePast } from './past.js'
import { Camera } from './photographs.js'
import { tellPlaces } from './places.js'
import { tellTags } from './tags.js'
import { tellToday } from './today.js'
import { tellWorkingDays } from './working-days.js'

/**
 * Fills an empty database with the invented workshop as it stands at `now` (ms), and its data folder with photographs;
 * answers the worker's number.
 */
export async function seed(db: Db, passphraseHash: string, now: number, dataFolder: string): Promise<number> {
  const start = iso(now - 2 * 365 * DAY)
  await inOneStep(db, trx => fillCatalogue(trx, firstCatalogue, start))
  const timeZone = Intl.DateTimeFormat().resolvedOptions().timeZone
  await addWorkshop(db, { ...workshop, timeZone })
  const workerId = await addWorker(db, WORKER, passphraseHash, start)
  const by = { workerId, at: start }
  const number = async <K extends string, T>(cast: Readonly<Record<K, T>>, add: (one: T) => Promise<number>) => {
    const ids = {} as Record<K, number>
    for (const name of Object.keys(cast) as K[]) ids[name] = await add(cast[name])
    return ids
  }
  await inOneStep(db, trx => changeDropOffDefaults(trx, by, 1, dropOffDefaults))
  const clientIds = await number(clients, client => inOneStep(db, trx => addClient(trx, by, client)))
  const potIds = await number(pots, pot => inOneStep(db, trx => addPot(trx, by, pot)))

  const doing = new Doing(db, workerId)
  const past = await tellThePast(doing, clientIds, [potIds.trough, potIds.kettle], now)
  const camera = new Camera(db, dataFolder)
  doing.camera = camera
  await tellToday(doing, clientIds, potIds, past, now)
  await tellTags(doing, now)
  await tellCare(doing, clientIds, now)
  await tellPlaces(doing, now)
  await tellWorkingDays(doing, now)
  await tellOtherwise(doing, potIds, now)
  await camera.lookIntoThePots(doing.by(now - HOUR / 6))
  return workerId
}
