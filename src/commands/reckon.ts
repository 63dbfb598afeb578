import { existsSync } from 'node:fs'
import { join } from 'node:path'
import type { Readable } from 'node:stream'
import type { Catalogue } from '../domain/catalogue.js'
import { firstCatalogue } from '../domain/first-catalogue/index.js'
import { reckon } from '../domain/reckon.js'
import { readRecipeJob } from '../domain/reckon-job.js'
import { Refusal } from '../domain/refusal.js'
import { DATABASE_NAME } from '../store/backup.js'
import { readCatalogue } from '../store/catalogue.js'
import { openToRead } from '../store/db.js'
import { readConfig } from '../web/kit/config.js'
import type { Command, ExitStatus, Surroundings } from './command.js'

/** A job is a page of JSON at most; more than this is another file by mistake. */
const LONGEST_JOB_CHARACTERS = 1024 * 1024

export const reckonCommand: Command = {
  name: 'reckon',
  takes: '< job.json',
  does: "read a recipe job as JSON and print the recipe as JSON; with --workshop by this workshop's own catalogue",
  run: reckonFromInput,
}

/** By the first catalogue, so that anybody gets the same recipe; or, when asked, by the one that the dyer corrected. */
const BY_WORKSHOP = '--workshop'

async function reckonFromInput(args: string[], around: Surroundings): Promise<ExitStatus> {
  try {
    const strange = args.filter(arg => arg !== BY_WORKSHOP)
    if (strange.length > 0)
      throw new Refusal('wrong', 'reckon takes its job from standard input: reckon < job.json, or reckon --workshop')
    const job = readRecipeJob(parsed(await everything(around.input)))
    const catalogue = args.includes(BY_WORKSHOP) ? await catalogueOfWorkshop(around.env) : firstCatalogue
    around.print(JSON.stringify(reckon(job, catalogue), null, 2))
    return 0
  } catch (fault) {
    if (!(fault instanceof Refusal)) throw fault
    around.complain(fault.field ? `${fault.field}: ${fault.message}` : fault.message)
    return fault.code === 'wrong' ? 2 : 1
  }
}

async function catalogueOfWorkshop(env: NodeJS.ProcessEnv): Promise<Catalogue> {
  const { dataFolder } = readConfig(env)
  const file = join(dataFolder, DATABASE_NAME)
  if (!existsSync(file))
    throw new Refusal('not-found', `There are no records in ${dataFolder}. Set TIE_DATA to the data folder.`)
  const { db, close } = openToRead(file)
  try {
    return await readCatalogue(db)
  } finally {
    await close()
  }
}

async function everything(input: Readable): Promise<string> {
  input.setEncoding('utf8')
  let text = ''
  for await (const part of input) {
    text += String(part)
    if (text.length > LONGEST_JOB_CHARACTERS) throw new Refusal('wrong', 'The job is too long: one megabyte at most.')
  }
  return text
}

function parsed(text: string): unknown {
  if (text.trim() === '') throw new Refusal('wrong', 'The job is empty: give a recipe job as JSON on standard input.')
  try {
    return JSON.parse(text)
  } catch {
    throw new Refusal('wrong', 'The job is not JSON: check its quotes, commas and brackets.')
  }
}
