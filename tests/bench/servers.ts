import { type ChildProcess, spawn, spawnSync } from 'node:child_process'
import { readFileSync } from 'node:fs'
import { availableParallelism } from 'node:os'
import { join } from 'node:path'
import { projectRoot } from '../../src/root.js'

/** Whether the server can have a core to itself, with those who ask it on another. */
export const apart = availableParallelism() > 1 && spawnSync('taskset', ['-V']).status === 0

/** From now on this process keeps off the server's core. */
export function leaveTheServerItsCore(): void {
  if (apart) spawnSync('taskset', ['-a', '-c', '-p', '1', String(process.pid)])
}

/** What `npm start` says to node itself. */
const { scripts } = JSON.parse(readFileSync(join(projectRoot, 'package.json'), 'utf8'))
const flags: string[] = scripts.start.split(' ').filter((word: string) => word.startsWith('--'))

/** Starts a built file on the server's core, with the flags of `npm start`. */
export function spawnNode(file: string, args: readonly string[], env = process.env): ChildProcess {
  const node = [process.execPath, ...flags, join(projectRoot, 'dist', file), ...args]
  const [command = '', ...rest] = apart ? ['taskset', '-c', '0', ...node] : node
  return spawn(command, rest, { env, stdio: ['ignore', 'pipe', 'inherit'] })
}

export type Server = { child: ChildProcess; port: number }
export type Kind = 'app' | 'limit' | 'constant'

export function serve(kind: Kind, file: string, cookie: string, urls: readonly string[]): Promise<Server> {
  const child = spawnNode('tests/bench/serve.js', [kind, file, cookie, ...urls])
  return new Promise((resolve, reject) => {
    child.stdout?.once('data', line => resolve({ child, port: Number(line) }))
    child.once('exit', code => reject(new Error(`the ${kind} server stopped with ${code}`)))
  })
}

export async function stop({ child }: Pick<Server, 'child'>): Promise<void> {
  const gone = new Promise(resolve => child.once('exit', resolve))
  child.kill()
  await gone
}

/** Resident memory in MB. `taskset` replaces itself with node, so that the child's number is the server's. */
export function memoryMb({ child }: Pick<Server, 'child'>): number {
  const kb = /VmRSS:\s+(\d+)/.exec(readFileSync(`/proc/${child.pid}/status`, 'utf8'))?.[1] ?? 'NaN'
  return Math.round(Number(kb) / 1024)
}
