import { join } from 'node:path'
import { firstCatalogue } from '../../src/domain/first-catalogue/index.js'
import { fillCatalogue } from '../../src/store/catalogue.js'
import { openDb } from '../../src/store/db.js'
import { addWorker, beginSession } from '../../src/store/sign-in.js'
import { addWorkshop } from '../../src/store/workshop.js'
import { generate } from './generate.js'
import { samples } from './samples.js'

const NOW = '2026-03-02T09:00:00.000Z'

/** `lot` is the number of one that has gone back. */
export type Generated = { file: string; cookie: string; lot: number }

/** Writes a workshop of so many lots into a folder, and signs in to it. */
export async function makeWorkshop(folder: string, lots: number): Promise<Generated> {
  const file = join(folder, `${lots}.sqlite`)
  const { raw, db, close } = openDb(file)
  await fillCatalogue(db, firstCatalogue, NOW)
  await addWorkshop(db, {
    name: 'Bench',
    weightUnit: 'metric',
    volumeUnit: 'metric',
    timeZone: 'UTC',
    dryBasis: 'conditioned',
    scaleStepG: 1,
    slipPaper: 'A5',
    slipWords: '',
  })
  const workerId = await addWorker(db, 'Bench', 'none', NOW)
  generate(raw, lots, samples(), workerId)
  const cookie = `tie=${await beginSession(db, workerId, NOW)}`
  await close()
  return { file, cookie, lot: lots - 60 }
}
