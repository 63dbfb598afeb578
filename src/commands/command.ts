import type { Readable } from 'node:stream'

/** What a command may touch besides its arguments: the three standard streams and the environment. */
export type Surroundings = {
  input: Readable
  print: (text: string) => void
  complain: (text: string) => void
  env: NodeJS.ProcessEnv
}

/** Exit statuses: 0 done, 1 could not be done, 2 what was typed or read is wrong. */
export type ExitStatus = 0 | 1 | 2

export type Command = {
  name: string
  /** What comes after the name: "FILE", "< job.json", or ''. */
  takes: string
  /** One line for the list of commands. */
  does: string
  run: (args: string[], around: Surroundings) => Promise<ExitStatus>
}
