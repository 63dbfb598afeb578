import { createHash } from 'node:crypto'
import { existsSync, readFileSync, rmSync, writeFileSync } from 'node:fs'
import { join } from 'node:path'
import sharp from 'sharp'
import supertest from 'supertest'
import { beforeEach, describe, expect, test } from 'vitest'
import { pathOf } from '../../src/store/photograph-folder.js'
import { photographsToShow } from '../../src/store/photographs.js'
import { newKey } from '../helper.js'
import { photographSite } from '../photographs-helper.js'
import { bitmap, declaredJpeg, declaredPng, drawn, goodPictures, mediaFile, svg } from '../picture-files.js'

let site: Awaited<ReturnType<typeof photographSite>>
beforeEach(async () => {
  site = await photographSite()
})

const jpeg = async (n = 0) => ({
  name: `IMG_${n}.jpg`,
  bytes: await drawn(640 + n, 480)
    .jpeg()
    .toBuffer(),
})
const hashOf = (row: Record<string, unknown> | undefined) => String(row?.hash)
const fileOf = (row: Record<string, unknown> | undefined) => readFileSync(pathOf(site.folder, hashOf(row)))

describe('a photograph', () => {
  test('is kept under the hash of its bytes, shown on its page and told in the history', async () => {
    const answer = await site.send([await jpeg()], { words: 'the thick ends' })
    expect([answer.status, answer.headers.location]).toEqual([303, site.page])
    const [row] = site.rows()
    expect(row).toMatchObject({ lot_id: site.lotId, bundle_id: null, moment: 'as it came', words: 'the thick ends' })
    expect(row).toMatchObject({ width_px: 640, height_px: 480, worker_id: 1, withdrawn_at: null })
    expect(site.onDisk()).toEqual([`${hashOf(row)}.jpg`])
    expect(createHash('sha256').update(fileOf(row)).digest('hex')).toBe(hashOf(row))
    expect(row?.bytes).toBe(fileOf(row).length)
    const page = await site.browser.get(site.page)
    expect(page.text).toContain(`/photographs/${hashOf(row)}.jpg`)
    expect(page.text).toContain('the thick ends')
    const lot = await site.browser.get(`/lots/${site.lotId}`)
    expect(lot.text).toContain(`/photographs/${hashOf(row)}.jpg`)
    expect(lot.text).toContain('photographed as it came: one photograph of the whole lot')
  })

  test('of one bundle stands with that bundle; several come at once', async () => {
    const bundles = site.raw.prepare('select id from bundle where lot_id = ?').pluck().all(site.lotId) as number[]
    const three = await Promise.all([1, 2, 3].map(n => jpeg(n)))
    const fields = { bundleId: String(bundles[1]), moment: 'as it goes' }
    expect((await site.send(three, fields)).status).toBe(303)
    expect(site.rows().map(row => [row.bundle_id, row.moment])).toEqual(three.map(() => [bundles[1], 'as it goes']))
    const { body } = await site.browser.json(site.page)
    expect(body.photographs.map(({ n, moment }: { n: number; moment: string }) => [n, moment])).toEqual(
      three.map(() => [2, 'as it goes']),
    )
  })

  test('of a bundle of another lot is refused, with what was typed', async () => {
    const answer = await site.send([await jpeg()], { bundleId: '999', words: 'half a strand' })
    expect(answer.status).toBe(422)
    expect(answer.text).toContain('Choose a bundle of this lot')
    expect(answer.text).toContain('half a strand')
    expect([site.rows(), site.onDisk()]).toEqual([[], []])
  })

  test('pressed twice, or many times at once, is kept once', async () => {
    const key = newKey()
    const file = await jpeg()
    const answers = await Promise.all([1, 2, 3, 4].map(() => site.send([file], { key })))
    expect(answers.map(({ status }) => status)).toEqual([303, 303, 303, 303])
    expect(site.rows()).toHaveLength(1)
    expect(site.onDisk()).toHaveLength(1)
    expect((await site.send([await jpeg(1)], { key })).status).toBe(409)
    expect((await site.send([file])).status).toBe(409)
    expect(site.rows()).toHaveLength(1)
  })

  test('without a file, with a strange moment or with endless words is refused in words', async () => {
    const none = await site.send([])
    expect(none.status).toBe(422)
    expect(none.text).toContain('Take a photograph or choose one')
    const long = await site.send([await jpeg()], { words: 'x'.repeat(10_000), moment: 'some day' })
    expect(long.status).toBe(422)
    expect(long.text).toContain('x'.repeat(10_000))
    const bare = await site.browser.post(site.page, { bundleId: 0, moment: 'as it came', words: 'typed' })
    expect(bare.status).toBe(422)
    expect(bare.text).toContain('value="typed"')
    expect([site.rows(), site.onDisk()]).toEqual([[], []])
  })

  test('too many at once: none is kept', async () => {
    const bytes = (await jpeg()).bytes
    const answer = await site.send(Array.from({ length: 13 }, (_, n) => ({ name: `${n}.jpg`, bytes })))
    expect(answer.status).toBe(413)
    expect(answer.text).toContain('at most 12 at once')
    expect([site.rows(), site.onDisk()]).toEqual([[], []])
  })
})

describe('what is kept of a file', () => {
  test.each(Object.entries(goodPictures))('%s becomes a plain JPEG', async (name, make) => {
    const answer = await site.send([{ name, bytes: await make(), type: 'application/x-whatever' }])
    expect(answer.status, answer.text).toBe(303)
    const [row] = site.rows()
    const head = await sharp(fileOf(row)).metadata()
    expect([head.format, head.pages, head.space === 'b-w' || head.space === 'srgb']).toEqual(['jpeg', undefined, true])
    expect(head.width).toBe(row?.width_px)
    const { channels } = await sharp(fileOf(row)).stats()
    expect(channels[0]?.max).toBeGreaterThan(Number(channels[0]?.min) + 60)
  })

  test('it stands upright, and place, device and time are gone from it', async () => {
    const exif = {
      IFD0: { Make: 'Peep-hole', Model: 'Box' },
      IFD3: { GPSLatitude: '38/1 42/1 0/1', GPSLatitudeRef: 'N' },
    }
    const bytes = await drawn().withExif(exif).withMetadata({ orientation: 6 }).jpeg().toBuffer()
    expect(bytes.includes('Peep-hole')).toBe(true)
    expect((await site.send([{ name: 'turned.jpg', bytes }])).status).toBe(303)
    const [row] = site.rows()
    expect([row?.width_px, row?.height_px]).toEqual([480, 640])
    const kept = fileOf(row)
    const head = await sharp(kept).metadata()
    expect([head.orientation, head.exif, head.icc, head.xmp, head.iptc]).toEqual(Array(5).fill(undefined))
    for (const word of ['Peep-hole', 'Exif', 'GPS']) expect(kept.includes(word), word).toBe(false)
    // Orientation 6: the first row of the file is the right-hand side (Exif 2.3, 4.6.4). Red was on top, so it is right.
    const { data, info } = await sharp(kept).raw().toBuffer({ resolveWithObject: true })
    const redAt = (x: number) => Number(data[(Math.floor(info.height / 2) * info.width + x) * info.channels])
    expect(redAt(info.width - 40)).toBeGreaterThan(130)
    expect(redAt(40)).toBeLessThan(80)
  })

  test('a large one becomes 1,800 pixels along its longer side', async () => {
    const bytes = await drawn(4000, 1000).jpeg().toBuffer()
    expect((await site.send([{ name: 'wide.jpg', bytes }])).status).toBe(303)
    expect(site.rows()[0]).toMatchObject({ width_px: 1800, height_px: 450 })
  })

  test('a page hung onto a JPEG is gone', async () => {
    const { bytes } = await jpeg()
    const page = '<html><script>alert(document.cookie)</script></html>'
    expect((await site.send([{ name: 'x.html.jpg', bytes: Buffer.concat([bytes, Buffer.from(page)]) }])).status).toBe(
      303,
    )
    expect(fileOf(site.rows()[0]).includes('script')).toBe(false)
  })

  test.each([
    '../../x.jpg',
    '..\\..\\x.jpg',
    'CON',
    '/etc/passwd',
    `${'x'.repeat(300)}.jpg`,
    'a\u202egpj.exe',
    '.jpg.php',
  ])('the name %j becomes no part of a path', async name => {
    expect((await site.send([{ name, bytes: (await jpeg()).bytes }])).status).toBe(303)
    expect(site.onDisk()).toEqual([`${hashOf(site.rows()[0])}.jpg`])
    const { text } = await site.browser.get(site.page)
    expect(text).not.toContain('passwd')
  })
})

const cutOff = async (bytes: Promise<Buffer>) => (await bytes).subarray(0, (await bytes).length * 0.6)

describe('a file that is refused', () => {
  const bad: [string, () => Promise<Buffer> | Buffer, RegExp][] = [
    ['empty.jpg', () => Buffer.alloc(0), /empty/],
    ['cut-off.jpg', () => cutOff(drawn().jpeg().toBuffer()), /damaged, or was cut off/],
    ['cut-off.png', () => cutOff(drawn().png().toBuffer()), /damaged, or was cut off/],
    ['cut-off.webp', () => cutOff(drawn().webp().toBuffer()), /damaged, or was cut off/],
    ['cut-off.gif', () => cutOff(drawn().gif().toBuffer()), /damaged, or was cut off/],
    ['cut-off.tiff', () => cutOff(drawn().tiff().toBuffer()), /damaged, or was cut off/],
    ['head-only.jpg', () => Buffer.from([0xff, 0xd8, 0xff, 0xe0]), /damaged, or was cut off/],
    ['page.jpg', () => Buffer.from('<!doctype html><script>alert(1)</script>'), /no picture that can be read/],
    ['drawing.jpg', () => svg, /SVG/],
    ['drawing.svg', () => Buffer.concat([Buffer.from('<?xml version="1.0"?>\n'), svg]), /SVG/],
    ['paper.jpg', () => Buffer.from('%PDF-1.7\n%âãÏÓ'), /PDF/],
    ['old.bmp', bitmap, /BMP/],
    ['IMG_1.HEIC', () => mediaFile('heic'), /HEIC.*JPEG/s],
    ['film.jpg', () => mediaFile('mp42'), /film/],
    ['huge.png', () => declaredPng(60_000, 60_000), /60000 × 60000 pixels/],
    ['wide.png', () => declaredPng(60_000, 10), /60000 × 10 pixels/],
    ['huge.jpg', () => declaredJpeg(60_000, 60_000), /60000 × 60000 pixels/],
    ['words.jpg', () => Buffer.from('just some words'), /no picture that can be read/],
  ]
  test.each(bad)('%s: says why, fast, and leaves nothing behind', async (name, make, why) => {
    const bytes = await make()
    const since = performance.now()
    const answer = await site.send([{ name, bytes }])
    expect(answer.status, answer.text).toBe(422)
    expect(answer.text).toMatch(why)
    expect(answer.text).toContain(`“${name}”`)
    expect(performance.now() - since).toBeLessThan(3000)
    expect([site.rows(), site.onDisk()]).toEqual([[], []])
  })

  test('one bad file among good ones: none is kept, and the bad one is named', async () => {
    const answer = await site.send([
      await jpeg(1),
      { name: 'notes.pdf', bytes: Buffer.from('%PDF-1.4') },
      await jpeg(2),
    ])
    expect(answer.status).toBe(422)
    expect(answer.text).toContain('“notes.pdf” is a PDF')
    expect(answer.text).toContain('choose the others again')
    expect([site.rows(), site.onDisk()]).toEqual([[], []])
  })

  test('markup in a name stays text', async () => {
    const answer = await site.send([{ name: '<img src=x onerror=1>.jpg', bytes: Buffer.from('no') }])
    expect(answer.text).not.toContain('<img src=x')
  })
})

describe('a client who has not said yes', () => {
  test.each(['no', 'not asked'] as const)('%s: 403, and no file on the disk', async said => {
    site = await photographSite(said)
    const answer = await site.send([await jpeg()])
    expect(answer.status).toBe(403)
    expect(answer.text).toContain(said === 'no' ? 'does not want photographs' : 'has not been asked')
    expect(answer.text).toContain('How it looks')
    expect([site.rows(), existsSync(site.folder)]).toEqual([[], false])
    const page = await site.browser.get(site.page)
    expect(page.text).not.toContain('type="file"')
  })

  test('words are kept instead', async () => {
    site = await photographSite('no')
    const answer = await site.browser.post(`/lots/${site.lotId}/descriptions`, {
      'described.bundleId': 0,
      'described.moment': 'as it came',
      'described.words': 'pale, one strip stained at the tip',
    })
    expect(answer.status).toBe(303)
    const page = await site.browser.get(site.page)
    expect(page.text).toContain('one strip stained at the tip')
    const empty = await site.browser.post(`/lots/${site.lotId}/descriptions`, { 'described.bundleId': 0 })
    expect(empty.status).toBe(422)
  })

  test('the answer is written down there, once, with who wrote it; then it can be photographed', async () => {
    site = await photographSite('not asked')
    const { body } = await site.browser.json(site.page)
    const fields = { photographs: 'yes, not to show', version: body.clientVersion }
    expect((await site.browser.post(`${site.page}/answer`, fields)).status).toBe(303)
    expect((await site.browser.post(`${site.page}/answer`, { ...fields, photographs: 'no' })).status).toBe(409)
    expect((await site.browser.post(`${site.page}/answer`, {})).status).toBe(422)
    const client = (await site.browser.json(`/clients/${body.lot.clientId}`)).body
    expect(client.client.photographs).toBe('yes, not to show')
    expect(client.changes.at(-1)).toMatchObject({ who: 'Wren', became: { photographs: 'yes, not to show' } })
    expect((await site.send([await jpeg()])).status).toBe(303)
    expect(await photographsToShow(site.db, 1)).toEqual([])
    site.raw.exec("update client set photographs = 'yes'")
    expect(await photographsToShow(site.db, 1)).toHaveLength(1)
    site.raw.exec("update client set photographs = 'no'")
    expect(await photographsToShow(site.db, 1)).toEqual([])
    const lot = (await site.browser.json(`/lots/${site.lotId}`)).body
    expect(lot.points.map(({ sentence }: { sentence: string }) => sentence).join()).toContain('still kept')
  })
})

describe('the file', () => {
  const served = async () => {
    await site.send([await jpeg()])
    return `/photographs/${hashOf(site.rows()[0])}.jpg`
  }

  test('goes out as a picture, in a sandbox, kept by no shared cache', async () => {
    const address = await served()
    const { status, headers, body } = await site.browser.get(address)
    expect(status).toBe(200)
    expect(headers).toMatchObject({
      'content-type': 'image/jpeg',
      'x-content-type-options': 'nosniff',
      'content-security-policy': "default-src 'none'; sandbox",
      'content-disposition': `inline; filename="photograph-${hashOf(site.rows()[0]).slice(0, 12)}.jpg"`,
      'cache-control': 'private, no-cache',
      'cross-origin-resource-policy': 'same-origin',
    })
    expect(createHash('sha256').update(body).digest('hex')).toBe(hashOf(site.rows()[0]))
    const again = await site.browser.get(address).set('if-none-match', String(headers.etag))
    expect(again.status).toBe(304)
  })

  test('is for those who are signed in', async () => {
    const address = await served()
    const answer = await supertest(site.app.server).get(address)
    expect([answer.status, answer.headers.location]).toEqual([303, `/sign-in?next=${encodeURIComponent(address)}`])
  })

  test('addresses that are none answer 404, and reach no other file', async () => {
    await served()
    writeFileSync(join(site.folder, 'secret.jpg'), 'x')
    const wrong = ['secret', '0'.repeat(64), '..%2F..%2Fetc%2Fpasswd', 'G'.repeat(64), '0'.repeat(63)]
    for (const name of wrong) expect((await site.browser.get(`/photographs/${name}.jpg`)).status, name).toBe(404)
    rmSync(pathOf(site.folder, hashOf(site.rows()[0])))
    expect((await site.browser.get(`/photographs/${hashOf(site.rows()[0])}.jpg`)).status).toBe(404)
  })
})

describe('withdrawing', () => {
  test('takes the file away and leaves the row, who, when and why', async () => {
    await site.send([await jpeg()])
    const address = `/photographs/${hashOf(site.rows()[0])}.jpg`
    expect((await site.browser.get(`${site.page}/1/withdrawal`)).text).toContain(address)
    expect((await site.browser.post(`${site.page}/1/withdrawal`, { why: ' ' })).status).toBe(422)
    const answer = await site.browser.post(`${site.page}/1/withdrawal`, { why: 'the client asked for it' })
    expect([answer.status, answer.headers.location]).toEqual([303, site.page])
    expect(site.onDisk()).toEqual([])
    expect(site.rows()[0]).toMatchObject({ withdrawn_by: 1, withdrawn_why: 'the client asked for it' })
    expect((await site.browser.get(address)).status).toBe(410)
    const page = await site.browser.get(site.page)
    expect(page.text).toContain('the client asked for it')
    expect(page.text).not.toContain(address)
    expect((await site.browser.post(`${site.page}/1/withdrawal`, { why: 'again' })).status).toBe(409)
    expect((await site.browser.get(`/lots/99/photographs/1/withdrawal`)).status).toBe(404)
  })

  test('a picture that also shows another bundle stays until both are withdrawn', async () => {
    const file = await jpeg()
    await site.send([file])
    await site.send([file], { moment: 'at the pot' })
    await site.browser.post(`${site.page}/1/withdrawal`, { why: 'blurred' })
    expect(site.onDisk()).toHaveLength(1)
    await site.browser.post(`${site.page}/2/withdrawal`, { why: 'blurred' })
    expect(site.onDisk()).toEqual([])
    // Kept again, it is there again.
    expect((await site.send([file])).status).toBe(303)
    expect(site.onDisk()).toHaveLength(1)
  })
})

describe('room', () => {
  test('what is set aside for photographs is not exceeded, and the sentence says what to do', async () => {
    site = await photographSite('yes', { photographsMostBytes: 1 })
    expect((await site.send([await jpeg()])).status).toBe(303)
    const answer = await site.send([await jpeg(1)])
    expect(answer.status).toBe(503)
    expect(answer.text).toContain('TIE_PHOTOGRAPHS_MB')
    expect(site.onDisk()).toHaveLength(1)
  })
})

describe('the open points', () => {
  test('name a photograph that the workshop wants and that can still be taken', async () => {
    const points = async () => {
      const { body } = await site.browser.json(`/lots/${site.lotId}`)
      return body.points.filter(({ to }: { to: string }) => to === site.page)
    }
    expect(await points()).toEqual([
      {
        lotId: site.lotId,
        bundleIds: [],
        sentence: `Lot ${site.lotId}: no photograph as it came yet.`,
        to: site.page,
        hinders: false,
      },
    ])
    const right = { version: '1', why: 'counted again', 'bundles.2.withdrawn': 'yes' }
    expect((await site.browser.post(`/lots/${site.lotId}/put-right`, right)).status).toBe(303)
    expect(await points(), 'a bundle that was never there changes nothing for the others').toHaveLength(1)
    await site.send([await jpeg()])
    expect(await points()).toEqual([])
    await site.browser.post(`${site.page}/1/withdrawal`, { why: 'blurred' })
    expect(await points()).toHaveLength(1)
    site.raw.exec("update client set photographs = 'not asked'")
    expect(await points()).toEqual([])
  })
})
