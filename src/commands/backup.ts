import { createHash } from 'node:crypto'
import { createReadStream } from 'node:fs'
import { join } from 'node:path'
import { Refusal } from '../domain/refusal.js'
import { backUp, type Contents, DATABASE_NAME, restore } from '../store/backup.js'
import { photographsBeside } from '../store/backup-photographs.js'
import { inOneStep, openDb } from '../store/db.js'
import { eraseAgain, forget } from '../store/erase-client.js'
import { takeAwayUnused } from '../store/photograph-care.js'
import { photographFolder } from '../store/photograph-folder.js'
import { readConfig } from '../web/kit/config.js'
import type { Command, ExitStatus, Surroundings } from './command.js'

export const backupCommand: Command = {
  name: 'backup',
  takes: 'FILE',
  does: 'copy all records to a new file and the photographs beside it, while the workshop goes on working; check the copy',
  run: (args, around) =>
    withFile('backup', args, around, async (file, dataFolder, at) => {
      const { photographs, ...contents } = backUp(dataFolder, file, at)
      around.print(`${file}: ${say(contents)}\nChecked by opening it. SHA-256 ${await sha256(file)}`)
      if (photographs.count > 0)
        around.print(`${photographsBeside(file)}: ${count(photographs.count, 'photograph')}. Keep it beside the file.`)
      for (const hash of photographs.broken)
        around.complain(
          `The photograph ${hash} is missing or changed in the data folder, so no copy of it could be made.`,
        )
    }),
}

/** For a backup whose folder of photographs is lost: its records can still be had. */
const ALONE = '--without-photographs'

export const restoreCommand: Command = {
  name: 'restore',
  takes: 'FILE [--without-photographs]',
  does: 'put a backup in the place of the records; what was there is kept beside it',
  run: (args, around) => {
    const files = args.filter(arg => arg !== ALONE)
    return withFile('restore', files, around, async (file, dataFolder, at) => {
      const isAlone = files.length < args.length
      const { before, keptAs, after, photographs } = restore(dataFolder, file, at, !isAlone)
      if (before && keptAs) around.print(`Before: ${say(before)}\nKept as ${keptAs}`)
      around.print(`Restored: ${say(after)}`)
      if (photographs > 0) around.print(`With ${count(photographs, 'photograph')}.`)
      const erased = await eraseWhoWasErased(dataFolder)
      if (erased > 0) around.print(`${erased} of its clients were erased since it was made, and are erased again.`)
    })
  },
}

/** A backup still knows whoever was erased after it was made. */
async function eraseWhoWasErased(dataFolder: string): Promise<number> {
  const { db, close } = openDb(join(dataFolder, DATABASE_NAME))
  try {
    const { count, hashes } = await inOneStep(db, trx => eraseAgain(trx, dataFolder))
    await takeAwayUnused(db, photographFolder(dataFolder), hashes)
    await forget(db)
    return count
  } finally {
    await close()
  }
}

async function withFile(
  name: string,
  args: string[],
  around: Surroundings,
  work: (file: string, dataFolder: string, at: string) => Promise<void>,
): Promise<ExitStatus> {
  const [file, ...more] = args
  if (file === undefined || more.length > 0) {
    around.complain(`${name} takes one file name: tie-for-tie ${name} FILE`)
    return 2
  }
  try {
    await work(file, readConfig(around.env).dataFolder, new Date().toISOString())
    return 0
  } catch (fault) {
    if (!(fault instanceof Refusal)) throw fault
    around.complain(fault.message)
    return fault.code === 'wrong' ? 2 : 1
  }
}

const count = (n: number | undefined, one: string, many = `${one}s`): string => `${n ?? 0} ${n === 1 ? one : many}`

function say({ rows, lastHistory, schema }: Contents): string {
  const last = lastHistory ? `last entry ${lastHistory.id}, ${lastHistory.at}: ${lastHistory.what}` : 'no history yet'
  const counted = [
    count(rows.client, 'client'),
    count(rows.lot, 'lot'),
    count(rows.bundle, 'bundle'),
    count(rows.history, 'line of history', 'lines of history'),
  ]
  return `${counted.join(', ')} (${last}); schema ${schema}`
}

async function sha256(file: string): Promise<string> {
  const hash = createHash('sha256')
  for await (const part of createReadStream(file)) hash.update(part)
  return hash.digest('hex')
}
