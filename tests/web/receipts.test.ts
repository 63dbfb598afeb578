import { parse } from 'node-html-parser'
import { beforeEach, describe, expect, test } from 'vitest'
import { PAPER_NAMES, PAPERS } from '../../src/domain/paper.js'
import { receiptBlocks, receiptRunning } from '../../src/domain/receipt-blocks.js'
import { receiptsOf } from '../../src/store/receipts.js'
import { paperPdf } from '../../src/web/kit/paper-pdf.js'
import { plainText } from '../hand-back-helper.js'
import { testApp } from '../helper.js'
import { bare, pageText, pdfText, pictureOf, shapeOf, textOf } from '../pdf-text.js'
import { takeInLot } from '../pots-kit.js'
import { scannedPage, scannedPicture } from '../scanned.js'

let site: Awaited<ReturnType<typeof testApp>>
beforeEach(async () => {
  site = await testApp()
  site.raw.exec("update drop_off_default set receipt_words = 'A year at most.'")
  await takeInLot(site.db, site.by)
})

const at = '/commissions/1/receipt'
const page = async (url = at) => plainText((await site.browser.get(url)).text)
const stored = () => site.raw.prepare('select n, content from receipt order by n').raw().all()
const change = (version: number, neededBy: string) =>
  site.browser.post('/commissions/1/edit', { purpose: 'hat class', neededBy, arrangement: 'trade', note: '', version })

const pdf = async (query = ''): Promise<Buffer> => {
  const answer = await site.browser.get(`${at}.pdf${query}`).responseType('blob')
  expect([answer.status, answer.headers['content-type']]).toEqual([200, 'application/pdf'])
  return answer.body
}
/** What stands at the top of every further sheet, as the page has it. */
const runningOf = (html: string): string =>
  parse(html)
    .querySelectorAll('.running span')
    .map(({ text }) => text)
    .join(' · ')

const WRAPPER = { commission_id: 1, kind: 'wrapper', words: 'the blue cloth', at: '2026-03-02', worker_id: 1 } as const

describe('the receipt of a drop-off', () => {
  test('is there at once, with number, what, count, condition, wishes, dates and both names', async () => {
    const words = await page()
    for (const said of [
      'Receipt 1 of commission 1',
      '4 bundles, 12 ties, 600 g dry',
      'The Weir Shed',
      'Never hang it by the thin ends.',
      'One bath with others not asked yet, so it has a bath to itself',
      'Mon 2 Mar 2026',
      'Fri 20 Mar 2026',
      'Bundles 1 to 4, each',
      '0.8 mm thick',
      'clean',
      'Handed over: Ilse Marram',
      'Taken in: Wren',
    ])
      expect(words).toContain(said)
    expect((await site.browser.get('/commissions/1')).text).toContain(`href="${at}"`)
  })

  test('is printed on any paper, a roll too', async () => {
    expect((await site.browser.get(at)).text).toContain('class="paper-a5"')
    expect((await site.browser.get(`${at}?paper=Letter`)).text).toContain('class="paper-letter"')
    expect((await site.browser.get(`${at}?paper=roll`)).text).toContain('class="paper-roll"')
    site.raw.exec("update workshop set slip_paper = '80 mm roll'")
    expect((await site.browser.get(at)).text).toContain('class="paper-roll"')
  })

  test('is a PDF that says what the page says, word for word, on every paper', async () => {
    await change(1, '24 Mar')
    await site.db
      .updateTable('client')
      .set({ name: 'Zoë Ńowak & <son>', wishes: `not ${'averylongwordwithoutanyend'.repeat(9)}, потому что` })
      .execute()
    await site.db.insertInto('returnable').values(WRAPPER).execute()
    expect((await site.browser.post(at, {})).status).toBe(303)
    for (const which of ['', '&n=1']) {
      const html = (await site.browser.get(`${at}?paper=a5${which}`)).text
      const words = pageText(html)
      expect(words.length).toBeGreaterThan(300)
      for (const paper of PAPERS) {
        const answer = await pdf(`?paper=${PAPER_NAMES[paper]}${which}`)
        expect(pdfText(answer, runningOf(html)), paper).toBe(words)
        if (paper === '80 mm roll') expect(shapeOf(answer)).toMatchObject({ pages: 1 })
      }
    }
    expect(pageText((await site.browser.get(at)).text)).toContain(bare('It amends receipt 1'))
    expect((await site.browser.get('/commissions/1/receipt.pdf?n=7')).status).toBe(404)
    expect((await site.browser.get('/commissions/9/receipt.pdf')).status).toBe(404)
  })

  test('carries the square code of the client’s own page, once they have one, read from page and PDF', async () => {
    const address = 'https://a-shed-with-a-long-name-by-the-river.example'
    site.raw.prepare('update tag_setting set address = ?').run(address)
    expect(await scannedPage((await site.browser.get(at)).text)).toEqual([])
    await site.browser.post('/clients/1/page', { do: 'make' })
    const token = site.raw.prepare('select token from client_page').pluck().get()
    const whole = `${address.toUpperCase()}/C/${token}`
    expect(await scannedPage((await site.browser.get(at)).text)).toEqual([whole])
    for (const paper of PAPERS)
      expect(await scannedPicture(pictureOf(await pdf(`?paper=${PAPER_NAMES[paper]}`))), paper).toBe(whole)
  })

  test('is not issued again while nothing has changed', async () => {
    const again = await site.browser.post(at, {})
    expect(again.status).toBe(409)
    expect(again.text).toContain('Nothing has changed since receipt 1')
    expect(stored()).toHaveLength(1)
  })

  test('never changes: a later one says what it amends, and both are there', async () => {
    const first = await page()
    const [before] = stored()
    await change(1, '24 Mar')
    await site.db.updateTable('client').set({ wishes: 'in the shade' }).execute()
    await site.db
      .updateTable('workshop')
      .set({ weight_unit: 'pounds', name: 'The Loft', time_zone: 'Asia/Tokyo' })
      .execute()
    await site.db.updateTable('workshop').set({ weight_unit: 'metric' }).execute()
    expect(await page()).toContain('Since it was issued, this has changed')

    const issued = await site.browser.post(at, {})
    expect([issued.status, issued.headers.location]).toEqual([303, at])
    const later = await page()
    expect(later).toContain('Receipt 2 of commission 1')
    expect(later).toContain('It amends receipt 1')
    expect(later).toMatch(/needed by: Tue 24 Mar 2026 \(was: Fri 20 Mar 2026\)/)
    expect(later).toMatch(/wishes: “in the shade” \(was: “Never hang it by the thin ends.”\)/)
    expect(stored()[0]).toEqual(before)
    const sheet = (words: string) => words.slice(words.indexOf('The Weir Shed'))
    expect(sheet(await page(`${at}?n=1`))).toBe(sheet(first).replace(/Since it was issued.*/, ''))
    expect((await site.browser.get(`${at}?n=7`)).status).toBe(404)
    const { body } = await site.browser.json('/commissions/1')
    expect(body.came.receipts.map(({ n }: { n: number }) => n)).toEqual([1, 2])
  })

  test('in other units is the same receipt: what was issued keeps its words', async () => {
    const first = await page()
    await site.db.updateTable('workshop').set({ weight_unit: 'pounds', volume_unit: 'us' }).execute()
    expect((await page(`${at}?n=1`)).includes('600 g dry')).toBe(true)
    expect(first).toContain('600 g dry')
  })

  test('goes out as JSON', async () => {
    const { body } = await site.browser.json(at)
    expect(body.issued).toMatchObject({
      commissionId: 1,
      n: 1,
      who: 'Wren',
      receipt: { takenInBy: 'Wren', amends: [] },
    })
    expect(body.changed).toEqual([])
  })

  test('is emptied only when all has gone back, and then says nothing', async () => {
    const erase = () => site.raw.prepare(`update receipt set content = '"erased"', grain = ''`).run()
    expect(erase).toThrow('a receipt that was issued never changes')
    site.raw.exec("drop trigger lot_closes; update lot set closed_at = '2026-03-09'")
    erase()
    expect(await page()).toContain('No receipt is on record.')
    const again = await site.browser.post(at, {})
    expect(again.status).toBe(409)
    expect(again.text).toContain('none is issued any more')
  })

  test('is issued later for what was taken in before there were any', async () => {
    site.raw.exec('drop trigger receipt_kept; delete from receipt')
    expect(await page()).toContain('Issue receipt 1')
    expect((await site.browser.post(at, {})).status).toBe(303)
    expect(await page()).toContain('Receipt 1 of commission 1')
  })
})

test('on a sheet of their own, the signatures still say what is signed for', async () => {
  const [receipt] = await receiptsOf(site.db, 1)
  if (receipt === undefined) throw new Error('no receipt')
  const lastSheets = await Promise.all(
    Array.from({ length: 30 }, async (_, lines) => {
      const terms = Array.from({ length: 20 + lines }, (_, n) => `Term ${n + 1}.`).join('\n')
      const blocks = receiptBlocks({ ...receipt, receipt: { ...receipt.receipt, terms } }, null)
      const bytes = await paperPdf({ blocks, running: receiptRunning(receipt), paper: 'A5', at: receipt.at })
      return textOf(bytes).trimEnd().split('\f').at(-1) ?? ''
    }),
  )
  for (const sheet of lastSheets)
    expect(sheet).toMatch(/Both sign for 4 bundles, 12 ties, 600 g dry\.[\s\S]*Handed over: Ilse/)
  expect(lastSheets.some(sheet => !sheet.includes('Term'))).toBe(true)
})
