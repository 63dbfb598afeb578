/** `npm run demo`: a throw-away copy of the invented workshop, gone when it stops. */
import { mkdtempSync, rmSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { buildApp } from '../src/app.js'
import { DATABASE_NAME } from '../src/store/backup.js'
import { openDb } from '../src/store/db.js'
import { hashPassphrase } from '../src/store/sign-in.js'
import { readConfig } from '../src/web/kit/config.js'
import { seed } from './seed.js'

const PASSPHRASE = 'rush willow nettle lime'

const config = readConfig({ ...process.env, TIE_DATA: mkdtempSync(join(tmpdir(), 'tie-for-tie-demo-')) })
const { db, close } = openDb(join(config.dataFolder, DATABASE_NAME))
await seed(db, await hashPassphrase(PASSPHRASE), Date.now(), config.dataFolder)
const app = buildApp({ db, config, now: () => new Date(), log: true })
const address = await app.listen({ host: config.host, port: config.port }).catch((fault: NodeJS.ErrnoException) => {
  console.error(
    fault.code === 'EADDRINUSE' ? 'That port is taken. Choose another with PORT=4701 npm run demo.' : fault.message,
  )
  process.exit(1)
})
console.log(
  `The demo workshop is at ${address}\nIts passphrase is:  ${PASSPHRASE}\nEverything in it is invented; it is gone when you stop it (Ctrl+C).`,
)

const stop = async () => {
  await app.close()
  await close()
  rmSync(config.dataFolder, { recursive: true, force: true })
  process.exit(0)
}
process.once('SIGTERM', stop)
process.once('SIGINT', stop)
