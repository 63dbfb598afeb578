import { encode } from 'uqr'
import { describe, expect, test } from 'vitest'
import {
  DOT_SIZES,
  DOTS_PER_INCH,
  moduleFor,
  pagesOf,
  payloadOf,
  qrFor,
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
