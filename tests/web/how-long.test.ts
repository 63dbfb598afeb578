import { beforeEach, expect, test } from 'vitest'
import { beginNextStep, findLoad, layLoad, noteRinse, undoLast } from '../../src/store/loads.js'
import { findLot } from '../../src/store/lots.js'
import { testApp } from '../helper.js'
import { act, lotReady, threePots } from '../pots-kit.js'

let site: Awaited<ReturnType<typeof testApp>>
let pot: number
let now: number

beforeEach(async () => {
  site = await testApp()
  ;[pot] = await threePots(site.db, site.by)
  now = Date.parse(site.by.at)
})

const by = () => ({ ...site.by, at: new Date(now).toISOString() })

async function next(loadId: number): Promise<void> {
  const load = await findLoad(site.db, loadId)
  await act(site.db, trx => beginNextStep(trx, by(), { loadId, version: load?.version ?? 0 }))
}

async function layOne(): Promise<number> {
  const lotId = await lotReady(site.db, by(), { bundles: 1 })
  const lot = await findLot(site.db, lotId)
  return act(site.db, trx => layLoad(trx, by(), { potId: pot, bundleIds: (lot?.bundles ?? []).map(({ id }) => id) }))
}

/** One load from the soak to the ready shelf; its rinse takes so many minutes. */
async function dyeOne(rinseMinutes: number, waters: ('dark' | 'clear')[] = ['dark', 'clear']): Promise<number> {
  const loadId = await layOne()
  for (;;) {
    const load = await findLoad(site.db, loadId)
    const step = load?.steps[load.stepN - 1]
    if (!load || !step || load.doneAt !== null) return loadId
    if (step.key === 'rinse')
      for (const water of waters) await act(site.db, trx => noteRinse(trx, by(), { loadId, water }))
    now += (step.key === 'rinse' ? rinseMinutes : (step.minutes ?? 60)) * 60_000
    await next(loadId)
  }
}

const linesNow = async () => {
  const { body } = await site.browser.json('/how-long')
  return body.fibres[0]?.lines ?? []
}
const rinsing = async () => (await linesNow()).find(({ of }: { of: string }) => of === 'rinse')

test('says that nothing is learnt where nothing was dyed', async () => {
  const page = await site.browser.get('/how-long')
  expect(page.status).toBe(200)
  expect(page.text).toContain('Nothing is learnt yet')
})

test('goes by a guess until six loads have shown better, and says how many it rests on', async () => {
  for (const minutes of [50, 70, 40, 60, 55]) await dyeOne(minutes)
  expect(await rinsing()).toMatchObject({ count: 5, median: 55, inUse: false })
  const { text } = await site.browser.get('/how-long')
  expect(text).toContain('1 h, a guess')
  expect(text).toContain('55 min, learnt from 5 loads here')
  expect(text).toContain('counts after 1 more')
  await dyeOne(65)
  expect(await rinsing()).toMatchObject({ count: 6, median: 57.5, lower: 47.5, upper: 66.25, inUse: true })
  expect((await site.browser.get('/how-long')).text).toContain(
    '58 min, learnt from 6 loads here, half of them between 48 min and 1 h 6 min',
  )
})

test('counts the rinses', async () => {
  await dyeOne(50, ['dark', 'dark', 'clear'])
  expect((await linesNow()).find(({ of }: { of: string }) => of === 'rinses')).toMatchObject({ median: 3, count: 1 })
})

test('what was undone or taken out again teaches nothing', async () => {
  const loadId = await dyeOne(50)
  const before = await linesNow()
  const undo = async (id: number) =>
    act(site.db, async trx => undoLast(trx, by(), { loadId: id, version: (await findLoad(trx, id))?.version ?? 0 }))
  await undo(await layOne())
  expect(await linesNow()).toEqual(before)
  await undo(loadId)
  expect((await linesNow()).map(({ of }: { of: string }) => of)).not.toContain('dry')
})

test('stands with the recipe of a lot and on its fibre as well', async () => {
  for (const minutes of [50, 70, 40, 60, 55, 65]) await dyeOne(minutes)
  for (const page of ['/lots/1/recipe', '/catalogue/red-cedar-inner-bark'])
    expect((await site.browser.get(page)).text, page).toContain('58 min, learnt from 6 loads here')
  expect((await site.browser.get('/catalogue/soft-rush')).text).not.toContain('How long it takes here')
})
