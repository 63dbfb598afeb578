import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import { bundleDrawing, bundleInWords, type DrawnBundle, type TieState } from '../../src/web/kit/bundle-drawing.js'

const bundle = (ties: TieState[], more: Partial<DrawnBundle> = {}): DrawnBundle => ({
  swatch: '#a8323a',
  ties,
  tiesUndyed: false,
  label: 'Bundle 3',
  ...more,
})
const times = (count: number, tie: TieState): TieState[] => Array.from({ length: count }, () => tie)

const state = fc.constantFrom<TieState>('on', 'off', 'missing', 'replaced')
const ties = fc.array(state, { maxLength: 60 })
const colour = fc.integer({ min: 0, max: 0xffffff }).map(value => `#${value.toString(16).padStart(6, '0')}`)
const drawn = fc.record({
  swatch: fc.option(colour),
  ties,
  tiesUndyed: fc.boolean(),
  label: fc.string(),
})
const some = { numRuns: 150 }

interface Element {
  name: string
  attributes: Record<string, string>
}

/** The elements of a drawing, in order. */
const elementsOf = (svg: string): Element[] =>
  [...svg.matchAll(/<([a-z]+)((?: [a-zA-Z-]+="[^"]*")*)\/?>/g)].map(([, name = '', attributes = '']) => ({
    name,
    attributes: Object.fromEntries(
      [...attributes.matchAll(/ ([a-zA-Z-]+)="([^"]*)"/g)].map(([, key = '', value = '']) => [key, value]),
    ),
  }))

/** What is drawn for each state, told apart as a reader tells it apart. */
function partsOf(svg: string) {
  const paths = elementsOf(svg)
    .filter(element => element.name === 'path')
    .map(element => element.attributes)
  const lines = (attributes: Record<string, string> | undefined) => attributes?.d ?? ''
  const bands = paths.slice(2).filter(path => /^M\d+ \d+q/.test(lines(path)))
  return {
    sheaf: paths[0] ?? {},
    strips: paths[1] ?? {},
    plain: bands.find(path => !lines(path).includes('l')),
    hatched: bands.find(path => lines(path).includes('l')),
    dashed: paths.find(path => path['stroke-dasharray'] !== undefined),
    rings: paths.filter(path => lines(path).includes('a5')),
  }
}

const closed = (path: Record<string, string> | undefined) => (path?.d ?? '').split('z').length - 1

describe('in words', () => {
  test.each<[TieState[], boolean, string]>([
    [['on', 'on', 'on'], true, 'Bundle 3: 3 ties, ties undyed'],
    [['on', 'missing', 'on'], true, 'Bundle 3: 3 ties, 1 missing, ties undyed'],
    [['on'], false, 'Bundle 3: 1 tie'],
    [[], true, 'Bundle 3: no ties'],
    [['off', 'off'], false, 'Bundle 3: 2 ties, 2 on the tie board'],
    [
      ['replaced', 'off', 'missing', 'on', 'replaced'],
      true,
      "Bundle 3: 5 ties, 1 on the tie board, 1 missing, 2 replaced from the strip's own end, ties undyed",
    ],
  ])('%j, undyed %s: %s', (states, tiesUndyed, words) => {
    expect(bundleInWords({ label: 'Bundle 3', ties: states, tiesUndyed })).toBe(words)
  })

  test('the drawing says the same to a screen reader', () => {
    const svg = bundleDrawing(bundle(['on', 'missing', 'on'], { tiesUndyed: true }))
    expect(svg).toContain('role="img"')
    expect(svg).toContain('<title>Bundle 3: 3 ties, 1 missing, ties undyed</title>')
  })

  test('every text is escaped', () => {
    const svg = bundleDrawing(bundle(['on'], { label: `<b>"Bast" & 'rush'</b>` }))
    expect(svg).toContain(`<title>&lt;b&gt;&quot;Bast&quot; &amp; 'rush'&lt;/b&gt;: 1 tie</title>`)
  })
})

describe('a count can be checked at a glance', () => {
  test('each tie is drawn once, in the manner of its state', () => {
    fc.assert(
      fc.property(fc.array(state, { maxLength: 40 }), fc.boolean(), colour, (states, tiesUndyed, swatch) => {
        const parts = partsOf(bundleDrawing(bundle(states, { tiesUndyed, swatch })))
        const count = (wanted: TieState) => states.filter(each => each === wanted).length
        expect(closed(parts.plain)).toBe(count('on'))
        expect(closed(parts.hatched)).toBe(count('replaced'))
        expect(closed(parts.dashed)).toBe(count('missing'))
        expect(parts.rings.map(closed)).toEqual(count('off') > 0 ? [count('off'), count('off')] : [])
      }),
      some,
    )
  })

  test('ties stand in their order, apart from each other, in fives', () => {
    for (const count of [2, 3, 4, 5, 8, 12, 13, 40]) {
      const { plain } = partsOf(bundleDrawing(bundle(times(count, 'on'))))
      const places = [...(plain?.d ?? '').matchAll(/M(\d+) \d+q(\d+)/g)].map(([, x, half]) => Number(x) + Number(half))
      const halfWidth = count > 12 ? 4 : 5
      const steps = places.slice(1).map((place, index) => place - (places[index] ?? 0))
      for (const step of steps) expect(step).toBeGreaterThan(2 * halfWidth + 2)
      for (const [index, step] of steps.entries()) {
        const others = steps.filter((_, other) => (other + 1) % 5 !== 0)
        expect(step).toBe((others[0] ?? 0) + ((index + 1) % 5 === 0 ? 8 : 0))
      }
    }
  })

  test('few ties stand wide apart, and one in the middle of the sheaf', () => {
    const placesOf = (count: number) => partsOf(bundleDrawing(bundle(times(count, 'on')))).plain?.d ?? ''
    expect([...placesOf(1).matchAll(/M(\d+)/g)].map(([, x]) => Number(x) + 5)).toEqual([109])
    expect([...placesOf(3).matchAll(/M(\d+)/g)].map(([, x]) => Number(x) + 5)).toEqual([63, 109, 155])
  })

  test('a tie that is there draws the sheaf in; where none is it stands open', () => {
    const heightOf = (tie: TieState) => {
      const { sheaf } = partsOf(bundleDrawing(bundle([tie])))
      const inMiddle = pointsOf(sheaf.d ?? '').filter(point => point.x === 109)
      expect(inMiddle).toHaveLength(2)
      return Math.abs((inMiddle[0]?.y ?? 0) - (inMiddle[1]?.y ?? 0))
    }
    expect(heightOf('on')).toBe(heightOf('replaced'))
    expect(heightOf('missing')).toBe(heightOf('off'))
    expect(heightOf('missing') / heightOf('on')).toBeGreaterThan(1.3)
  })

  test('the thick end is at the left, and the strips fan out at both ends', () => {
    const { sheaf } = partsOf(bundleDrawing(bundle(['on', 'on', 'on'])))
    const points = pointsOf(sheaf.d ?? '')
    const heightAt = (from: number, to: number) => {
      const ys = points.filter(point => point.x >= from && point.x <= to).map(point => point.y)
      return Math.max(...ys) - Math.min(...ys)
    }
    expect(heightAt(0, 20)).toBeGreaterThan(heightAt(60, 160))
    expect(heightAt(200, 240)).toBeGreaterThan(heightAt(60, 160))
    expect(heightAt(63, 63)).toBeGreaterThan(heightAt(155, 155))
  })

  test('more than forty: one of each kind, with its number', () => {
    const states = [...times(36, 'on'), ...times(4, 'missing'), ...times(2, 'off'), ...times(1, 'replaced')]
    const svg = bundleDrawing(bundle(states))
    const parts = partsOf(svg)
    expect([parts.plain, parts.hatched, parts.dashed, ...parts.rings].map(closed)).toEqual([1, 1, 1, 1, 1])
    const written = [...svg.matchAll(/<text [^>]*>(\d+)<\/text>/g)].map(([, number]) => Number(number))
    expect(written).toEqual([36, 1, 4, 2])
    expect(bundleDrawing(bundle(times(40, 'on')))).not.toContain('<text')
    expect(bundleDrawing(bundle(times(41, 'on')))).toContain('text-anchor="middle" y="18" font-size="20"')
  })
})

describe('it can be seen in any colour, on screen and on paper', () => {
  const visible = (path: Record<string, string> | undefined, beside: string) => {
    if (path === undefined) return
    const best = [path.stroke, path.fill]
      .filter(paint => paint?.startsWith('#'))
      .map(paint => contrast(paint ?? beside, beside))
    expect(Math.max(...best)).toBeGreaterThanOrEqual(3)
  }

  // WCAG 2.2, success criterion 1.4.11: graphical objects stand out at least 3 to 1 from what they lie beside.
  test('bands, hatching and dashes stand out from the fibre at least 3 to 1', () => {
    const greys = Array.from({ length: 256 }, (_, value) => `#${value.toString(16).padStart(2, '0').repeat(3)}`)
    const every: TieState[] = ['on', 'replaced', 'missing']
    const look = (swatch: string, tiesUndyed: boolean) => {
      const parts = partsOf(bundleDrawing(bundle(every, { swatch, tiesUndyed })))
      expect(parts.sheaf.fill).toBe(swatch)
      visible(parts.plain, swatch)
      for (const lines of [parts.hatched, parts.dashed, parts.strips]) {
        expect(contrast(lines?.stroke ?? swatch, swatch)).toBeGreaterThanOrEqual(3)
      }
    }
    for (const grey of greys) for (const tiesUndyed of [true, false]) look(grey, tiesUndyed)
    fc.assert(fc.property(colour, fc.boolean(), look), some)
  })

  test('what lies against the page is drawn in the ink of the page', () => {
    const parts = partsOf(bundleDrawing(bundle(['off'])))
    expect(parts.sheaf.stroke).toBe('currentColor')
    expect(parts.rings[0]?.stroke).toBe('currentColor')
    // The page's ink on its paper, by day and by night.
    expect(contrast('#1c1c1c', '#ececec')).toBeGreaterThanOrEqual(3)
    expect(contrast('#f0f0f0', '#262626')).toBeGreaterThanOrEqual(3)
  })

  test('undyed bands are of the colour of the bare fibre, dyed ones follow the swatch', () => {
    const bands = (swatch: string, tiesUndyed: boolean) =>
      partsOf(bundleDrawing(bundle(['on', 'off'], { swatch, tiesUndyed })))
    expect(bands('#a8323a', true).plain?.fill).toBe('#f4e8cb')
    expect(bands('#111111', true).rings[1]?.stroke).toBe('#f4e8cb')
    expect(bands('#000000', false).plain?.fill).toBe('#333333')
    expect(bands('#ffffff', false).plain?.fill).toBe('#d2d2d2')
    expect(bands('#a8323a', false).rings[1]?.stroke).toBe('#b95b61')
  })

  test('white lines end within the sheaf, black ones reach over its edge', () => {
    const reach = (swatch: string) =>
      Number(/v(\d+)/.exec(partsOf(bundleDrawing(bundle(['on'], { swatch }))).plain?.d ?? '')?.[1])
    expect(reach('#ffffff') - reach('#000000')).toBe(8)
  })

  test('a colour that is not settled, or not a colour, is drawn bare', () => {
    for (const swatch of [null, '', 'red', '#12345', '#1234567', 'x#123456', '#12345g', '"/><script>']) {
      expect(partsOf(bundleDrawing(bundle(['on'], { swatch }))).sheaf.fill).toBe('#f8f8f8')
    }
    expect(partsOf(bundleDrawing(bundle(['on'], { swatch: '#ABCDEF' }))).sheaf.fill).toBe('#ABCDEF')
  })

  test('no line leaves the drawing', () => {
    fc.assert(
      fc.property(drawn, each => {
        const svg = bundleDrawing(each)
        const [, , width = 0, height = 0] = (elementsOf(svg)[0]?.attributes.viewBox ?? '').split(' ').map(Number)
        for (const { name, attributes } of elementsOf(svg)) {
          if (name !== 'path') continue
          const margin = Number(attributes['stroke-width'] ?? 2) / 2
          const points = pointsOf(attributes.d ?? '')
          const xs = points.map(point => point.x)
          const ys = points.map(point => point.y)
          expect(Math.min(...xs, ...ys)).toBeGreaterThanOrEqual(margin)
          expect(Math.max(...xs)).toBeLessThanOrEqual(width - margin)
          expect(Math.max(...ys)).toBeLessThanOrEqual(height - margin)
        }
      }),
      some,
    )
  })
})

describe('it goes on any page', () => {
  test('nothing that the page forbids, nothing that two drawings could share, every element closed', () => {
    fc.assert(
      fc.property(drawn, fc.constantFrom('row' as const, 'large' as const), (each, size) => {
        const svg = bundleDrawing(each, size)
        const markup = svg.replace(/<title>.*<\/title>/s, '')
        expect(markup).not.toMatch(/style|class=|\bid=|url\(|href|NaN|undefined|Infinity/)
        const left = markup
          .replace(/<[a-z]+(?: [a-zA-Z-]+="[^"<>]*")*\/>/g, '')
          .replace(/<text [^<>]*>\d+<\/text>/g, '')
        expect(left).toMatch(/^<svg(?: [a-zA-Z-]+="[^"<>]*")*><\/svg>$/)
        expect(svg.split('<title>')[1]).not.toMatch(/^[^<]*[<>](?!\/title>)/)
      }),
      some,
    )
  })

  test('it is small: three ties take under 900 bytes', () => {
    expect(Buffer.byteLength(bundleDrawing(bundle(times(3, 'on'), { tiesUndyed: true })))).toBeLessThan(900)
    expect(Buffer.byteLength(bundleDrawing(bundle(times(3, 'on')), 'large'))).toBeLessThan(900)
    expect(Buffer.byteLength(bundleDrawing(bundle(times(40, 'on'))))).toBeLessThan(4500)
  })

  test('two sizes of the same drawing', () => {
    const head = (svg: string) => elementsOf(svg)[0]?.attributes
    expect(head(bundleDrawing(bundle(['on'])))).toMatchObject({ viewBox: '0 0 232 72', width: '116', height: '36' })
    expect(head(bundleDrawing(bundle(['on']), 'large'))).toMatchObject({
      viewBox: '0 0 232 72',
      width: '290',
      height: '90',
    })
  })

  test('many ties make it longer, not taller', () => {
    const box = (count: number) => elementsOf(bundleDrawing(bundle(times(count, 'on'))))[0]?.attributes.viewBox
    expect([3, 8, 12, 40, 41].map(box)).toEqual(['0 0 232 72', '0 0 266 72', '0 0 354 72', '0 0 759 72', '0 0 232 72'])
  })
})

/** The points that a path goes through, its commands followed one by one. */
function pointsOf(path: string): { x: number; y: number }[] {
  const points: { x: number; y: number }[] = []
  let x = 0
  let y = 0
  for (const [, command = '', numbers = ''] of path.matchAll(/([a-zA-Z])([^a-zA-Z]*)/g)) {
    const values = (numbers.match(/-?[\d.]+/g) ?? []).map(Number)
    if (command === 'z') continue
    const [first = 0, second = 0] = values
    if (command === 'M') [x, y] = [first, second]
    else if (command === 'h') x += first
    else if (command === 'v') y += first
    if ('Mhv'.includes(command)) points.push({ x, y })
    else if (['l', 's', 'q', 'a'].includes(command)) {
      const arity = { l: 2, s: 4, q: 4, a: 7 }[command] ?? 0
      for (let index = 0; index < values.length; index += arity) {
        x += values[index + arity - 2] ?? 0
        y += values[index + arity - 1] ?? 0
        points.push({ x, y })
      }
    } else throw new Error(`a command that is not known: ${command}`)
  }
  return points
}

/** Contrast ratio after WCAG 2.2, written down a second time. */
function contrast(a: string, b: string): number {
  const light = (colour: string) => {
    const linear = (place: number) => {
      const value = Number.parseInt(colour.substring(place, place + 2), 16) / 255
      return value > 0.04045 ? ((value + 0.055) / 1.055) ** 2.4 : value / 12.92
    }
    return linear(1) * 0.2126 + linear(3) * 0.7152 + linear(5) * 0.0722 + 0.05
  }
  return Math.max(light(a), light(b)) / Math.min(light(a), light(b))
}
