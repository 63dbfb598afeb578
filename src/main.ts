#!/usr/bin/env node
import { join } from 'node:path'
import { buildApp } from './app.js'
import { firstCatalogue } from './domain/first-catalogue/index.js'
import { Refusal } from './domain/refusal.js'
import { DATABASE_NAME } from './store/backup.js'
import { fillCatalogue } from './store/catalogue.js'
import { linkOlderRecords } from './store/chain.js'
import { inOneStep, openDb } from './store/db.js'
import { listErased } from './store/erase-client.js'
import { holdDataFolder } from './store/in-use.js'
import { sweepOrphans } from './store/photograph-care.js'
import { photographFolder } from './store/photograph-folder.js'
import { isSetUp } from './store/sign-in.js'
import { tagUntagged } from './store/tags.js'
import { readConfig } from './web/kit/config.js'
import { newSetUpCode } from './web/sign-in.js'

/** The process: settings, records, site; all of it undone again on a signal. */
async function serve(): Promise<void> {
  const config = readConfig(process.env)
  const letGo = holdDataFolder(config.dataFolder)
  const { db, close } = openDb(join(config.dataFolder, DATABASE_NAME))
  const older = await linkOlderRecords(db)
  if (older > 0) console.log(`${older} records from before are now linked to the chain of custody.`)
  await listErased(db, config.dataFolder)
  await sweepOrphans(db, photographFolder(config.dataFolder))
  await inOneStep(db, trx => fillCatalogue(trx, firstCatalogue, new Date().toISOString()))
  const tagged = await inOneStep(db, trx => tagUntagged(trx, new Date().toISOString()))
  if (tagged > 0) console.log(`${tagged} bundles from before have a tag now.`)
  const setUpCode = (await isSetUp(db)) ? undefined : newSetUpCode()
  const app = buildApp({ db, config, now: () => new Date(), setUpCode, log: true })
  const address = await app.listen({ host: config.host, port: config.port })

  console.log(`Tie for Tie is at ${address}  (records in ${config.dataFolder})`)
  if (setUpCode) console.log(`First start: open that address and give this set-up code:\n\n    ${setUpCode}\n`)
  if (config.transport === 'plain')
    console.log('Warning: plain http on the network. Anyone on it can overhear the passphrase.')

  const stop = async () => {
    await app.close()
    await close()
    letGo()
    process.exit(0)
  }
  process.once('SIGTERM', stop)
  process.once('SIGINT', stop)
}

serve().catch((fault: unknown) => {
  const inUse = (fault as NodeJS.ErrnoException).code === 'EADDRINUSE'
  if (inUse) console.error('That port is taken. Stop the other program, or choose another with PORT=4701.')
  else if (fault instanceof Refusal) console.error(fault.message)
  else console.error(fault instanceof Error ? fault.message : fault)
  process.exit(1)
})
