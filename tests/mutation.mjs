/**
 * Mutation testing of the ground floor. Whole, it takes hours; `MUTATION_SHARE=8` tries every eighth stretch of lines, the
 * same ones each time, so that the figure is that of a sample; `MUTATION_FROM=3` begins with another stretch: another
 * sample, to hold beside it.
 */
import { readdirSync, readFileSync } from 'node:fs'

const share = Number(process.env.MUTATION_SHARE ?? 1)
const from = Number(process.env.MUTATION_FROM ?? 0)
const FLOOR = 'src/domain'
const STRETCH_LINES = 30

const files = readdirSync(FLOOR).filter(name => name.endsWith('.ts') && name !== 'refusal.ts')

/** Every stretch of each file, in order, of which each `share`-th is taken. */
const stretches = files.flatMap(name => {
  const lines = readFileSync(`${FLOOR}/${name}`, 'utf8').split('\n').length
  const starts = Array.from({ length: Math.ceil(lines / STRETCH_LINES) }, (_, n) => n * STRETCH_LINES + 1)
  return starts.map(start => `${FLOOR}/${name}:${start}-${Math.min(start + STRETCH_LINES - 1, lines)}`)
})

export default {
  testRunner: 'vitest',
  vitest: { configFile: 'tests/vitest.mutation.config.ts' },
  mutate: share > 1 ? stretches.filter((_, n) => n % share === from % share) : files.map(name => `${FLOOR}/${name}`),
  ignoreStatic: true,
  coverageAnalysis: 'perTest',
  concurrency: 2,
  timeoutMS: 10_000,
  disableTypeChecks: false,
  tsconfigFile: 'tests/no-tsconfig.json',
  tempDirName: '.tmp/mutation',
  reporters: ['clear-text', 'json', 'progress-append-only'],
  clearTextReporter: { allowColor: false, logTests: false, reportMutants: false },
  jsonReporter: { fileName: 'reports/mutation.json' },
  thresholds: { high: 90, low: 85, break: 85 },
}
