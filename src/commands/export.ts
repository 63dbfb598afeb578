import { copyFileSync, existsSync, mkdirSync, writeFileSync } from 'node:fs'
import { dirname, join, resolve } from 'node:path'
import { toCsv } from '../domain/client-data.js'
import { inWords } from '../domain/client-data-words.js'
import { Refusal } from '../domain/refusal.js'
import { DATABASE_NAME } from '../store/backup.js'
import { type ClientData, everythingOf } from '../store/client-data.js'
import { findClient, type KnownClient } from '../store/clients.js'
import { type Db, openToRead } from '../store/db.js'
import { pathOf, photographFolder } from '../store/photograph-folder.js'
import { findWorkshop } from '../store/workshop.js'
import { readConfig } from '../web/kit/config.js'
import { templates } from '../web/kit/page.js'
import type { Command } from './command.js'

export const exportCommand: Command = {
  name: 'export',
  takes: 'CLIENT FOLDER',
  does: 'put all that is kept of one client into a new folder: a page to read, JSON, CSV and the photographs',
  async run(args, around) {
    const [typed = '', folder, ...more] = args
    if (folder === undefined || more.length > 0 || !/^\d{1,15}$/.test(typed)) {
      around.complain(
        'export takes the number of a client, as the address of their page has it, and a new folder: tie-for-tie export 12 FOLDER',
      )
      return 2
    }
    const { dataFolder } = readConfig(around.env)
    try {
      around.print(await exportClient(Number(typed), folder, dataFolder))
      return 0
    } catch (fault) {
      if (!(fault instanceof Refusal)) throw fault
      around.complain(fault.message)
      return fault.code === 'wrong' ? 2 : 1
    }
  },
}

async function exportClient(clientId: number, folder: string, dataFolder: string): Promise<string> {
  const file = join(dataFolder, DATABASE_NAME)
  if (!existsSync(file))
    throw new Refusal('not-found', `There are no records at ${file}. Set TIE_DATA to the data folder.`)
  if (existsSync(folder)) throw new Refusal('conflict', `${folder} is there already. Give the name of a new folder.`)
  if (!existsSync(dirname(resolve(folder))))
    throw new Refusal('wrong', `There is no folder ${dirname(resolve(folder))} to put it in.`)
  const { db, close } = openToRead(file)
  try {
    const client = await findClient(db, clientId)
    if (!client) throw new Refusal('not-found', `There is no client ${clientId}.`)
    const data = await everythingOf(db, clientId)
    const copied = write(folder, dataFolder, data, { client, workshop: await nameOf(db) })
    return `${folder}: ${data.lot?.length ?? 0} lots, ${data.bundle?.length ?? 0} bundles and ${copied} photographs of ${client.name}.`
  } finally {
    await close()
  }
}

const nameOf = async (db: Db): Promise<string> => (await findWorkshop(db))?.name ?? 'this workshop'

/** Answers how many photographs were copied. What is kept of a person is for the person: no other account reads it. */
function write(
  folder: string,
  dataFolder: string,
  data: ClientData,
  of: { client: KnownClient; workshop: string },
): number {
  mkdirSync(join(folder, 'photographs'), { recursive: true, mode: 0o700 })
  const put = (name: string, text: string) => writeFileSync(join(folder, name), text, { mode: 0o600 })
  const photographs = [
    ...new Set((data.photograph ?? []).filter(row => row.withdrawn_at === null).map(row => String(row.hash))),
  ]
  const source = photographFolder(dataFolder)
  const there = photographs.filter(hash => existsSync(pathOf(source, hash)))
  for (const hash of there) copyFileSync(pathOf(source, hash), join(folder, 'photographs', `${hash}.jpg`))
  put('everything.json', JSON.stringify(data, null, 2))
  put('bundles.csv', toCsv(data.bundle ?? []))
  const at = new Date().toISOString()
  put(
    'read-me.html',
    templates().render('/client-data/export', { ...of, at, photographs: there, parts: inWords(data) }),
  )
  return there.length
}
