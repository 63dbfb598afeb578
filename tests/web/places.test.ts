/** Where everything is, spots and shelf counts, as somebody with a phone uses them. Spectrum 5.0: Location and movement, Audit. */
import { beforeEach, expect, test } from 'vitest'
import { sayTagCode } from '../../src/domain/tag-code.js'
import { takeInLot } from '../a-lot.js'
import { differences, recordsOf } from '../custody/records.js'
import { testApp } from '../helper.js'

let site: Awaited<ReturnType<typeof testApp>>
let codes: string[]
beforeEach(async () => {
  site = await testApp()
  await takeInLot(site)
  await takeInLot(site, { colour: 'night blue' })
  codes = site.raw.prepare('select code from tag order by bundle_id').pluck().all().map(String)
})

const post = (url: string, fields: Record<string, string>) => site.browser.post(url, fields)
const name = (name = 'top board', place = 'arrivals shelf') => post('/places/spots', { name, place })
const put = (typed: string, more: Record<string, string> = {}) =>
  post('/places/spots/1', { codes: typed, do: 'put', ...more })
const spotIds = () => site.raw.prepare('select spot_id from bundle order by id').pluck().all()

test('the list of places holds every bundle with whose it is, since when and needed by, and adds up', async () => {
  const { body } = await site.browser.json('/places')
  expect(body.sum).toEqual({ takenIn: 6, withdrawn: 0, handedBack: 0, notFound: 0, here: 6, addsUp: true })
  const shelf = body.places[0]
  expect([shelf.place, shelf.count]).toEqual(['arrivals shelf', 6])
  expect(shelf.corners[0].bundles[0]).toMatchObject({
    ...{ n: 1, lotId: 1, clientName: 'Ilka Fenn', clientMark: 'IF', neededBy: '2026-04-01' },
    ...{ code: codes[0], place: 'arrivals shelf', since: site.by.at, spotName: null },
  })
  const { text } = await site.browser.get('/places')
  expect(text).toContain('6 bundles taken in − 0 handed back − 0 not found and explained = <strong>6 here</strong>')
  expect(text).toContain(sayTagCode(codes[5] ?? ''))
  expect((await site.browser.get('/')).text).toContain('href="/places"')
})

test('a bundle is put at a spot by its tag; by its code and by its place the same is found', async () => {
  await name()
  const answer = await put(`${sayTagCode(codes[0] ?? '').toLowerCase()}\n${codes[4]}`, { why: 'out of the draught' })
  expect(answer.status).toBe(303)
  expect(spotIds()).toEqual([1, null, null, null, 1, null])
  const { headers } = await site.browser.get(`/t/${codes[0]}`)
  const bundle = (await site.browser.get(String(headers.location))).text
  expect(bundle).toContain('<strong>arrivals shelf</strong>: top board')
  expect(bundle).toContain('put at top board, out of the draught')
  const { body } = await site.browser.json('/places')
  const corner = body.places[0].corners.find((one: { name: string }) => one.name === 'top board')
  expect(corner.bundles.map(({ code }: { code: string }) => code)).toEqual([codes[0], codes[4]])
  expect((await put(codes[0] ?? '', { do: 'take away' })).status).toBe(303)
  expect(spotIds()).toEqual([null, null, null, null, 1, null])
})

test('a press that had to wait on a phone undoes no later move', async () => {
  await name()
  await name('low board')
  const [code = ''] = codes
  const pressedAt = site.clock.at
  site.clock.at = new Date(Date.parse(pressedAt) + 600_000).toISOString()
  expect((await post('/places/spots/2', { codes: code, do: 'put' })).status).toBe(303)
  site.clock.at = new Date(Date.parse(pressedAt) + 1_200_000).toISOString()
  const late = await put(code, { pressedAt })
  expect(late.status).toBe(422)
  expect(late.text).toContain('was moved since this was pressed: look where it lies now')
  expect(spotIds()[0]).toBe(2)
  // Pressed after that move, it counts, however late it comes.
  const after = new Date(Date.parse(pressedAt) + 700_000).toISOString()
  expect((await put(code, { pressedAt: after })).status).toBe(303)
  expect(spotIds()[0]).toBe(1)
  expect(site.raw.prepare('select at from spot_move order by id desc').pluck().get()).toBe(after)
})

test('a lot that is kept apart lies alone at its spot, until it is released with a note', async () => {
  await name()
  const [first = '', , , other = ''] = codes
  const apart = (fields: Record<string, string>) => post('/lots/1/apart', fields)
  expect((await apart({ do: 'keep', why: 'mould seen' })).status).toBe(303)
  const words = 'Lot 1 is kept apart (mould seen) and shares no spot: it cannot lie at “top board” with lot 2.'
  for (const [lying, coming] of [
    [first, other],
    [other, first],
  ] as const) {
    expect((await put(lying)).status).toBe(303)
    const before = recordsOf(site.raw)
    const refused = await put(coming, { why: 'tidied up' })
    expect(refused.status).toBe(422)
    for (const one of [words, coming, 'tidied up']) expect(refused.text).toContain(one)
    expect(differences(before, recordsOf(site.raw))).toEqual([])
    expect((await put(lying, { do: 'take away' })).status).toBe(303)
  }
  const together = await put(`${first}\n${other}`)
  expect([together.status, spotIds()]).toEqual([422, Array(6).fill(null)])
  expect((await put(`${first}\n${codes[1]}`)).status).toBe(303)
  expect((await apart({ do: 'release', why: 'a week in the cold' })).status).toBe(303)
  expect((await put(other)).status).toBe(303)
  expect(spotIds()).toEqual([1, 1, null, 1, null, null])
  expect((await apart({ do: 'keep', why: 'a moth flew out' })).status).toBe(303)
  expect((await site.browser.get('/lots/1')).text).toContain('It lies beside another lot at “top board”')
})

test('a slip in a code, a void tag, an unknown one and a bundle elsewhere: each in plain words, nothing written', async () => {
  await name()
  const [good = '', old = '', far = ''] = codes
  await post('/bundles/2/tag', { code: old, became: 'torn', words: '' })
  site.raw.exec(`insert into move select null, 3, 'arrivals shelf', 'ready shelf', null, '${site.by.at}', 1, '';
    update bundle set place = 'ready shelf' where id = 3`)
  const slip = good.slice(0, 5) + (good.endsWith('K') ? 'H' : 'K')
  const before = recordsOf(site.raw)
  for (const [code, words] of [
    [slip, 'cannot be right'],
    [old, `The tag ${sayTagCode(old)} no longer counts`],
    [far, `${sayTagCode(far)} is at: ready shelf, and “top board” is at: arrivals shelf`],
  ] as const) {
    const { status, text } = await put(`${good}\n${code}`, { why: 'tidied up' })
    expect([409, 422]).toContain(status)
    expect(text).toContain(words)
    expect(text).toContain(`${good}\n${code}`)
    expect(text).toContain('tidied up')
  }
  expect(differences(before, recordsOf(site.raw))).toEqual([])
})

test('forms of spots sent empty, with nonsense or endlessly long are shown again', async () => {
  await name()
  const long = 'x'.repeat(10_000)
  const before = recordsOf(site.raw)
  for (const [url, fields] of [
    ['/places/spots', {}],
    ['/places/spots', { name: long, place: 'under the bench' }],
    ['/places/spots', { name: 'TOP BOARD', place: 'ready shelf' }],
    ['/places/spots/1', {}],
    ['/places/spots/1', { codes: long, do: long, why: long }],
    ['/places/spots/1/use', { use: long }],
    ['/places/counts', {}],
    ['/places/counts', { where: 'under the bench' }],
    ['/places/counts', { where: 'spot 99' }],
  ] as const)
    expect((await post(url, fields)).status, url).toBe(422)
  expect((await post('/places/spots', { name: long, place: '' })).text).toContain(long)
  expect(differences(before, recordsOf(site.raw))).toEqual([])
})

test('a shelf count: scanned and ticked, one missing and one extra, both open until answered', async () => {
  site.raw.exec(`insert into move select null, 6, 'arrivals shelf', 'ready shelf', null, '${site.by.at}', 1, '';
    update bundle set place = 'ready shelf' where id = 6`)
  expect((await post('/places/counts', { where: 'arrivals shelf' })).headers.location).toBe('/places/counts/1')
  const kept = await post('/places/counts/1', { do: 'keep', codes: codes[0] ?? '', 'seen.b2': 'yes', 'seen.b3': 'yes' })
  expect(kept.status).toBe(303)
  const open = (await site.browser.get('/places/counts/1')).text
  expect(open).toContain('name="shown.b3" value="yes"')

  // Another phone saw bundle 4 meanwhile: a page on which it was not ticked leaves it seen. Bundle 3 was not there after all.
  await post('/places/counts/1', { do: 'keep', 'seen.b4': 'yes' })
  const done = await post('/places/counts/1', {
    ...{ do: 'end', codes: codes[5] ?? '', 'seen.b1': 'yes', 'seen.b2': 'yes', 'seen.b5': 'yes' },
    ...{ 'shown.b1': 'yes', 'shown.b2': 'yes', 'shown.b3': 'yes' },
  })
  expect(done.status).toBe(303)
  const { body } = await site.browser.json('/places/counts/1')
  expect(body.bundles.map(({ n, finding }: { n: number; finding: string }) => [n, finding])).toEqual([
    [1, 'fine'],
    [2, 'fine'],
    [3, 'missing'],
    [1, 'fine'],
    [2, 'fine'],
    [3, 'unexpected'],
  ])
  expect((await site.browser.get('/places')).text).toContain('To be answered')
  expect((await site.browser.get('/lots/1')).text).toContain(
    'Bundle 3 of lot 1 was missing when arrivals shelf was counted',
  )

  const [missing, extra] = body.questions.map(({ findingId }: { findingId: number }) => findingId)
  const answer = (findingId: number, given: string, words = '') =>
    post('/places/counts/1/answers', {
      findingId: String(findingId),
      [`answer.f${findingId}`]: given,
      [`words.f${findingId}`]: words,
    })
  expect((await answer(missing, '')).status).toBe(422)
  expect((await answer(missing, 'found')).text).toContain('Say in a few words where it is')
  expect((await answer(missing, 'found', 'x'.repeat(10_000))).status).toBe(422)
  expect((await answer(missing, 'found', 'behind the tub')).status).toBe(303)
  expect((await answer(missing, 'found', 'again')).status).toBe(409)
  expect((await answer(extra, 'put back')).status).toBe(303)
  expect((await site.browser.get('/places')).text).not.toContain('To be answered')
  expect((await site.browser.get('/lots/1')).text).not.toContain('was missing when')
  expect((await site.browser.get('/places/counts/1')).text).toContain('behind the tub')
  expect((await post('/places/counts/1', { do: 'end' })).status).toBe(409)
})

test('a bundle that cannot be found becomes an incident with one press, with its list of where to look', async () => {
  await name()
  await put(codes[0] ?? '')
  await post('/places/counts', { where: 'arrivals shelf' })
  await post('/places/counts/1', { do: 'end', codes: codes.join('\n') })
  await post('/places/counts', { where: 'arrivals shelf' })
  await post('/places/counts/2', { do: 'end', codes: codes.slice(1).join(' , ') })
  const { body } = await site.browser.json('/places/counts/2')
  const [{ findingId }] = body.questions
  await post('/places/counts/2/answers', { findingId: String(findingId), [`answer.f${findingId}`]: 'lost' })
  const list = (await site.browser.get('/incidents/1')).text
  expect(list).toMatch(/Last known: <strong>arrivals shelf<\/strong>, top board/)
  expect(list).toContain('Last seen by Wren at <a href="/places/counts/1">shelf count 1</a>')
  expect((await site.browser.get('/places/counts/2')).text).toContain('/incidents/1')
})

test('a wrong code while counting keeps what was ticked and writes nothing', async () => {
  await post('/places/counts', { where: 'arrivals shelf' })
  const before = recordsOf(site.raw)
  const { status, text } = await post('/places/counts/1', { do: 'end', codes: 'KKKKKK', 'seen.b2': 'yes' })
  expect(status).toBe(422)
  expect(text).toContain('KKKKKK')
  expect(text).toMatch(/name="seen.b2" value="yes" checked/)
  expect(differences(before, recordsOf(site.raw))).toEqual([])
  expect((await site.browser.get('/places/counts/9')).status).toBe(404)
  expect((await site.browser.get('/places/spots/9')).status).toBe(404)
})
