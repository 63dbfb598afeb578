import { Refusal } from '../domain/refusal.js'
import type { Db } from './db.js'
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

export async function changeWorkshop(db: Db, workshop: Workshop, version: number): Promise<void> {
  const { numUpdatedRows } = await db
    .updateTable('workshop')
    .set({ ...columns(workshop), version: version + 1 })
    .where('version', '=', version)
    .executeTakeFirst()
  if (numUpdatedRows === 0n) throw new Refusal('conflict', 'The settings were changed elsewhere while you were typing.')
}
