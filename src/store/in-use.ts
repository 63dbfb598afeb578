/**
 * One server for each data folder. The system lets go of this lock when the process ends, however it ends; a lock that
 * is a mere file would still lie there after a power cut. The records themselves stay open to others: a backup, a check
 * and a restore do their own asking.
 */
import { chmodSync, mkdirSync } from 'node:fs'
import { join } from 'node:path'
import BetterSqlite3 from 'better-sqlite3'
import { Refusal } from '../domain/refusal.js'

export const LOCK_NAME = 'served.lock'

/** Holds the data folder for this process; answers how to let go of it. Refused while another server has it. */
export function holdDataFolder(dataFolder: string): () => void {
  mkdirSync(dataFolder, { recursive: true, mode: 0o700 })
  const file = join(dataFolder, LOCK_NAME)
  const lock = new BetterSqlite3(file, { timeout: 0 })
  try {
    lock.exec('begin exclusive')
    chmodSync(file, 0o600)
  } catch (fault) {
    lock.close()
    if (!(fault instanceof BetterSqlite3.SqliteError) || !fault.code.startsWith('SQLITE_BUSY')) throw fault
    throw new Refusal(
      'conflict',
      `Another Tie for Tie serves the records in ${dataFolder} already. Use that one, stop it first, or set TIE_DATA to another folder.`,
    )
  }
  return () => lock.close()
}
