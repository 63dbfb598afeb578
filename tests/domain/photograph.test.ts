import { describe, expect, test } from 'vitest'
import { PHOTOGRAPHS } from '../../src/domain/client.js'
import { mayPhotograph, mayShow, momentNow, momentsMissing, sayMayNot, sayNoRoom } from '../../src/domain/photograph.js'
import { pictureKind, sayFileName, sayTooLarge } from '../../src/domain/picture-kind.js'

const bytes = (words: string): Uint8Array => Uint8Array.from(words, letter => letter.charCodeAt(0))

describe('who may be photographed and shown', () => {
  test('"not asked" is not a yes, and "not to show" is never shown', () => {
    expect(PHOTOGRAPHS.filter(mayPhotograph)).toEqual(['yes', 'yes, not to show'])
    expect(PHOTOGRAPHS.filter(mayShow)).toEqual(['yes'])
    expect(sayMayNot('no', 'Marta')).toContain('Marta does not want photographs')
    expect(sayMayNot('not asked', 'Marta')).toContain('has not been asked')
  })

  test.each([
    [['arrivals shelf', 'arrivals shelf'], 'as it came'],
    [['arrivals shelf', 'pot'], 'at the pot'],
    [['drying line', 'ready shelf'], 'at the pot'],
    [['ready shelf', 'ready shelf'], 'as it goes'],
    [['handed back', 'not found'], 'as it goes'],
  ] as const)('with bundles at %j it is most likely %s', (places, moment) => {
    expect(momentNow(places)).toBe(moment)
  })

  test('a photograph is asked for while it can be taken, where the workshop wants it', () => {
    const arrived = ['arrivals shelf'] as const
    expect(momentsMissing('as it came', arrived, [])).toEqual(['as it came'])
    expect(momentsMissing('as it came', arrived, ['as it came'])).toEqual([])
    expect(momentsMissing('none', arrived, [])).toEqual([])
    expect(momentsMissing('as it came', ['arrivals shelf', 'pot'], [])).toEqual([])
    expect(momentsMissing('as it came', ['ready shelf'], [])).toEqual([])
    expect(momentsMissing('as it came and as it goes', ['ready shelf', 'pot'], ['as it came'])).toEqual(['as it goes'])
    expect(momentsMissing('as it came and as it goes', ['ready shelf'], ['as it goes'])).toEqual([])
  })
})

describe('room', () => {
  const much = { freeBytes: 9e9, keptBytes: 0, mostBytes: 20e9, comingBytes: 0 }
  test('is refused when the disk would be filled, or what is set aside is full', () => {
    expect(sayNoRoom(much)).toBe('')
    expect(sayNoRoom({ ...much, freeBytes: 499e6 })).toContain('Only 499 MB are free')
    expect(sayNoRoom({ ...much, freeBytes: 700e6, comingBytes: 201e6 })).toContain('700 MB are free')
    expect(sayNoRoom({ ...much, freeBytes: 700e6, comingBytes: 200e6 })).toBe('')
    expect(sayNoRoom({ ...much, keptBytes: 20e9 })).toContain('20,000 MB')
    expect(sayNoRoom({ ...much, keptBytes: 20e9 - 1 })).toBe('')
  })
})

describe('what a file is', () => {
  test.each([
    ['jpeg', '\xff\xd8\xff\xe1'],
    ['png', '\x89PNG\r\n\x1a\n'],
    ['gif', 'GIF89a'],
    ['gif', 'GIF87a'],
    ['webp', 'RIFF\x10\x00\x00\x00WEBPVP8 '],
    ['tiff', 'II*\x00'],
    ['tiff', 'MM\x00*'],
    ['avif', '\x00\x00\x00\x20ftypavif\x00\x00\x00\x00mif1'],
    ['avif', '\x00\x00\x00\x20ftypmif1\x00\x00\x00\x00mif1avif'],
  ])('%s by its first bytes', (kind, head) => {
    expect(pictureKind(bytes(`${head} and more`))).toEqual({ ok: true, value: kind })
  })

  test.each([
    ['', 'empty'],
    ['  \n ', 'empty'],
    ['\x00\x00\x00\x18ftypheic\x00\x00\x00\x00mif1heic', 'HEIC'],
    ['\x00\x00\x00\x18ftypmif1\x00\x00\x00\x00mif1heic', 'HEIC'],
    ['\x00\x00\x00\x18ftypqt  ', 'film'],
    ['BM\x00\x00', 'BMP'],
    ['%PDF-1.4', 'PDF'],
    ['\xef\xbb\xbf<?xml version="1.0"?><svg', 'SVG'],
    [' <SVG xmlns', 'SVG'],
    ['PK\x03\x04', 'no picture'],
    ['\xff\xd8', 'no picture'],
  ])('%j is refused as what it is', (head, word) => {
    const kind = pictureKind(bytes(head))
    expect(kind.ok ? '' : kind.sentence).toContain(word)
  })

  test('a size is refused by its sides, its pixels and the memory it would fill', () => {
    const size = (widthPx: number, heightPx: number, channels = 3, bytesPerChannel = 1) =>
      sayTooLarge({ widthPx, heightPx, channels, bytesPerChannel })
    expect(size(8000, 8000)).toBe('')
    expect(size(8000, 8001)).toContain('8000 × 8001 pixels')
    expect(size(30_000, 100)).toBe('')
    expect(size(30_001, 100)).not.toBe('')
    expect(size(100, 60_000)).not.toBe('')
    expect(size(8000, 5600, 3, 2)).toBe('')
    expect(size(8000, 5700, 3, 2)).not.toBe('')
  })

  test.each([
    ['IMG_1.jpg', '“IMG_1.jpg”'],
    ['', 'without a name'],
    ['\u202e\u0000', 'without a name'],
    ['a\nb\u2028c', '“a b c”'],
    [`${'x'.repeat(300)}.jpeg`, `“${'x'.repeat(40)}…${'x'.repeat(10)}.jpeg”`],
  ])('the name %j is said as %s', (name, said) => {
    expect(sayFileName(name)).toBe(said)
  })
})
