/** Tags on paper: printed by a real browser, drawn dot for dot as the coarsest printer does, and read back by a decoder. */
import { execFileSync } from 'node:child_process'
import { mkdtempSync, readdirSync, readFileSync, rmSync, writeFileSync } from 'node:fs'
import type { AddressInfo } from 'node:net'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import type { Browser, Page } from 'playwright-core'
import sharp from 'sharp'
import { afterAll, beforeAll, describe, expect, test } from 'vitest'
import { DOT_SIZES, qrFor, TAG_MEASURES, TAG_SIZES, type TagSettings, tagsOnSheet } from '../../src/domain/tag-label.js'
import { findTagSettings } from '../../src/store/tag-settings.js'
import { aLot, alike, bring } from '../hand-back-helper.js'
import { testApp } from '../helper.js'
import { scannedPicture } from '../scanned.js'
import { openChromium, PHONE } from './chromium.js'
import { inspectionIn } from './inspection.js'

const ADDRESS = 'https://the-weir-shed-by-the-river.example'
const LONG_NAME = 'Wilhelmina van der Oever-Achterberg the Younger'

let site: Awaited<ReturnType<typeof testApp>>
let browser: Browser
let page: Page
let codes: string[]
let address: string
const folder = mkdtempSync(join(tmpdir(), 'tie-for-tie-tags-'))

beforeAll(async () => {
  site = await testApp()
  await bring(site.db, site.by, [aLot(alike(9)), aLot(alike(3, { tiesIn: 7 }))], { name: LONG_NAME })
  codes = site.raw.prepare('select code from tag order by bundle_id').pluck().all().map(String)
  await site.app.listen({ host: '127.0.0.1', port: 0 })
  address = `http://127.0.0.1:${(site.app.server.address() as AddressInfo).port}`
  browser = await openChromium()
  const context = await browser.newContext({ baseURL: address, viewport: PHONE, colorScheme: 'dark' })
  await context.addCookies([{ name: 'tie', value: site.cookie.replace('tie=', ''), url: address }])
  page = await context.newPage()
  await site.browser.post('/commissions/1/tags', { do: 'new' })
})
afterAll(async () => {
  await browser?.close()
  await site.app.close()
  rmSync(folder, { recursive: true })
})

async function setTo(settings: Partial<TagSettings>): Promise<void> {
  const { version, ...before } = await findTagSettings(site.db)
  const answer = await site.browser.post('/settings/tags', { ...before, ...settings, version })
  expect(answer.status, answer.text).toBe(303)
  await page.goto('/tag-sheets/1')
}

/** Prints the sheet; answers each page's size in mm, and its picture with so many dots to the inch, without any greys. */
async function printed(dots: number): Promise<{ widthMm: number; heightMm: number; picture: Buffer }[]> {
  const file = join(folder, 'tags.pdf')
  writeFileSync(file, await page.pdf({ preferCSSPageSize: true, printBackground: false }))
  const info = execFileSync('pdfinfo', ['-f', '1', '-l', '99', file], { encoding: 'utf8' })
  const sizes = [...info.matchAll(/Page +\d+ size: +([\d.]+) x ([\d.]+) pts/g)]
  for (const old of readdirSync(folder).filter(name => name.endsWith('.pgm'))) rmSync(join(folder, old))
  execFileSync('pdftoppm', ['-r', String(dots), '-gray', '-aaVector', 'no', '-aa', 'no', file, join(folder, 'page')])
  const pictures = readdirSync(folder)
    .filter(name => name.endsWith('.pgm'))
    .sort()
  expect(pictures).toHaveLength(sizes.length)
  return Promise.all(
    pictures.map(async (name, at) => ({
      widthMm: (Number(sizes[at]?.[1]) / 72) * 25.4,
      heightMm: (Number(sizes[at]?.[2]) / 72) * 25.4,
      picture: await sharp(pgm(readFileSync(join(folder, name))).pixels, {
        raw: pgm(readFileSync(join(folder, name))).raw,
      })
        .png()
        .toBuffer(),
    })),
  )
}

/** A portable greymap: a head of four words, then the pixels. */
function pgm(file: Buffer) {
  const [head = '', width, height] = /^P5\s+(\d+)\s+(\d+)\s+\d+\s/.exec(file.toString('latin1', 0, 60)) ?? []
  return {
    pixels: file.subarray(head.length),
    raw: { width: Number(width), height: Number(height), channels: 1 as const },
  }
}

describe('single labels', () => {
  test.each([
    ['200', 'small'],
    ['203', 'small'],
    ['300', 'small'],
    ['600', 'small'],
  ] as const)(
    'at the smallest size, at %s dots to the inch, every code is read from the paper',
    async (dots, dotSize) => {
      const dotsPerInch = Number(dots) as TagSettings['dotsPerInch']
      await setTo({ paper: 'labels', size: '50 x 30', dotsPerInch, dotSize, address: ADDRESS })
      const pages = await printed(dotsPerInch)
      expect(pages).toHaveLength(12)
      for (const [at, { widthMm, heightMm, picture }] of pages.entries()) {
        expect([widthMm, heightMm].map(Math.round)).toEqual([50, 30])
        expect(await scannedPicture(picture)).toBe(`${ADDRESS.toUpperCase()}/T/${codes[at]}`)
      }
    },
  )

  test.each(TAG_SIZES.slice(1))('of %s mm are one to a page of that size', async size => {
    await setTo({ paper: 'labels', size, dotsPerInch: 203, dotSize: 'usual', address: ADDRESS })
    const pages = await printed(203)
    const { widthMm, heightMm } = TAG_MEASURES[size]
    expect(pages.map(one => [Math.round(one.widthMm), Math.round(one.heightMm)])).toEqual(
      Array(12).fill([widthMm, heightMm]),
    )
    expect(await scannedPicture(pages[11]?.picture ?? Buffer.alloc(0))).toContain(codes[11])
  })
})

describe('sheets', () => {
  const papers = { A4: [210, 297], Letter: [216, 279] } as const
  test.each(['A4', 'Letter'] as const)('of %s hold whole tags, each with its own code', async paper => {
    for (const size of ['50 x 30', '100 x 60'] as const) {
      await setTo({ paper, size, dotsPerInch: 600, dotSize: 'usual', address: ADDRESS })
      const { columns, rows } = tagsOnSheet(paper, size)
      const pages = await printed(300)
      expect(pages).toHaveLength(Math.ceil(12 / (columns * rows)))
      expect(pages.map(one => [Math.round(one.widthMm), Math.round(one.heightMm)])).toEqual(
        pages.map(() => papers[paper]),
      )
      const mm = (length: number) => Math.round((length * 300) / 25.4)
      const { widthMm, heightMm } = TAG_MEASURES[size]
      for (const at of codes.keys()) {
        const [sheet, place] = [Math.floor(at / (columns * rows)), at % (columns * rows)]
        const tag = sharp(pages[sheet]?.picture).extract({
          left: mm(5 + (place % columns) * widthMm),
          top: mm(5 + Math.floor(place / columns) * heightMm),
          width: mm(widthMm),
          height: mm(heightMm),
        })
        expect(await scannedPicture(await tag.png().toBuffer()), `${paper} ${size} ${at}`).toContain(codes[at])
      }
    }
  })
})

test('nothing runs out of a tag, of any size and with any square code that has room on it', async () => {
  for (const size of TAG_SIZES)
    for (const dotSize of DOT_SIZES) {
      const settings = { paper: 'labels', size, dotsPerInch: 200, dotSize, address: ADDRESS } as const
      if (!qrFor(settings).fits) continue
      await setTo(settings)
      const seen = await page.evaluate<{ over: string[]; codePt: number; side: number }>(`(() => {
        const box = element => element.getBoundingClientRect()
        const over = [...document.querySelectorAll('.tag')].flatMap(tag => [...tag.querySelectorAll('.qr, .code, .code span, .words, .words p, .drawn svg, .hole')].filter(part => {
          const [outer, inner] = [box(tag), box(part)]
          return inner.width > 0 && (inner.left < outer.left - 0.6 || inner.right > outer.right + 0.6 || inner.top < outer.top - 0.6 || inner.bottom > outer.bottom + 0.6)
        }).map(part => part.className.baseVal ?? part.className))
        const overlap = [...document.querySelectorAll('.tag')].filter(tag => box(tag.querySelector('.code')).left < box(tag.querySelector('.qr')).right - 0.6 || box(tag.querySelector('.words')).top < box(tag.querySelector('.qr')).bottom - 0.6)
        const code = document.querySelector('.code')
        return { over: [...over, ...overlap.map(() => 'overlap')], codePt: parseFloat(getComputedStyle(code).fontSize) * 0.75, side: box(document.querySelector('.qr')).width / 96 * 25.4 }
      })()`)
      expect(seen.over, `${size} ${dotSize}`).toEqual([])
      expect(seen.codePt).toBeGreaterThanOrEqual(24)
      expect(seen.side).toBeCloseTo(qrFor(settings).sideMm, 1)
    }
})

test('a long name has a second line, and is not cut on a tag with room for it', async () => {
  for (const size of ['90 x 50', '100 x 60'] as const) {
    await setTo({ paper: 'labels', size, dotsPerInch: 200, dotSize: 'usual', address: ADDRESS })
    const cut = await page.evaluate<boolean[]>(
      `[...document.querySelectorAll('strong.whose')].map(name => name.scrollHeight > name.clientHeight + 1 || name.scrollWidth > name.clientWidth + 1)`,
    )
    expect(cut.length).toBeGreaterThan(0)
    expect(cut, size).not.toContain(true)
  }
})

test('every page of tags can be used on a narrow phone, and by all', async () => {
  const bench = await browser.newContext({ viewport: { width: 320, height: 640 }, bypassCSP: true })
  await bench.addCookies([{ name: 'tie', value: site.cookie.replace('tie=', ''), url: address }])
  const inspect = await inspectionIn(bench, 320)
  const pages = [
    '/commissions/1/tags',
    '/bundles/1',
    '/t',
    '/t/KX47RT',
    '/settings/tags',
    '/untagged?ties=7&weight=150',
    '/clients/1',
  ]
  await site.browser.post('/bundles/2/tag', { code: codes[1] ?? '', became: 'torn', words: '' })
  for (const one of [...pages, `/t/${codes[1]}`]) {
    await page.goto(one)
    expect(await inspect(page), one).toEqual([])
  }
  await bench.close()
})

test('a browser that reads square codes by itself scans into the field', async () => {
  const scanner = await browser.newContext({ baseURL: address, viewport: PHONE })
  await scanner.addCookies([{ name: 'tie', value: site.cookie.replace('tie=', ''), url: address }])
  await scanner.addInitScript(`
    globalThis.BarcodeDetector = class { async detect() { return [{ rawValue: '${ADDRESS.toUpperCase()}/T/${codes[0]}' }] } }
    const canvas = document.createElement('canvas')
    setInterval(() => canvas.getContext('2d').fillRect(0, 0, Math.random() * 90, 10), 50)
    navigator.mediaDevices.getUserMedia = async () => canvas.captureStream(5)
  `)
  const phone = await scanner.newPage()
  await phone.goto('/t')
  await phone.getByRole('button', { name: 'Scan with the camera' }).click()
  await phone.waitForURL('**/bundles/1')
  await scanner.close()
})
