import { parse } from 'node-html-parser'
import { afterAll, beforeEach, describe, expect, test } from 'vitest'
import { sayTagCode } from '../../src/domain/tag-code.js'
import { differences, recordsOf } from '../custody/records.js'
import { aLot, alike, bring } from '../hand-back-helper.js'
import { type Browser, newKey, testApp } from '../helper.js'
import { scannedPage } from '../scanned.js'

let site: Awaited<ReturnType<typeof testApp>>
let browser: Browser
let codes: string[]
beforeEach(async () => {
  await site?.app.close()
  site = await testApp()
  browser = site.browser
  await bring(site.db, site.by, [aLot(alike(3)), aLot(alike(1))])
  await bring(site.db, site.by, [aLot(alike(2))], { name: 'Ode Reed' })
  codes = site.raw.prepare('select code from tag order by bundle_id').pluck().all().map(String)
})
afterAll(() => site.app.close())

const records = () => recordsOf(site.raw)
const prints = () => site.raw.prepare('select tag_id, sheet, how from tag_print order by id').raw().all()
const wrongOf = (code: string) => code.slice(0, 5) + (code.endsWith('K') ? 'H' : 'K')

describe('a scanned or typed code', () => {
  test('opens the bundle, in any case, from any address it was ever printed under, also from the search', async () => {
    const [, second = ''] = codes
    for (const url of [
      `/t/${second}`,
      `/T/${second}`,
      `/t/${second.toLowerCase()}`,
      `/t?tag=${encodeURIComponent(sayTagCode(second))}`,
      `/past-lots?words=${second.toLowerCase()}`,
      `/past-lots?words=${encodeURIComponent(`https://old-shed.example/t/${second}`)}`,
    ]) {
      const answer = await browser.get(url)
      expect([answer.status, answer.headers.location], url).toEqual([302, '/bundles/2'])
    }
    const { text } = await browser.get('/bundles/2')
    expect(text).toContain('Bundle 2 of 3, lot 1')
    expect(text).toContain(sayTagCode(second))
    expect(text.indexOf('keep it out of the sun')).toBeLessThan(text.indexOf('Where it is'))
  })

  test('a phone that is not signed in is led there after signing in', async () => {
    const answer = await browser.get(`/T/${codes[0]}`).set('cookie', '')
    expect([answer.status, answer.headers.location]).toEqual([
      303,
      `/sign-in?next=${encodeURIComponent(`/T/${codes[0]}`)}`,
    ])
  })

  test('with a wrong check character, of no tag, or of no kind: a plain refusal, and nothing is written', async () => {
    const before = records()
    const wrong = wrongOf(codes[0] ?? '')
    for (const [url, words] of [
      [`/t/${wrong}`, 'cannot be right'],
      ['/t/O0O0O0', 'No tag has O or 0 in its code'],
      ['/t/hello-there-everybody', 'is not the code of a tag'],
      ['/t?tag=', 'Type or scan the code on the tag.'],
      [`/t/${'K'.repeat(90)}`, 'is not the code of a tag'],
      [`/t/${'K'.repeat(5000)}`, ''],
      ['/T/%E0%A4%A', ''],
    ] as const) {
      const { status, text } = await browser.get(url)
      expect([400, 404, 414].includes(status), url).toBe(true)
      expect(text).toContain(words)
    }
    expect(differences(before, records())).toEqual([])
  })

  test('wrong in the search, it is said there, beside whatever else was found', async () => {
    const { status, text } = await browser.get(`/past-lots?words=${wrongOf(codes[0] ?? '')}`)
    expect(status).toBe(200)
    expect(text).toContain('cannot be right')
    expect((await browser.get('/past-lots?words=rhythm')).text).not.toContain('of a tag:')
    expect((await browser.get('/past-lots?words=2')).text).toContain('Lot 2')
  })
})

describe('a lost tag', () => {
  const lost = (code: string) => ({ code, became: 'lost', words: 'in the yard' })

  test('is replaced; the old one says by which and since when, and leads to the bundle', async () => {
    const [code = ''] = codes
    expect((await browser.post('/bundles/1/tag', lost(code))).status).toBe(303)
    const { text } = await browser.get('/bundles/1')
    const [next = ''] = site.raw
      .prepare('select code from tag where bundle_id = 1 and void_at is null')
      .pluck()
      .all()
      .map(String)
    expect(text).toContain(`<strong class="tag-code">${sayTagCode(next)}</strong>`)
    expect(text).toContain('lost: in the yard')
    const old = await browser.get(`/t/${code}`)
    expect(old.status).toBe(410)
    expect(old.text).toContain(`by <strong class="tag-code">${sayTagCode(next)}</strong>`)
    expect(old.text).toContain('2 Mar 2026')
    expect(old.text).toContain('href="/bundles/1"')
    expect((await browser.get(`/past-lots?words=${code}`)).headers.location).toBe(`/t/${code}`)
    expect((await browser.get(`/t/${next}`)).headers.location).toBe('/bundles/1')
    const lot = (await browser.get('/lots/1')).text
    expect(lot).toContain('bundle 1 got another tag')
    expect(lot).toContain(`<strong class="code">${sayTagCode(next)}</strong>`)
  })

  test('two hands replace it once', async () => {
    const [code = ''] = codes
    const answers = [await browser.post('/bundles/1/tag', lost(code)), await browser.post('/bundles/1/tag', lost(code))]
    expect(answers.map(({ status }) => status)).toEqual([303, 409])
    expect(answers[1]?.text).toContain('has another tag by now')
    expect(answers[1]?.text).toContain('value="in the yard"')
  })

  test.each([
    ['empty', {}],
    ['nonsense', { code: 'lost', became: 'eaten', words: '' }],
    ['ten thousand characters', { code: 'K'.repeat(10_000), became: 'lost', words: 'x'.repeat(10_000) }],
    ['without a code', { code: '', became: 'lost', words: '' }],
  ])('with a form that is %s is refused, and nothing is written', async (_what, fields) => {
    const before = records()
    const { status, text } = await browser.post('/bundles/1/tag', fields)
    expect(status).toBe(422)
    expect(text).toContain('There is a problem')
    expect(differences(before, records())).toEqual([])
  })

  test('there is no such bundle: 404', async () => {
    expect((await browser.get('/bundles/99')).status).toBe(404)
    expect((await browser.post('/bundles/99/tag', lost(codes[0] ?? ''))).status).toBe(404)
  })
})

describe('printing', () => {
  test('shows each tag of the commission once, with code, second name and n of N', async () => {
    const answer = await browser.post('/commissions/1/tags', { do: 'new' })
    expect([answer.status, answer.headers.location]).toEqual([303, '/tag-sheets/1'])
    const { text } = await browser.get('/tag-sheets/1')
    const tags = parse(text).querySelectorAll('.tag')
    expect(tags).toHaveLength(4)
    const words = tags.map(tag => tag.querySelector('.words')?.textContent.replace(/\s+/g, ' ').trim())
    expect(words.slice(0, 3).every(line => /Marta Quill \d of 3 lot 1 · .*2 Mar 2026 MQ/.test(line ?? ''))).toBe(true)
    expect(words[3]).toContain('Marta Quill 1 of 1 lot 2')
    expect(tags.map(tag => tag.querySelector('.code')?.textContent.replace(/\s/g, ''))).toEqual(codes.slice(0, 4))
    expect(tags.every(tag => tag.querySelector('.hole'))).toBe(true)
    expect(text).not.toContain('Ode')
  })

  test('every square code is read back: the bare code, and the address once there is one', async () => {
    await browser.post('/commissions/1/tags', { do: 'new' })
    expect(await scannedPage((await browser.get('/tag-sheets/1')).text)).toEqual(codes.slice(0, 4))
    const settings = {
      paper: 'labels',
      size: '50 x 30',
      dotsPerInch: 203,
      dotSize: 'small',
      address: 'https://Shed.Example/',
    }
    expect((await browser.post('/settings/tags', { ...settings, version: 1 })).status).toBe(303)
    const read = await scannedPage((await browser.get('/tag-sheets/1')).text)
    expect(read).toEqual(codes.slice(0, 4).map(code => `HTTPS://SHED.EXAMPLE/T/${code}`))
    const again = { ...settings, address: 'http://192.168.0.17:4700', version: 2 }
    expect((await browser.post('/settings/tags', again)).status).toBe(303)
    // What hangs since then is good for ever.
    expect((await browser.get(`/past-lots?words=${encodeURIComponent(read[0] ?? '')}`)).headers.location).toBe(
      '/bundles/1',
    )
  })

  test('is counted, each time', async () => {
    await browser.post('/commissions/1/tags', { do: 'some', 'bundles.1': 'yes' })
    await browser.post('/commissions/1/tags', { do: 'new' })
    await browser.post('/tag-sheets/1', {})
    const [first, second, third, fourth] = site.raw.prepare('select id from tag order by id').pluck().all()
    expect(prints()).toEqual([
      [second, 1, 'printed'],
      [first, 2, 'printed'],
      [third, 2, 'printed'],
      [fourth, 2, 'printed'],
      [second, 3, 'printed'],
    ])
    expect((await browser.get('/commissions/1/tags')).text).toContain('on paper 2 times')
    expect((await browser.get('/tag-sheets/3')).text).toContain('1 of these tags was printed before')
    expect((await browser.get('/tag-sheets/4')).status).toBe(404)
  })

  test('a page that was only looked at prints nothing', async () => {
    const before = records()
    for (const url of ['/commissions/1/tags', '/commissions/1', '/bundles/1', '/settings/tags']) await browser.get(url)
    expect(differences(before, records())).toEqual([])
  })

  test('a tag that is void by now is not printed again with its sheet', async () => {
    await browser.post('/commissions/2/tags', { do: 'all' })
    await browser.post('/bundles/5/tag', { code: codes[4] ?? '', became: 'torn', words: '' })
    const { text } = await browser.get('/tag-sheets/1')
    expect(text).not.toContain(`${sayTagCode(codes[4] ?? '').slice(0, 3)}</span> <span>`)
    expect(parse(text).querySelectorAll('.tag')).toHaveLength(1)
  })

  test('tags written by hand are no longer open; the words to copy stand on the commission in large type', async () => {
    expect((await browser.get('/commissions/1')).text).toContain('4 tags are neither printed nor written yet.')
    const answer = await browser.post('/commissions/1/tags', { do: 'by hand' })
    expect(answer.headers.location).toBe('/commissions/1/tags')
    const { text } = await browser.get('/commissions/1')
    expect(text).not.toContain('neither printed nor written')
    for (const code of codes.slice(0, 4)) expect(text).toMatch(new RegExp(`class="tag-code"[^>]*>${sayTagCode(code)}<`))
    expect(text).toContain('<strong>2 of 3</strong>, Marta Quill')
    expect(prints().map(row => (row as unknown[])[2])).toEqual(Array(4).fill('by hand'))
  })

  test.each([
    ['nothing', {}],
    ['nonsense', { do: 'burn' }],
    ['no tick', { do: 'some' }],
    ['a tick at nothing', { do: 'some', 'bundles.77': 'yes' }],
    ['very much', { do: 'x'.repeat(10_000) }],
  ])('%s is refused, and nothing is noted', async (_what, fields) => {
    const before = records()
    expect((await browser.post('/commissions/1/tags', fields)).status).toBe(422)
    expect(differences(before, records())).toEqual([])
  })

  test('when all tags are on paper, a second press for the new ones finds none', async () => {
    await browser.post('/commissions/1/tags', { do: 'new' })
    expect((await browser.post('/commissions/1/tags', { do: 'new' })).status).toBe(422)
  })

  test('the same press twice is one sheet', async () => {
    const press = { do: 'new', key: newKey() }
    const answers = await Promise.all([1, 2, 3].map(() => browser.post('/commissions/1/tags', press)))
    expect(answers.map(({ headers }) => headers.location)).toEqual(Array(3).fill('/tag-sheets/1'))
    expect(prints()).toHaveLength(4)
  })
})

describe('a client who wants no name on tags', () => {
  test('has the mark there instead, everywhere', async () => {
    expect(parse((await browser.get('/clients/1')).text).textContent).toContain('No name on tags: only “MQ”')
    expect((await browser.post('/clients/1/on-tags', { onTags: 'mark' })).status).toBe(303)
    await browser.post('/commissions/1/tags', { do: 'new' })
    const sheet = parse((await browser.get('/tag-sheets/1')).text).querySelector('main')?.textContent ?? ''
    expect(sheet).toContain('MQ')
    expect(sheet).not.toMatch(/Marta|Quill/)
    expect((await browser.get('/clients/1')).text).toContain('tags bear the mark only')
    await browser.post('/clients/1/on-tags', { onTags: 'name' })
    expect((await browser.get('/tag-sheets/1')).text).toContain('Marta Quill')
  })

  test.each([{}, { onTags: 'both' }])('%j is refused', async fields => {
    const { status, text } = await browser.post('/clients/1/on-tags', fields)
    expect(status).toBe(422)
    expect(text).toContain('There is a problem')
  })

  test('and has no mark either: the number of the commission', async () => {
    site.raw.exec("update client set mark = ''")
    await browser.post('/clients/2/on-tags', { onTags: 'mark' })
    await browser.post('/commissions/2/tags', { do: 'new' })
    expect((await browser.get('/tag-sheets/1')).text).toContain('<strong class="whose">Commission 2</strong>')
  })
})

describe('settings of the tags', () => {
  const good = { paper: 'labels', size: '65 x 45', dotsPerInch: 300, dotSize: 'large', address: '', version: 1 }

  test('are kept, and told in the history of the settings', async () => {
    expect((await browser.post('/settings/tags', good)).status).toBe(303)
    const { settings } = (await browser.json('/settings/tags')).body
    expect(settings).toEqual({ ...good, version: 2 })
    expect((await browser.get('/settings')).text).toContain('Size of a tag, in mm: from “90 x 50” to “65 x 45”')
    expect((await browser.post('/settings/tags', good)).status).toBe(409)
  })

  test.each([
    ['empty', {}, 'Choose one: size of a tag.'],
    ['no room', { ...good, size: '50 x 30' }, 'has no room on a tag of this size'],
    ['a path', { ...good, address: 'https://shed.example/dye' }, 'without anything after the name'],
    ['no address', { ...good, address: 'the shed' }, 'such as https://shed.example'],
    ['too long', { ...good, address: `https://${'a'.repeat(60)}.example` }, 'too long by'],
    ['ten thousand', { ...good, address: 'x'.repeat(10_000) }, 'such as https://shed.example'],
    ['nonsense', { ...good, paper: 'bark', dotsPerInch: '72', dotSize: 'tiny' }, 'Choose one: squares of the code.'],
  ])('%s: refused with everything typed', async (_what, fields, words) => {
    const before = records()
    const { status, text } = await browser.post('/settings/tags', fields)
    expect(status).toBe(422)
    expect(text).toContain(words)
    expect(differences(before, records())).toEqual([])
  })

  test('a workshop whose slips are on Letter begins with Letter', async () => {
    site.raw.exec("update workshop set slip_paper = 'Letter'")
    expect((await browser.json('/settings/tags')).body.settings.paper).toBe('Letter')
  })
})
