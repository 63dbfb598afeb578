import sharp from 'sharp'
import { describe, expect, test } from 'vitest'
import { qrDrawing } from '../../src/web/kit/qr-drawing.js'
import { scannedPage } from '../scanned.js'

const DOTS = 5
/** The drawing at five dots to a module: its side in modules, and whether each module is black, all of one tone. */
async function drawn(svg: string) {
  const side = Number(/viewBox="0 0 (\d+) /.exec(svg)?.[1])
  const sized = svg.replace(
    /width="[\d.]+mm" height="[\d.]+mm"/,
    `width="${side * DOTS}" height="${side * DOTS}" xmlns="http://www.w3.org/2000/svg"`,
  )
  const { data, info } = await sharp(Buffer.from(sized))
    .flatten({ background: '#fff' })
    .greyscale()
    .raw()
    .toBuffer({ resolveWithObject: true })
  const tone = (x: number, y: number) => data[(y * info.width + x) * info.channels]
  return { side, tone }
}

describe.each(['KX47RT', 'HTTPS://SHED.EXAMPLE/T/KX47RT', 'HTTPS://THE-WEIR-SHED-BY-THE-RIVER.EXAMPLE:47000/T/KX47RT'])(
  '%s',
  text => {
    const svg = qrDrawing(text, 0.5, 'Tag KX4 7RT')

    test('is read', async () => {
      expect(await scannedPage(svg)).toEqual([text])
    })

    test('has four modules of white on all sides, and black right behind them (ISO/IEC 18004, by DENSO WAVE)', async () => {
      const { side, tone } = await drawn(svg)
      const line = Array.from({ length: side * DOTS }, (_, at) => at)
      const blackAt = line.filter(x => line.some(y => tone(x, y) !== 255))
      expect([blackAt[0], blackAt.at(-1)]).toEqual([4 * DOTS, (side - 4) * DOTS - 1])
      const rows = line.filter(y => line.some(x => tone(x, y) !== 255))
      expect([rows[0], rows.at(-1)]).toEqual([4 * DOTS, (side - 4) * DOTS - 1])
    })

    test('is black and white only, each module of one tone and as wide as it says', async () => {
      const { side, tone } = await drawn(svg)
      for (let y = 0; y < side * DOTS; y += 1)
        for (let x = 0; x < side * DOTS; x += 1) {
          const corner = tone(x - (x % DOTS), y - (y % DOTS))
          if (tone(x, y) !== corner || (corner !== 0 && corner !== 255)) throw new Error(`${x}, ${y}: ${tone(x, y)}`)
        }
      expect(svg).toContain(`width="${(side * 0.5).toFixed(4)}mm" height="${(side * 0.5).toFixed(4)}mm"`)
      expect(svg).toContain('shape-rendering="crispEdges"')
      expect((side - 8 - 17) / 4).toBeLessThanOrEqual(4)
    })
  },
)

test('its label cannot break out of it', () => {
  expect(qrDrawing('KX47RT', 0.5, '"><script>')).toContain('aria-label="&quot;&gt;&lt;script&gt;"')
})
