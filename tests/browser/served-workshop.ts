/** A workshop before its first day: the real server on a port of its own, records in a file, and a clock to be moved. */
import { mkdtempSync, rmSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { buildApp } from '../../src/app.js'
import { firstCatalogue } from '../../src/domain/first-catalogue/index.js'
import { DATABASE_NAME } from '../../src/store/backup.js'
import { fillCatalogue } from '../../src/store/catalogue.js'
import { inOneStep, openDb } from '../../src/store/db.js'
import { readConfig } from '../../src/web/kit/config.js'
import { newSetUpCode } from '../../src/web/sign-in.js'

export type ServedWorkshop = Awaited<ReturnType<typeof serveWorkshop>>

export async function serveWorkshop(firstMorning: string) {
  const folder = mkdtempSync(join(tmpdir(), 'tie-for-tie-'))
  const { db, raw, close } = openDb(join(folder, DATABASE_NAME))
  const setUpCode = newSetUpCode()
  let now = Date.parse(firstMorning)
  await inOneStep(db, trx => fillCatalogue(trx, firstCatalogue, firstMorning))
  const app = buildApp({ db, config: readConfig({ TIE_DATA: folder }), now: () => new Date(now), setUpCode })
  const address = await app.listen({ host: '127.0.0.1', port: 0 })
  return {
    address,
    setUpCode,
    /** Time goes by; never backwards. */
    pass: (minutes: number) => {
      now += minutes * 60_000
    },
    /** Rows straight from the records, past every page. */
    rows: <Row>(sql: string): Row[] => raw.prepare<[], Row>(sql).all(),
    stop: async () => {
      await app.close()
      await close()
      rmSync(folder, { recursive: true })
    },
  }
}
