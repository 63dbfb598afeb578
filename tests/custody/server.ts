/** The program as it is installed: built, started as a process of its own on a data folder, and killed at will. */
import { type ChildProcess, spawn } from 'node:child_process'
import { existsSync } from 'node:fs'
import { join } from 'node:path'
import { projectRoot } from '../../src/root.js'

const main = join(projectRoot, 'dist', 'src', 'main.js')

export type Server = {
  address: string
  /** What it printed until it was ready: at the first start, the set-up code is in it. */
  printed: string
  /** Ends it at once, as a power cut or an unkind system does, or lets it finish; answers its exit code. */
  end: (signal: 'SIGKILL' | 'SIGTERM') => Promise<number | null>
}

/** None of them outlives the tests. */
const running = new Set<ChildProcess>()
process.once('exit', () => {
  for (const child of running) child.kill('SIGKILL')
})

function launch(dataFolder: string): ChildProcess {
  if (!existsSync(main))
    throw new Error('dist/src/main.js is not there: run `npm run build` first, as `npm test` does.')
  const env = { PATH: process.env.PATH, TIE_DATA: dataFolder, HOST: '127.0.0.1', PORT: '0' }
  const child = spawn(process.execPath, [main], { env, stdio: ['ignore', 'pipe', 'pipe'] })
  running.add(child)
  child.once('exit', () => running.delete(child))
  return child
}

const hasEnded = (child: ChildProcess) => new Promise<number | null>(resolve => child.once('exit', resolve))

export async function startServer(dataFolder: string): Promise<Server> {
  const child = launch(dataFolder)
  const ended = hasEnded(child)
  let printed = ''
  const address = await new Promise<string>((resolve, reject) => {
    const listen = (words: Buffer) => {
      printed += words
      const [, at] = /is at (http:\S+)/.exec(printed) ?? []
      if (at) resolve(at)
    }
    child.stdout?.on('data', listen)
    child.stderr?.on('data', listen)
    child.once('error', reject)
    child.once('exit', code => reject(new Error(`the server ended with ${code} before it was ready: ${printed}`)))
  })
  const end: Server['end'] = signal => {
    child.kill(signal)
    return ended
  }
  // The code stands a line after the address.
  await new Promise(resolve => setTimeout(resolve, 20))
  return { address, printed, end }
}

/** Starts it and kills it again after so long, whether it was ready or not. */
export async function killWhileStarting(dataFolder: string, milliseconds: number): Promise<void> {
  const child = launch(dataFolder)
  const ended = hasEnded(child)
  setTimeout(() => child.kill('SIGKILL'), milliseconds)
  await ended
}
