import { Refusal } from '../domain/refusal.js'
import type { By, Db, Trx } from './db.js'
import { difference } from './history.js'
import { ready } from './ready.js'
import type { WorkshopTable } from './schema.js'

export type Workshop = {
  name: string
  weightUnit: WorkshopTable['weight_unit']
  volumeUnit: WorkshopTable['volume_unit']
  timeZone: string
  dryBasis: WorkshopTable['dry_basis']
  scaleStepG: number
  slipPaper: WorkshopTable['slip_paper']
  slipWords: string
}

const columns = (workshop: Workshop) => ({
  name: workshop.name,
  weight_unit: workshop.weightUnit,
  volume_unit: workshop.volumeUnit,
  time_zone: workshop.timeZone,
  dry_basis: workshop.dryBasis,
  scale_step_g: workshop.scaleStepG,
  slip_paper: workshop.slipPaper,
  slip_words: workshop.slipWords,
})

const settings = ready(db => db.selectFrom('workshop').selectAll())

/** The settings in force; undefined before set-up. */
export async function findWorkshop(db: Db): Promise<(Workshop & { version: number }) | undefined> {
  const [row] = await settings(db)
  return (
    row && {
      name: row.name,
      weightUnit: row.weight_unit,
      volumeUnit: row.volume_unit,
      timeZone: row.time_zone,
      dryBasis: row.dry_basis,
      scaleStepG: row.scale_step_g,
      slipPaper: row.slip_paper,
      slipWords: row.slip_words,
      version: row.version,
    }
  )
}

export async function addWorkshop(db: Db, workshop: Workshop): Promise<void> {
  await db
    .insertInto('workshop')
    .values({ id: 1, ...columns(workshop) })
    .execute()
}

/** Saves other settings; what was changed stays in their history. Saved as they were, they add no line. */
export async function changeWorkshop(trx: Trx, by: By, workshop: Workshop, version: number): Promise<void> {
  const before = await findWorkshop(trx)
  if (before?.version !== version) {
    throw new Refusal('conflict', 'The settings were changed elsewhere while you were typing.')
  }
  const changed = difference<Workshop>(before, workshop)
  if (!changed) return
  await trx
    .updateTable('workshop')
    .set({ ...columns(workshop), version: version + 1 })
    .execute()
  const told = { was: JSON.stringify(changed.was), became: JSON.stringify(changed.became) }
  await trx
    .insertInto('workshop_change')
    .values({ at: by.at, worker_id: by.workerId, ...told })
    .execute()
}

export type WorkshopChange = { at: string; who: string; was: Partial<Workshop>; became: Partial<Workshop> }

/** What was changed in the settings, the newest first. */
export async function workshopChanges(db: Db): Promise<WorkshopChange[]> {
  const rows = await db
    .selectFrom('workshop_change')
    .innerJoin('worker', 'worker.id', 'workshop_change.worker_id')
    .select(['workshop_change.at', 'worker.name as who', 'was', 'became'])
    .orderBy('workshop_change.id', 'desc')
    .execute()
  return rows.map(({ was, became, ...row }) => ({ ...row, was: JSON.parse(was), became: JSON.parse(became) }))
}
