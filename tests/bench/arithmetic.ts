import { performance } from 'node:perf_hooks'
import { firstCatalogue } from '../../src/domain/first-catalogue/index.js'
import { reckon } from '../../src/domain/reckon.js'
import { splitIntoPots } from '../../src/domain/split-into-pots.js'
import { JOBS } from './samples.js'

/** The same weights in every run: a small linear congruential generator (Numerical Recipes' constants). */
function weights(count: number): number[] {
  let seed = 20_260_302
  return Array.from({ length: count }, () => {
    seed = (seed * 1_664_525 + 1_013_904_223) % 2 ** 32
    return 80 + Math.round((seed / 2 ** 32) * 240)
  })
}

const sayWeight = (grams: number): string => `${grams} g`

/** Recipes per second, and the split of 30, 100 and 300 bundles with its distance from the lower bound. */
export async function arithmetic(): Promise<void> {
  const rounds: number[] = []
  for (let round = 0; round < 5; round += 1) {
    const began = performance.now()
    let made = 0
    while (performance.now() - began < 400)
      for (const job of JOBS) made += reckon(job, firstCatalogue).lines.length > 0 ? 1 : 0
    rounds.push((made / (performance.now() - began)) * 1000)
  }
  console.log(
    `recipes: ${[...rounds].sort((a, b) => a - b)[2]?.toFixed(0)} per second (median of 5 rounds over ${JOBS.length} jobs)`,
  )

  for (const count of [30, 100, 300]) {
    const bundles = weights(count).map((dryWeightG, id) => ({ id, dryWeightG, lotId: Math.floor(id / 12) }))
    const total = bundles.reduce((sum, bundle) => sum + bundle.dryWeightG, 0)
    const pots = Array.from({ length: Math.ceil(total / 1500) + 4 }, (_, id) => ({
      id,
      holdsG: [1200, 2000, 3000][id % 3] ?? 0,
    }))
    const times: number[] = []
    let line = ''
    for (let round = 0; round < 3; round += 1) {
      const began = performance.now()
      const { figures, proven } = splitIntoPots(bundles, pots, sayWeight)
      times.push(performance.now() - began)
      line = `${figures.pots.is} pots (at least ${figures.pots.atLeast}), lots spread over ${figures.lotSplits.is} more (at least ${figures.lotSplits.atLeast}), unevenness ${figures.unevenness.is.toFixed(4)} (at least ${figures.unevenness.atLeast.toFixed(4)})${proven ? ', proven best' : ''}`
    }
    console.log(`split of ${count} bundles: ${times.sort((a, b) => a - b)[1]?.toFixed(1)} ms; ${line}`)
  }
}
