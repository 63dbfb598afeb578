/** The whole job, walked by a browser through the pages alone: once without JavaScript, once on a narrow phone. */
import type { Browser } from 'playwright-core'
import { afterAll, beforeAll, expect, test } from 'vitest'
import { openChromium } from './chromium.js'
import {
  fillInDropOff,
  mistakeAndMend,
  readBack,
  setUp,
  takeInTwice,
  writeClientDown,
  writePotsDown,
} from './drop-off-steps.js'
import { findPastLot, handBack, printSlip, repeat, tieUpAgain } from './hand-back-steps.js'
import { dyeInPots, keepRecipes, putInPots, rinseAndDry } from './pot-steps.js'
import { type ServedWorkshop, serveWorkshop } from './served-workshop.js'
import { BARK, FLAX, METRIC_ON_A_LAPTOP, MORE_BARK, POUNDS_ON_A_PHONE, type Shed } from './sheds.js'
import { Visitor } from './visitor.js'

let browser: Browser
beforeAll(async () => {
  browser = await openChromium()
})
afterAll(() => browser.close())

const WALKS: [string, Shed][] = [
  ['without JavaScript, on a laptop, in grams', METRIC_ON_A_LAPTOP],
  ['with JavaScript, on a phone 360 px wide, in pounds', POUNDS_ON_A_PHONE],
]

test.for(WALKS)('the whole job, %s', { timeout: 300_000 }, async ([, shed], { onTestFailed }) => {
  const workshop = await serveWorkshop('2026-03-02T14:00:00.000Z')
  try {
    const dyer = await Visitor.arrive(browser, workshop.address, shed.device)
    onTestFailed(() => console.error(`The walk ended at ${dyer.page.url()}`, dyer.troubles))
    await setUp(dyer, workshop, shed)
    await writePotsDown(dyer)
    await writeClientDown(dyer)
    await fillInDropOff(dyer)
    await mistakeAndMend(dyer)
    await readBack(dyer, shed)
    await takeInTwice(dyer)
    await keepRecipes(dyer)
    await putInPots(dyer, shed)
    const usedMl = await dyeInPots(dyer, workshop)
    await rinseAndDry(dyer, workshop)
    await tieUpAgain(dyer)
    await handBack(dyer)
    await printSlip(dyer, shed)
    await findPastLot(dyer, workshop)
    await repeat(dyer, usedMl)
    expect(dyer.troubles).toEqual([])
    expect(dyer.seen.size).toBeGreaterThan(20)
    addsUp(workshop, usedMl)
  } finally {
    await workshop.stop()
  }
})

/** The records behind the pages, asked directly. */
function addsUp({ rows }: ServedWorkshop, usedMl: number): void {
  expect(rows('select id from commission')).toEqual([{ id: 1 }, { id: 2 }])
  expect(
    rows(`select lot_id as lot, place, count(*) as bundles, sum(ties_in) as came, sum(ties_on) as tied,
      sum(ties_off) as onBoard, sum(ties_lost) as lost from bundle group by lot_id, place order by lot_id`),
  ).toEqual([
    { lot: 1, place: 'handed back', bundles: 12, came: BARK.ties, tied: BARK.ties - 1, onBoard: 0, lost: 1 },
    { lot: 2, place: 'handed back', bundles: 3, came: FLAX.ties, tied: FLAX.ties, onBoard: 0, lost: 0 },
    { lot: 3, place: 'arrivals shelf', bundles: 12, came: 36, tied: 36, onBoard: 0, lost: 0 },
  ])
  // Each bundle lies where its last move left it.
  expect(
    rows(`select bundle.id from bundle
      join move on move.id = (select max(id) from move where bundle_id = bundle.id) where to_place <> place`),
  ).toEqual([])
  const grams = rows<{ grams: number }>('select sum(dry_weight_g) as grams from bundle group by lot_id order by lot_id')
  for (const [at, { grams: weighed }] of [BARK, FLAX, MORE_BARK].entries()) {
    expect(grams[at]?.grams).toBeCloseTo(weighed, 6)
  }
  const [kept] = rows<{ dyeMl: number }>(`select json_extract(line.value, '$.amount') as dyeMl
    from recipe, json_each(recipe.answer, '$.lines') as line
    where lot_id = 3 and json_extract(line.value, '$.substanceId') = 'all-purpose-bottled'`)
  expect(kept?.dyeMl).toBeCloseTo((usedMl / BARK.grams) * MORE_BARK.grams, 6)
}
