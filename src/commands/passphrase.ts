import { existsSync } from 'node:fs'
import { join } from 'node:path'
import { createInterface } from 'node:readline/promises'
import { DATABASE_NAME } from '../store/backup.js'
import { openDb } from '../store/db.js'
import { changePassphrase, firstWorker, hashPassphrase } from '../store/sign-in.js'
import { readConfig } from '../web/kit/config.js'
import { passphraseTrouble } from '../web/kit/passphrase.js'
import type { Command } from './command.js'

/** A forgotten passphrase is solved here: whoever may run programs on this machine may read the records anyway. */
export const passphraseCommand: Command = {
  name: 'passphrase',
  takes: '',
  does: 'set a new passphrase, typed on standard input, and sign every device out',
  async run(_args, around) {
    const file = join(readConfig(around.env).dataFolder, DATABASE_NAME)
    if (!existsSync(file)) {
      around.complain(`There are no records at ${file}. Set TIE_DATA to the data folder.`)
      return 1
    }
    around.print('Type the new passphrase and press return:')
    const lines = createInterface({ input: around.input })
    const typed = (await lines[Symbol.asyncIterator]().next()).value
    lines.close()
    const passphrase = typeof typed === 'string' ? typed : ''
    const trouble = passphraseTrouble(passphrase)
    if (trouble !== '') {
      around.complain(trouble)
      return 2
    }
    const { db, close } = openDb(file)
    try {
      const worker = await firstWorker(db)
      if (!worker) {
        around.complain('Nobody is set up here yet. Start the program and open its page.')
        return 1
      }
      await changePassphrase(db, worker.id, await hashPassphrase(passphrase))
      around.print(`${worker.name} has a new passphrase; every device has to sign in again.`)
      return 0
    } finally {
      await close()
    }
  },
}
