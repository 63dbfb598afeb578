import { existsSync } from 'node:fs'
import { join } from 'node:path'
import { Refusal } from '../domain/refusal.js'
import { DATABASE_NAME } from '../store/backup.js'
import { walkChain } from '../store/chain.js'
import { type Db, openToRead } from '../store/db.js'
import { checkPhotographs, sayPhotographTrouble } from '../store/photograph-care.js'
import { photographFolder } from '../store/photograph-folder.js'
import { damage, wrongSums } from '../store/sums.js'
import { readConfig } from '../web/kit/config.js'
import type { Command } from './command.js'

/** How many lines of one kind are printed: after a disaster the first ones say enough. */
const MOST_LINES = 50

export const checkCommand: Command = {
  name: 'check',
  takes: '',
  does: 'look through all records: the file, the sums, the chain of custody and the photographs; say what was changed from outside',
  async run(args, around) {
    const { dataFolder } = readConfig(around.env)
    const file = join(dataFolder, DATABASE_NAME)
    if (args.length > 0) {
      around.complain('check takes nothing after its name: tie-for-tie check')
      return 2
    }
    if (!existsSync(file)) {
      around.complain(`There are no records at ${file}. Set TIE_DATA to the data folder.`)
      return 1
    }
    try {
      const { db, close } = openToRead(file)
      try {
        const { troubles, words } = await look(db, photographFolder(dataFolder))
        for (const trouble of troubles.slice(0, MOST_LINES)) around.complain(trouble)
        if (troubles.length > MOST_LINES) around.complain(`and ${troubles.length - MOST_LINES} more`)
        around.print(words)
        return troubles.length > 0 ? 1 : 0
      } finally {
        await close()
      }
    } catch (fault) {
      if (!(fault instanceof Refusal)) throw fault
      around.complain(fault.message)
      return 1
    }
  },
}

async function look(db: Db, folder: string): Promise<{ troubles: string[]; words: string }> {
  const { links, head, broken } = await walkChain(db)
  const changed = broken.map(words => `${words.charAt(0).toUpperCase()}${words.slice(1)}.`)
  const pictures = sayPhotographTrouble(await checkPhotographs(db, folder))
  const troubles = [...(await damage(db)), ...(await wrongSums(db)), ...changed, ...pictures]
  const found = troubles.length === 0 ? 'Everything is in order' : `${troubles.length} things are not in order`
  return { troubles, words: `${found}: ${links} records are linked, the last link is ${head}.` }
}
