/** The command as it is installed: built, and started as a process of its own. */
import { execFileSync, spawnSync } from 'node:child_process'
import { existsSync } from 'node:fs'
import { join } from 'node:path'
import { projectRoot } from '../src/root.js'

export const builtInto = join(projectRoot, '.tmp', 'commands')
const cli = join(builtInto, 'src', 'cli.js')

/** Builds into a folder of its own, so that a test never runs yesterday's build. */
export function buildCli(): void {
  const tsc = join(projectRoot, 'node_modules', '.bin', 'tsc')
  const into = ['--outDir', builtInto, '--tsBuildInfoFile', join(builtInto, '.tsbuildinfo')]
  try {
    execFileSync(tsc, ['-p', join(projectRoot, 'tsconfig.json'), ...into], { stdio: 'pipe' })
  } catch (fault) {
    // A type error elsewhere is told by the type check; here only a missing build matters.
    if (!existsSync(cli)) throw fault
  }
}

export type Ended = { status: number | null; output: string; complaint: string }

export function runCli(args: string[], input = '', env: NodeJS.ProcessEnv = process.env): Ended {
  const { status, stdout, stderr } = spawnSync(process.execPath, [cli, ...args], { input, env, encoding: 'utf8' })
  return { status, output: stdout, complaint: stderr }
}
