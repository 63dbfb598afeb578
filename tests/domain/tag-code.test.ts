import { describe, expect, test } from 'vitest'
import {
  checkCharacter,
  isTagCode,
  nextTagCode,
  readTagCode,
  sayTagCode,
  seemsTagCode,
  TAG_CHARACTERS,
} from '../../src/domain/tag-code.js'

function firstCodes(count: number): string[] {
  const codes: string[] = []
  for (let after = -1; codes.length < count; ) {
    const { number, code } = nextTagCode(after)
    codes.push(code)
    after = number
  }
  return codes
}
const thousand = firstCodes(1000)

describe('the check character is that of ISO/IEC 7064, MOD 37-2', () => {
  test.each([
    // The worked example of python-stdnum 1.19, stdnum.iso7064.mod_37_2.
    ['G123489654321', 'Y'],
    // A donation identification number by the ISBT 128 Technical Specification, ST-001, as the published FileMaker
    // function ISBT128_Checksum works it out.
    ['ABCDE27000069', 'C'],
  ])('of %s it is %s', (characters, check) => {
    expect(checkCharacter(characters)).toBe(check)
  })

  /** Written anew from the definition: each character times 2 to the power of its place from the right; the sum is 1. */
  const weighed = (code: string): number => {
    const values = [...code].map(character => '0123456789ABCDEFGHIJKLMNOPQRSTUVWXYZ*'.indexOf(character)).reverse()
    return values.reduce((sum, value, place) => sum + value * 2 ** place, 0) % 37
  }
  test('of a thousand codes, by the sum of weights', () => {
    for (const code of thousand) expect(weighed(code), code).toBe(1)
  })
})

describe('a thousand codes', () => {
  test('are a thousand, short enough to type, and of the plain characters', () => {
    expect(new Set(thousand).size).toBe(1000)
    for (const code of thousand) {
      expect(code).toMatch(/^[23467HKRTWXY]{6}$/)
      expect(code, 'a character twice in a row').not.toMatch(/(.)\1/)
      expect(code, 'a number or a word').toMatch(/\d.*[A-Z]|[A-Z].*\d/)
      expect(readTagCode(code)).toEqual({ ok: true, value: code })
    }
  })

  test('no single wrong character is taken, whichever it is', () => {
    const all = [...'0123456789ABCDEFGHIJKLMNOPQRSTUVWXYZ*']
    for (const code of thousand)
      for (let at = 0; at < code.length; at += 1)
        for (const other of all) {
          if (other === code[at]) continue
          const wrong = code.slice(0, at) + other + code.slice(at + 1)
          expect(readTagCode(wrong).ok, `${code} typed as ${wrong}`).toBe(false)
        }
  })

  test('no two neighbours may change places', () => {
    for (const code of thousand)
      for (let at = 0; at + 1 < code.length; at += 1) {
        const swapped = code.slice(0, at) + code[at + 1] + code[at] + code.slice(at + 2)
        expect(readTagCode(swapped).ok, `${code} typed as ${swapped}`).toBe(false)
      }
  })

  test('nor is one too short or too long by a character', () => {
    for (const code of thousand) {
      for (let at = 0; at < code.length; at += 1)
        expect(readTagCode(code.slice(0, at) + code.slice(at + 1)).ok).toBe(false)
    }
  })
})

test('there are codes for a working life, and then longer ones, each once', () => {
  const six = firstCodes(45_000)
  expect(six.every(code => code.length === 6)).toBe(true)
  expect(new Set(six).size).toBe(45_000)
  const beyond = nextTagCode(12 ** 5).code
  expect(beyond).toHaveLength(7)
  expect(isTagCode(beyond)).toBe(true)
  expect(() => nextTagCode(12 ** 5 + 12 ** 6)).toThrow('every code')
})

test('no two of the characters look or sound alike', () => {
  const together = ['0ODQ', '1ILJ', '2Z', '5S', '8B', '6G', '69', 'MWN', 'UV', 'BCDEGPTVZ', 'AJK8', 'FSX', 'MN', 'IY']
  for (const alike of together)
    expect([...alike].filter(character => TAG_CHARACTERS.includes(character)).length, alike).toBeLessThan(2)
})

describe('what is typed', () => {
  const [code = ''] = thousand
  test.each([
    code,
    code.toLowerCase(),
    sayTagCode(code),
    ` ${code.slice(0, 2)}-${code.slice(2)} `,
    [...code].join(' '),
    `${code.slice(0, 3)}–${code.slice(3)}`,
    `https://old-shed.example/t/${code}`,
    `HTTPS://OLD-SHED.EXAMPLE/T/${code}`,
    `http://10.0.0.5:4700/t/${code.toLowerCase()}?from=phone#top`,
  ])('%s is read', typed => {
    expect(readTagCode(typed)).toEqual({ ok: true, value: code })
  })

  test.each([
    ['', 'Type or scan the code on the tag.'],
    ['  - ', 'Type or scan the code on the tag.'],
    ['KX4', '“KX4” is not the code of a tag: that has 6 letters and figures, such as'],
    ['bundle three', '“BUNDLETHREE” is not the code of a tag'],
    ['K'.repeat(10_000), `“${'K'.repeat(19)}…” is not the code of a tag`],
    ['KX4O7T', 'No tag has O in its code, but “KX4O7T” has.'],
    ['KX4O71', 'No tag has O or 1 in its code'],
    ['234672', '“234 672” cannot be right: a character is wrong, or two have changed places.'],
    ['<script>', 'is not the code of a tag'],
  ])('%s is refused in plain words', (typed, words) => {
    const answer = readTagCode(typed)
    expect(answer.ok ? answer.value : answer.sentence).toContain(words)
  })

  test('a search for something else is not taken for a tag', () => {
    for (const typed of [
      '214',
      'lot 214',
      'Lot #214',
      'rhythm',
      'thirty',
      'blue24',
      '251126',
      'madder 2026',
      '',
      'lot 21/t',
    ])
      expect(seemsTagCode(typed), typed).toBe(false)
    for (const typed of [code, code.toLowerCase(), 'kx4-o7t', `https://old.example/t/${code}`, '/T/NOTHING'])
      expect(seemsTagCode(typed), typed).toBe(true)
  })
})
