import { readdirSync, readFileSync } from 'node:fs'
import { join } from 'node:path'
import type { Database } from 'better-sqlite3'
import { Refusal } from '../domain/refusal.js'
import { projectRoot } from '../root.js'

type Migration = { n: number; sql: string }

const folder = join(projectRoot, 'migrations')

export const readMigrations = (): Migration[] =>
  readdirSync(folder)
    .filter(name => /^\d{3}-.+\.sql$/.test(name))
    .sort()
    .map(name => ({ n: Number(name.slice(0, 3)), sql: readFileSync(join(folder, name), 'utf8') }))

export const schemaOf = (raw: Database): number => Number(raw.pragma('user_version', { simple: true }))

/**
 * Brings the file to this program's schema, the whole way or not at all: one transaction is also much the quickest.
 * A file from a newer program is refused: half-understood records are worse than none.
 */
export function migrate(raw: Database): { from: number; to: number } {
  const migrations = readMigrations()
  const from = schemaOf(raw)
  const newest = migrations.at(-1)?.n ?? 0
  if (from > newest) {
    throw new Refusal(
      'not-now',
      `This data folder was written by a newer Tie for Tie (schema ${from}; this program knows ${newest}). Start the newer program, or restore a backup made before the upgrade.`,
    )
  }
  // Some change the words of a CHECK where they stand, which the library else forbids.
  raw.unsafeMode(true)
  try {
    raw.transaction(() => {
      for (const { n, sql } of migrations.filter(m => m.n > from)) {
        raw.exec(sql)
        raw.pragma(`user_version = ${n}`)
      }
      const broken = raw.pragma('foreign_key_check') as unknown[]
      if (broken.length > 0) throw new Error(`the migrations leave ${broken.length} broken references`)
    })()
  } finally {
    raw.unsafeMode(false)
  }
  return { from, to: schemaOf(raw) }
}
