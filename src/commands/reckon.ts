import type { Readable } from 'node:stream'
import { firstCatalogue } from '../domain/first-catalogue/index.js'
import { reckon } from '../domain/reckon.js'
import { readRecipeJob } from '../domain/reckon-job.js'
import { Refusal } from '../domain/refusal.js'
import type { Command, ExitStatus, Surroundings } from './command.js'

/** A job is a page of JSON at most; more than this is another file by mistake. */
const LONGEST_JOB_CHARACTERS = 1024 * 1024

export const reckonCommand: Command = {
  name: 'reckon',
  takes: '< job.json',
  does: 'read a recipe job as JSON and print the recipe as JSON',
  run: reckonFromInput,
}

async function reckonFromInput(args: string[], around: Surroundings): Promise<ExitStatus> {
  try {
    if (args.length > 0) throw new Refusal('wrong', 'reckon takes its job from standard input: reckon < job.json')
    const job = readRecipeJob(parsed(await everything(around.input)))
    around.print(JSON.stringify(reckon(job, firstCatalogue), null, 2))
    return 0
  } catch (fault) {
    if (!(fault instanceof Refusal)) throw fault
    around.complain(fault.field ? `${fault.field}: ${fault.message}` : fault.message)
    return 2
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
