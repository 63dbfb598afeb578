import { beforeEach, expect, test } from 'vitest'
import { rowsTicked } from '../hand-back-helper.js'
import { testApp } from '../helper.js'
import { lotReady } from '../pots-kit.js'

let site: Awaited<ReturnType<typeof testApp>>
let lotId: number

/** A lot that was dyed and lies on the ready shelf, for these uses. */
async function dyed(purposes: string[]): Promise<void> {
  lotId = await lotReady(site.db, site.by)
  const bundles = site.raw.prepare<[number], number>('select id from bundle where lot_id = ?').pluck().all(lotId)
  const pot = await site.browser.post('/pots/new', { name: 'Pot 1', usable: '500 L', metal: 'steel' })
  expect(pot.status).toBe(303)
  const ticked = Object.fromEntries(bundles.map((_, n) => [`bundles.${n + 1}`, 'yes']))
  const laid = await site.browser.post(`/lots/${lotId}/load`, { potId: 1, ...ticked })
  expect(laid.status).toBe(303)
  site.raw.exec(
    "update load set done_at = laid_at, pot_free_at = laid_at; update bundle set load_id = null, place = 'ready shelf'",
  )
  site.raw.prepare('update lot set purposes = ? where id = ?').run(JSON.stringify(purposes), lotId)
}
beforeEach(async () => {
  site = await testApp()
})

const rub = (fields: Record<string, string>) => site.browser.post(`/lots/${lotId}/wet-cloth`, fields)
const handBack = async () => {
  const { clientName, tiesIn, bundles } = await facts()
  const rows = rowsTicked([{ lot: 0, bundles, ties: tiesIn }])
  return site.browser.post('/commissions/1/hand-back', { do: 'close', version: '0', toWhom: clientName, ...rows })
}
async function facts() {
  const { body } = await site.browser.json('/commissions/1')
  const [lot] = body.lots
  return { clientName: body.commission.clientName, tiesIn: lot.bundles[0].tiesIn, bundles: lot.bundles.length }
}

test('a lot for a class does not go back before its cloth was looked at', async () => {
  await dyed(['class use'])
  const refused = await handBack()
  expect(refused.status).toBe(422)
  expect(refused.text).toContain('rub it with a wet white cloth and grade the stain')
  await rub({ grade: '4-5' })
  expect((await handBack()).status).toBe(303)
})

test('below the least grade it waits for another rinse, or goes with a reason that stands on the slip', async () => {
  await dyed(['wet use'])
  expect((await rub({ grade: '3' })).status).toBe(303)
  expect((await handBack()).text).toContain('showed grade 3, below 4')
  await rub({ grade: '3', why: 'it is cut up for a trial' })
  const { headers } = await handBack()
  expect(headers.location).toBe('/hand-backs/1')
  expect((await site.browser.get('/hand-backs/1/slip')).text).toContain(
    'stain grade 3 of 5 (a light stain); given out all the same: it is cut up for a trial',
  )
  expect((await rub({ grade: '5' })).status).toBe(409)
})

test('between two grades is below as well, and each press says what follows from it', async () => {
  await dyed(['class use'])
  expect((await site.browser.get(`/lots/${lotId}/wet-cloth`)).text).toContain('below that only with a reason')
  const said = async (fields: Record<string, string>) =>
    decodeURIComponent(String((await rub(fields)).headers['set-cookie']))
  expect(await said({ grade: '3-4' })).toContain('stain grade 3-4, below 4. Rinse the lot again, or say why')
  expect((await handBack()).status).toBe(422)
  expect(await said({ grade: '3-4', why: 'it is lined' })).toContain('goes back all the same, with the reason')
  expect(await said({ grade: '4' })).toContain('Written down: stain grade 4.')
})

test('what its recipe says it is meant for counts like what was said at drop-off', async () => {
  await dyed([])
  const { text } = await site.browser.get(`/lots/${lotId}/wet-cloth`)
  expect(text).toContain('neither a class nor wet use, so that no grade holds it back')
  await rub({ grade: '3-4' })
  site.raw.exec('drop trigger recipe_stays')
  site.raw.exec(`update recipe set job = json_set(job, '$.purposes', json('["wet use"]'))`)
  expect((await site.browser.get(`/lots/${lotId}/wet-cloth`)).text).toContain('This lot is for wet use: it goes back')
  expect((await handBack()).text).toContain('showed grade 3-4, below 4')
})

test('the workshop says what is enough', async () => {
  await dyed(['wet use'])
  expect((await site.browser.post('/settings/wet-cloth', { least: '3', version: '1' })).status).toBe(303)
  expect((await site.browser.post('/settings/wet-cloth', { least: '2', version: '1' })).status).toBe(409)
  await rub({ grade: '3' })
  expect((await handBack()).status).toBe(303)
})

test('a lot for neither asks nothing', async () => {
  await dyed([])
  expect((await handBack()).status).toBe(303)
})

test('not tried needs a reason; nonsense is asked again', async () => {
  await dyed(['class use'])
  const bare = await rub({ grade: 'not tried' })
  expect(bare.status).toBe(422)
  expect(bare.text).toContain('Say why the cloth was not tried.')
  expect((await rub({ grade: '7' })).status).toBe(422)
  expect((await rub({})).status).toBe(422)
  expect(site.raw.prepare('select count(*) from wet_cloth').pluck().get()).toBe(0)
  await rub({ grade: 'not tried', why: 'too brittle to rub' })
  expect((await handBack()).status).toBe(303)
})

test('stands on the lot’s page and in its history', async () => {
  await dyed(['class use'])
  await rub({ grade: '4', words: 'at the fine end' })
  const { text } = await site.browser.get(`/lots/${lotId}`)
  expect(text).toContain('grade 4')
  expect(text).toContain('stain grade 4 of 5 (a trace); at the fine end')
})

test('a word that had to wait on a phone stands as of when it was pressed, and undoes no later one', async () => {
  await dyed(['class use'])
  const pressedAt = site.clock.at
  const later = (minutes: number) => new Date(Date.parse(pressedAt) + minutes * 60_000).toISOString()
  site.clock.at = later(30)
  expect((await rub({ grade: '3', pressedAt: later(10) })).status).toBe(303)
  const grades = () => site.raw.prepare('select grade, at from wet_cloth order by id').all()
  expect(grades()).toEqual([{ grade: '3', at: later(10) }])
  const old = await rub({ grade: '5', pressedAt: later(5) })
  expect(old.status).toBe(422)
  expect(old.text).toContain('pressed before a cloth was last written down')
  expect((await rub({ grade: '4-5' })).status).toBe(303)
  expect(grades()).toEqual([
    { grade: '3', at: later(10) },
    { grade: '4-5', at: later(30) },
  ])
  const before = await site.browser.post('/lots/99/wet-cloth', { grade: '5', pressedAt })
  expect(before.status).toBe(404)
})
