#!/usr/bin/env node
import type { ExitStatus, Surroundings } from './commands/command.js'
import { commands } from './commands/index.js'

const usage = (): string => {
  const calls = commands.map(({ name, takes }) => `tie-for-tie ${name} ${takes}`.trimEnd())
  const width = Math.max(...calls.map(call => call.length))
  return ['Commands:', ...commands.map(({ does }, n) => `  ${(calls[n] ?? '').padEnd(width)}  ${does}`)].join('\n')
}

async function obey([name = '', ...args]: string[], around: Surroundings): Promise<ExitStatus> {
  if (name === '--help' || name === 'help') {
    around.print(usage())
    return 0
  }
  const command = commands.find(one => one.name === name)
  if (command) return command.run(args, around)
  around.complain(name === '' ? usage() : `There is no command "${name}".\n${usage()}`)
  return 2
}

const around: Surroundings = {
  input: process.stdin,
  print: text => process.stdout.write(`${text}\n`),
  complain: text => process.stderr.write(`${text}\n`),
  env: process.env,
}

obey(process.argv.slice(2), around).then(
  status => {
    process.exitCode = status
  },
  (fault: unknown) => {
    around.complain(fault instanceof Error ? fault.message : String(fault))
    process.exitCode = 1
  },
)
