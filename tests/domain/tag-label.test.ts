import { encode } from 'uqr'
import { describe, expect, test } from 'vitest'
import {
  DOT_SIZES,
  DOTS_PER_INCH,
  moduleFor,
  pagesOf,
  payloadOf,
  qrFor,
  qrSideMm,
  readTagAddress,
  secondName,
  TAG_SIZES,
  tagsOnSheet,
  versionFor,
} from '../../src/domain/tag-label.js'

describe('the squares of the code', () => {
  // Whole dots, four at least (DENSO WAVE, on the size of a cell); 0.396 mm at least (GS1 General Specifications 5.12.3.1).
  test.each(DOTS_PER_INCH.flatMap(dpi => DOT_SIZES.map(size => [dpi, size] as const)))(
    'at %i dots to the inch, %s: whole dots and large enough',
    (dpi, size) => {
      const { dots, moduleMm } = moduleFor(dpi, size)
      expect(Number.isInteger(dots)).toBe(true)
      expect(dots).toBeGreaterThanOrEqual(4)
      expect(moduleMm).toBeCloseTo((dots / dpi) * 25.4, 12)
      expect(moduleMm).toBeGreaterThanOrEqual(0.396)
      if (size !== 'small') expect(moduleMm).toBeGreaterThanOrEqual(0.5)
    },
  )

  test('come out as these dots', () => {
    expect(DOTS_PER_INCH.map(dpi => DOT_SIZES.map(size => moduleFor(dpi, size).dots))).toEqual([
      [4, 4, 6],
      [4, 4, 6],
      [5, 6, 9],
      [10, 12, 18],
    ])
  })
})

test('the version told for a length is the one that an encoder needs at level Q', () => {
  for (let length = 1; length <= 70; length += 1) {
    const { version } = encode('A'.repeat(length), { ecc: 'Q', border: 4, boostEcc: false })
    expect(versionFor(length), `${length} characters`).toBe(version <= 4 ? version : undefined)
  }
})

describe('the address', () => {
  test.each([
    ['', ''],
    [' https://Shed.Example/ ', 'https://shed.example'],
    ['http://192.168.0.17:4700', 'http://192.168.0.17:4700'],
    ['https://xn--frberei-5wa.example', 'https://xn--frberei-5wa.example'],
  ])('%s is read', (typed, address) => {
    expect(readTagAddress(typed)).toEqual({ ok: true, value: address })
  })

  test.each([
    'shed',
    'shed.example',
    'https://',
    'https://shed.example/a',
    'https://shed.example?x',
    'ftp://shed.example',
    'https://[::1]',
    'https://färberei.example',
    'https://a_b.example',
    'https://u:p@shed.example',
    'https://shed.example:port',
  ])('%s is refused', typed => {
    expect(readTagAddress(typed).ok).toBe(false)
  })

  test('at its longest still makes a code of version 4 in characters that a square code holds densely', () => {
    const longest = `https://${'a'.repeat(67 - '/T/'.length - 7 - 8)}`
    const read = readTagAddress(longest)
    expect(read).toEqual({ ok: true, value: longest })
    const payload = payloadOf(longest, 'KX47RTY')
    expect(payload).toMatch(/^[0-9A-Z $%*+\-./:]{67}$/)
    expect(encode(payload, { ecc: 'Q', boostEcc: false }).version).toBe(4)
    expect(readTagAddress(`${longest}a`).ok).toBe(false)
  })
})

describe('sizes', () => {
  test('a sheet holds what fits between its margins and above its last line', () => {
    expect(
      TAG_SIZES.map(size =>
        [tagsOnSheet('A4', size), tagsOnSheet('Letter', size)].map(({ columns, rows }) => `${columns} × ${rows}`),
      ),
    ).toEqual([
      ['4 × 9', '4 × 8'],
      ['3 × 6', '3 × 5'],
      ['2 × 5', '2 × 5'],
      ['2 × 4', '2 × 4'],
    ])
    expect(tagsOnSheet('labels', '50 x 30')).toEqual({ columns: 1, rows: 1 })
  })

  test('the usual square code has room on every tag, whatever the address', () => {
    const address = `https://${'a'.repeat(49)}`
    for (const size of TAG_SIZES)
      for (const dotsPerInch of DOTS_PER_INCH)
        expect(
          qrFor({ paper: 'labels', size, dotsPerInch, dotSize: 'usual', address }).fits,
          `${size} ${dotsPerInch}`,
        ).toBe(true)
    expect(qrFor({ paper: 'labels', size: '50 x 30', dotsPerInch: 203, dotSize: 'large', address: '' }).fits).toBe(
      false,
    )
  })

  test('pages take the tags in their order, the last one what is left', () => {
    expect(pagesOf([1, 2, 3, 4, 5], { columns: 2, rows: 1 })).toEqual([[1, 2], [3, 4], [5]])
    expect(pagesOf([], { columns: 2, rows: 1 })).toEqual([])
  })
})

test('something always stands on a tag beside its code', () => {
  expect(secondName({ name: 'Ilse', mark: 'IM', nameOnTag: true }, 3)).toBe('Ilse')
  expect(secondName({ name: 'Ilse', mark: 'IM', nameOnTag: false }, 3)).toBe('IM')
  expect(secondName({ name: 'Ilse', mark: '', nameOnTag: false }, 3)).toBe('Commission 3')
})

describe('tags on their edges', () => {
  // A square code of version v has 17 + 4 v squares to the side (ISO/IEC 18004), and four white ones around it.
  test('the side of the square code', () => {
    expect(qrSideMm(1, 0.5)).toBe((21 + 8) * 0.5)
    expect(qrSideMm(4, 1)).toBe(33 + 8)
  })

  test('an address may end in strokes, and is asked about in words', () => {
    expect(readTagAddress(' https://Shed.example/// ')).toEqual({ ok: true, value: 'https://shed.example' })
    expect(readTagAddress('')).toEqual({ ok: true, value: '' })
    expect(readTagAddress('https://shed.example/tags')).toEqual({
      ok: false,
      sentence:
        'Address for tags: write it as the phone’s browser shows it, such as https://shed.example, without anything after the name.',
    })
  })

  test('an address that is too long says by how much', () => {
    // "https://" and ".example" are 16 characters, "/T/" and the longest code ten more.
    const address = (name: number) => `https://${'a'.repeat(name)}.example`
    const most = Array.from({ length: 200 }, (_, n) => n + 1).filter(n => readTagAddress(address(n)).ok).length
    expect(versionFor(most + 26)).toBe(4)
    expect(versionFor(most + 27)).not.toBe(4)
    expect(readTagAddress(address(most + 3))).toEqual({
      ok: false,
      sentence: 'Address for tags: too long by 3 characters for a square code that scans well.',
    })
  })

  test('without an address the code stands by itself', () => {
    expect(payloadOf('', 'KX47RT')).toBe('KX47RT')
    expect(payloadOf('https://shed.example', 'KX47RT')).toBe('HTTPS://SHED.EXAMPLE/T/KX47RT')
  })

  // A4 less 5 mm at each edge is 200 by 287 mm; less 6 mm for a line of words, 281 mm. Letter: 205.9 by 263.4 mm.
  test.each([
    ['A4', '50 x 30', 4, 9],
    ['A4', '65 x 45', 3, 6],
    ['A4', '90 x 50', 2, 5],
    ['A4', '100 x 60', 2, 4],
    ['Letter', '50 x 30', 4, 8],
    ['Letter', '65 x 45', 3, 5],
    ['Letter', '90 x 50', 2, 5],
    ['Letter', '100 x 60', 2, 4],
    ['labels', '50 x 30', 1, 1],
  ] as const)('%s, %s: %i beside one another, %i below', (paper, size, columns, rows) =>
    expect(tagsOnSheet(paper, size)).toEqual({ columns, rows }),
  )

  test('as many to a page as stand beside and below one another', () => {
    const tags = [1, 2, 3, 4, 5, 6, 7]
    expect(pagesOf(tags, { columns: 2, rows: 3 })).toEqual([[1, 2, 3, 4, 5, 6], [7]])
    expect(pagesOf(tags.slice(0, 6), { columns: 2, rows: 3 })).toEqual([[1, 2, 3, 4, 5, 6]])
    expect(pagesOf([], { columns: 2, rows: 3 })).toEqual([])
  })
})
