/** How long a run is and where it starts: a short one by default, any other by the environment. */
import fc from 'fast-check'
import { anyHistory, type Move } from './intents.js'
import { Tally } from './play.js'
import { beginnings, stories } from './stories.js'

const numberIn = (name: string, otherwise: number): number => {
  const typed = process.env[name] ?? ''
  return /^-?\d+$/.test(typed) ? Number(typed) : otherwise
}

/** `CUSTODY_HISTORIES=3000 CUSTODY_SEED=17` asks for more, or for the same again. */
const timesAsMany = (usual: number): number => Math.ceil((usual * numberIn('CUSTODY_HISTORIES', 120)) / 120)

/** Time for so many at five seconds each; over HTTP one takes a quarter of a second on two busy cores. */
export const timeFor = (usual: number): number => Math.max(600_000, timesAsMany(usual) * 5000)

/** Where a short run begins: always the same, so that a change is judged by itself. Longer ones begin anew. */
const SHORT_RUN = 1856
const begin = (): number => (process.env.CUSTODY_HISTORIES ? Math.floor(Math.random() * 2 ** 31) : SHORT_RUN)

/** Where chance begins, said so that it can be asked for again, and how many are tried. */
export function chanceOf(name: string, usual: number): { seed: number; numRuns: number } {
  const seed = numberIn('CUSTODY_SEED', begin())
  const numRuns = timesAsMany(usual)
  console.log(`custody, ${name}: ${numRuns} histories from seed ${seed}`)
  return { seed, numRuns }
}

export async function anyHistories(
  name: string,
  { usual, most }: { usual: number; most: number },
  check: (moves: Move[], tally: Tally) => Promise<void>,
): Promise<Tally> {
  const { seed, numRuns } = chanceOf(name, usual)
  const tally = new Tally()
  const examples = stories.map((moves): [Move[]] => [moves])
  const property = fc.asyncProperty(anyHistory(beginnings, most), moves => check(moves, tally))
  await fc.assert(property, { seed, numRuns, examples, endOnFailure: numRuns > 200 })
  console.log(`custody, ${name}: ${tally}`)
  return tally
}
