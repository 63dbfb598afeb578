import { testApp } from '../helper.js'
import { lotReady, threePots } from '../pots-kit.js'
import { cpuMs, median } from './cpu.js'

const OPEN_LOADS = 60

/**
 * How long a drop-off takes to be read back with so many loads in hand: the whole answer of the app, with the day that can
 * be promised. In time, the plan has room; in a hurry, every day until the earliest is tried with others moved.
 */
export async function readBacks(): Promise<void> {
  const { app, browser, db, raw, by } = await testApp()
  await threePots(db, by)
  raw.exec('update working_days set version = 2')
  for (let n = 0; n < OPEN_LOADS; n += 1) {
    const neededBy = new Date(Date.parse('2026-03-06') + ((n * 7) % 60) * 86_400_000).toISOString().slice(0, 10)
    await lotReady(db, by, { neededBy, dryWeightG: 60 + ((n * 37) % 90) })
  }
  const brought = {
    client: 'Marta Quill',
    'newClient.contact': 'letter box 4',
    'newClient.settles': 'trade',
    'newClient.photographs': 'no',
    purpose: 'guild class',
    'lots.0.fibreId': 'flax',
    'lots.0.colour': 'straw yellow',
    'lots.0.dyeId': 'weld',
    'lots.0.line': '4 bundles of 3 ties, 100 g each, 0.8 mm',
    do: 'read-back',
  }
  for (const [name, neededBy] of [
    ['without a day', ''],
    ['in time', '1 Dec'],
    ['in a hurry', 'tomorrow'],
  ] as const) {
    const times: number[] = []
    for (let round = 0; round < 4; round += 1) {
      const took = await cpuMs(async () => {
        const page = await browser.post('/drop-off', { ...brought, neededBy })
        if (page.status !== 200 || !page.text.includes('as things are planned'))
          throw new Error(`it was answered with ${page.status}`)
      })
      if (round > 0) times.push(took)
    }
    console.log(
      `read-back of a drop-off ${name}, ${OPEN_LOADS} loads in hand: ${median(times).toFixed(0)} ms of one core`,
    )
  }
  await app.close()
}
