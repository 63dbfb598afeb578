/** That the pictures beside the database and the rows in it agree: what is left over goes, what is wrong is named. */
import { existsSync } from 'node:fs'
import { type Db, inOneStep, type Trx } from './db.js'
import { clearIncoming, filesIn, hashOfFile, pathOf, takeAway } from './photograph-folder.js'

/**
 * No other program writes photographs while this one holds the lock: an update of no row takes it. A picture gets its
 * place inside a transaction that writes, so none can be taken away between that and its row.
 */
const holdTheLock = (trx: Trx) =>
  trx.updateTable('photograph_setting').set({ version: 0 }).where('id', '=', 0).execute()

async function keptHashes(db: Db): Promise<Set<string>> {
  const rows = await db.selectFrom('photograph').select('hash').distinct().where('withdrawn_at', 'is', null).execute()
  return new Set(rows.map(({ hash }) => hash))
}

/** Takes away these pictures unless a photograph that is kept still needs them. */
export function takeAwayUnused(db: Db, folder: string, hashes: readonly string[]): Promise<number> {
  return inOneStep(db, async trx => {
    await holdTheLock(trx)
    const kept = await keptHashes(trx)
    const unused = hashes.filter(hash => !kept.has(hash))
    for (const hash of unused) takeAway(folder, hash)
    return unused.length
  })
}

/** At start: what a stopped program left half done, and pictures that no row needs. Answers how many of these went. */
export async function sweepOrphans(db: Db, folder: string): Promise<number> {
  if (!existsSync(folder)) return 0
  clearIncoming(folder)
  return takeAwayUnused(db, folder, filesIn(folder).hashes)
}

export type PhotographTrouble = {
  /** Kept photographs whose picture is not there, or is not the one that was kept; with the lots they show. */
  missing: { hash: string; lotIds: number[] }[]
  changed: { hash: string; lotIds: number[] }[]
  /** Names of files that no kept photograph needs. */
  orphans: string[]
}

/** Holds every picture against its hash. Only reads. */
export async function checkPhotographs(db: Db, folder: string): Promise<PhotographTrouble> {
  const rows = await db
    .selectFrom('photograph')
    .select(({ ref, fn }) => ['hash', fn<string>('json_group_array', [ref('lot_id')]).as('lots')])
    .where('withdrawn_at', 'is', null)
    .groupBy('hash')
    .orderBy('hash')
    .execute()
  const { hashes, others } = filesIn(folder)
  const there = new Set(hashes)
  const trouble: PhotographTrouble = { missing: [], changed: [], orphans: others }
  for (const { hash, lots } of rows) {
    const named = { hash, lotIds: [...new Set(JSON.parse(lots) as number[])] }
    if (!there.delete(hash)) trouble.missing.push(named)
    else if ((await hashOfFile(pathOf(folder, hash))) !== hash) trouble.changed.push(named)
  }
  trouble.orphans.push(...[...there].map(hash => `${hash}.jpg`))
  return trouble
}

/** The same in sentences, for people. */
export function sayPhotographTrouble({ missing, changed, orphans }: PhotographTrouble): string[] {
  const ofLots = (lotIds: number[]) => `${lotIds.length === 1 ? 'lot' : 'lots'} ${lotIds.join(', ')}`
  return [
    ...missing.map(({ hash, lotIds }) => `The photograph ${hash.slice(0, 12)} of ${ofLots(lotIds)} is missing.`),
    ...changed.map(
      ({ hash, lotIds }) => `The photograph ${hash.slice(0, 12)} of ${ofLots(lotIds)} was changed from outside.`,
    ),
    ...orphans.map(name => `The file photographs/${name} belongs to no photograph.`),
  ]
}
