/** The PDF of a slip says what its page says, word for word, on every paper: read back by pdftotext (poppler-utils). */
import { beforeEach, describe, expect, test } from 'vitest'
import { PAPER_NAMES, PAPERS } from '../../src/domain/paper.js'
import { slipBlocks } from '../../src/domain/slip-blocks.js'
import { findHandBack } from '../../src/store/return-slip.js'
import { paperPdf } from '../../src/web/kit/paper-pdf.js'
import { aLot, alike, bring, dyeLotOne, makeReady, rowsTicked } from '../hand-back-helper.js'
import { testApp } from '../helper.js'
import { bare, pageText, pdfText, pictureOf, shapeOf, textOf } from '../pdf-text.js'
import { scannedPicture } from '../scanned.js'

let site: Awaited<ReturnType<typeof testApp>>
beforeEach(async () => {
  site = await testApp()
})

const pdfOf = async (paper: string): Promise<Buffer> => {
  const answer = await site.browser.get(`/hand-backs/1/slip.pdf?paper=${paper}`).responseType('blob')
  expect([answer.status, answer.headers['content-type']]).toEqual([200, 'application/pdf'])
  return answer.body
}

async function sameOnEveryPaper(running: string): Promise<string> {
  const page = pageText((await site.browser.get('/hand-backs/1/slip')).text)
  expect(page.length).toBeGreaterThan(300)
  for (const paper of PAPERS) expect(pdfText(await pdfOf(PAPER_NAMES[paper]), running), paper).toBe(page)
  return page
}

const close = async (fields: Record<string, string>) => {
  const answer = await site.browser.post('/commissions/1/hand-back', { do: 'close', version: '0', ...fields })
  expect(answer.status, answer.text).toBe(303)
}

describe('the PDF', () => {
  test('says what the page says on an everyday day', async () => {
    await bring(site.db, site.by, [aLot(alike(2)), aLot(alike(1), { colour: 'slate' })])
    makeReady(site.raw, 1)
    makeReady(site.raw, 2)
    await dyeLotOne(site.db, site.raw, site.by)
    await close({
      toWhom: 'Marta Quill',
      ...rowsTicked([
        { lot: 0, bundles: 2 },
        { lot: 1, bundles: 1 },
      ]),
    })
    const page = await sameOnEveryPaper('Return slip 1 · Lots 1, 2 · MQ')
    expect(page).toContain(bare('Handed back: Wren Received: Marta Quill'))
  })

  test('says it when everything is unusual: in part, by carrier, not signed, with words in other letters', async () => {
    await bring(site.db, site.by, [aLot(alike(4), { colour: 'rouge “garance”' })], {
      name: 'Zoë Ńowak',
      wishes: 'œuvre: à l’abri',
    })
    makeReady(site.raw, 1)
    const rows = rowsTicked([{ lot: 0, bundles: 4 }])
    await close({
      ...rows,
      toWhom: 'Ødger & Sons <carriers>',
      authority: 'Zoë’s message of 1 March; “please send it”',
      how: 'by carrier',
      reference: 'river post / 77-№3',
      acknowledged: 'not signed',
      notSignedBecause: 'it went by post',
      'lots.0.bundles.3.stays': 'yes',
      staysUntil: 'in 9 days',
      staysWords: 'still damp',
      'lots.0.bundles.0.tiesBack': '2',
      'lots.0.bundles.0.explanation': `snapped: ${'averylongwordwithoutanyend'.repeat(12)}`,
      'lots.0.bundles.1.weight': '100 g',
      'lots.0.bundles.1.explanation': 'λιγότερο, потому что',
      words: 'First line.\nSecond line.',
    })
    await site.browser.post('/hand-backs/1/notes', {
      'note.words': 'The address was wrong; it came back & went again.',
    })
    const page = await sameOnEveryPaper('Return slip 1 · Lot 1 · MQ')
    for (const words of [
      'In part: 3 of the 4 bundles that came. Bundle 4 stays here until Wed 11 Mar 2026: still damp.',
      'Goes by river post / 77-№3',
      'Not signed, because: it went by post',
      'Added after the hand-back Mon 2 Mar 2026, Wren: “The address was wrong; it came back & went again.”',
    ])
      expect(page).toContain(bare(words))
  })

  test('of sixty bundles says whose it is on every sheet', async () => {
    await bring(site.db, site.by, [aLot(alike(60))])
    makeReady(site.raw, 1)
    await close({ toWhom: 'MQ', ...rowsTicked([{ lot: 0, bundles: 60 }]) })
    await sameOnEveryPaper('Return slip 1 · Lot 1 · MQ')
    const { pages } = shapeOf(await pdfOf('a5'))
    expect(pages).toBeGreaterThan(1)
    const sheets = textOf(await pdfOf('a5'))
      .split('\f')
      .slice(0, pages)
    for (const [n, sheet] of sheets.entries()) {
      expect(sheet).toContain(`${n + 1} of ${pages}`)
      expect(sheet).toContain('Return slip 1')
    }
  })

  test('has the size of its paper; a roll is one piece, as long as it needs', async () => {
    await bring(site.db, site.by, [aLot(alike(2))])
    makeReady(site.raw, 1)
    await close({ toWhom: 'Marta Quill', ...rowsTicked([{ lot: 0, bundles: 2 }]) })
    // ISO 216 and US Letter, in points of 1/72 inch.
    const a5 = shapeOf(await pdfOf('a5'))
    expect([a5.width, a5.height].map(Math.round)).toEqual([420, 595])
    expect(shapeOf(await pdfOf('letter'))).toMatchObject({ width: 612, height: 792 })
    const roll = shapeOf(await pdfOf('roll'))
    expect(roll.pages).toBe(1)
    expect(roll.width).toBeCloseTo((80 / 25.4) * 72, 1)
    expect(roll.height).toBeLessThan(1000)
    site.raw.exec("update workshop set slip_paper = '80 mm roll'")
    expect((await site.browser.get('/hand-backs/1/slip')).text).toContain('class="paper-roll"')
    const usual = await site.browser.get('/hand-backs/1/slip.pdf').responseType('blob')
    expect(shapeOf(usual.body).pages).toBe(1)
  })

  test('is not there before the hand-back', async () => {
    expect((await site.browser.get('/hand-backs/1/slip.pdf')).status).toBe(404)
  })
})

describe('the address of the client’s own page', () => {
  const ADDRESS = 'https://weir-shed.example/c/7hq2-kkwx-9d4r-m3tt'

  test.each(PAPERS)('is read back from the QR on %s, and stands below it in letters', async paper => {
    await bring(site.db, site.by, [aLot(alike(1))])
    makeReady(site.raw, 1)
    await close({ toWhom: 'Marta Quill', ...rowsTicked([{ lot: 0, bundles: 1 }]) })
    const slip = await findHandBack(site.db, 1)
    if (!slip) throw new Error('the slip is not there')
    const bytes = await paperPdf({ blocks: slipBlocks(slip, ADDRESS), running: [], paper, at: slip.at })
    expect(bare(textOf(bytes))).toContain(ADDRESS)
    expect(await scannedPicture(pictureOf(bytes))).toBe(ADDRESS)
  })
})
