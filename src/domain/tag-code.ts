/**
 * The code on a bundle's tag: six characters (seven once those run out), the last of them a check character by
 * ISO/IEC 7064, MOD 37-2, exactly as published, so that any program that knows that system can check a tag. It finds
 * every single wrong character and every swap of neighbours: 37 is prime, and neighbouring weights differ by a factor
 * of 2, so no such error leaves the sum as it was.
 *
 * Only twelve of its 36 characters are used, none of which is taken for another in print, in pencil or when read
 * aloud: no 0 1 5 8 beside O I S B, no rhyming letters, and not M and 9 beside W and 6, which read the other way round
 * on a tag that hangs upside down. A code whose check character would be another one is left out of the sequence.
 */
import { type Read, read, unread } from './refusal.js'

const ISO_CHARACTERS = '0123456789ABCDEFGHIJKLMNOPQRSTUVWXYZ*'
const MODULUS = 37

/** The characters of our codes. */
export const TAG_CHARACTERS = '23467HKRTWXY'

/** The remainder by which ISO/IEC 7064, MOD 37-2 judges a string with its check character: 1 when it is right. */
function remainder(characters: string): number {
  let sum = 0
  for (const character of characters) sum = (2 * sum + ISO_CHARACTERS.indexOf(character)) % MODULUS
  return sum
}

/** The check character of letters and figures by ISO/IEC 7064, MOD 37-2. */
export function checkCharacter(characters: string): string {
  const value = (((1 - 2 * remainder(characters)) % MODULUS) + MODULUS) % MODULUS
  return ISO_CHARACTERS[value] ?? ''
}

/**
 * Where the codes of one length stand in the sequence: their numbers are stirred, so that the codes of one client's
 * bundles differ in more than their ends. `stir` has no factor in common with the count, so that none comes twice.
 */
type Stretch = { length: number; count: number; stir: number; first: number }
const BASE = TAG_CHARACTERS.length
const STRETCHES: readonly Stretch[] = [
  { length: 5, count: BASE ** 5, stir: 153_787, first: 71_993 },
  { length: 6, count: BASE ** 6, stir: 1_845_337, first: 862_417 },
]

function inOurCharacters(value: number, length: number): string {
  let [rest, characters] = [value, '']
  for (let n = 0; n < length; n += 1) {
    characters = (TAG_CHARACTERS[rest % BASE] ?? '') + characters
    rest = Math.floor(rest / BASE)
  }
  return characters
}

/** The code with this number in the sequence; '' past its end. Not every one is fit for a tag. */
function codeAt(number: number): string {
  let n = number
  for (const { length, count, stir, first } of STRETCHES) {
    if (n >= count) {
      n -= count
      continue
    }
    const characters = inOurCharacters((n * stir + first) % count, length)
    return characters + checkCharacter(characters)
  }
  return ''
}

const ours = new RegExp(`^[${TAG_CHARACTERS}]{6,7}$`)
const doubled = /(.)\1/

/** Letters and figures both, so that a code is never a number or a word; no character twice in a row, which is miscounted. */
export const isTagCode = (code: string): boolean =>
  ours.test(code) && remainder(code) === 1 && !doubled.test(code) && /\d/.test(code) && /[A-Z]/.test(code)

/** The first code fit for a tag after a number of the sequence (-1 before any); each number, so each code, is used once. */
export function nextTagCode(after: number): { number: number; code: string } {
  for (let number = after + 1; ; number += 1) {
    const code = codeAt(number)
    if (code === '') throw new Error('every code of every length has been given to a tag')
    if (isTagCode(code)) return { number, code }
  }
}

/** As it is printed and read aloud: "KX4 7RT". */
export const sayTagCode = (code: string): string => `${code.slice(0, 3)} ${code.slice(3)}`

const IN_ADDRESS = /\/t\/([^/?#]*)/i
const BETWEEN = /[\s\-\u2010-\u2015._·]+/g

/** The code in what was typed or scanned: as it is, with blanks, in any case, or in the address of any tag ever printed. */
function cleaned(typed: string): string {
  const code = IN_ADDRESS.exec(typed)?.[1] ?? typed
  return code.replace(BETWEEN, '').toUpperCase()
}

const shortened = (text: string): string => (text.length > 20 ? `${text.slice(0, 19)}…` : text)

/** Reads a typed or scanned code. */
export function readTagCode(typed: string): Read<string> {
  const code = cleaned(typed)
  if (code === '') return unread('Type or scan the code on the tag.')
  const strange = [...new Set(code)].filter(character => !TAG_CHARACTERS.includes(character))
  if (code.length < 6 || code.length > 7 || strange.length > 3)
    return unread(`“${shortened(code)}” is not the code of a tag: that has 6 letters and figures, such as ${EXAMPLE}.`)
  if (strange.length > 0)
    return unread(
      `No tag has ${inWords(strange)} in its code, but “${code}” has. Codes are made of ${[...TAG_CHARACTERS].join(' ')} only.`,
    )
  if (!isTagCode(code))
    return unread(
      `“${sayTagCode(code)}” cannot be right: a character is wrong, or two have changed places. Look at the tag again.`,
    )
  return read(code)
}

const EXAMPLE = sayTagCode(nextTagCode(-1).code)
const inWords = (characters: string[]): string =>
  characters.length === 1 ? `${characters[0]}` : `${characters.slice(0, -1).join(', ')} or ${characters.at(-1)}`

/** Whether somebody who searches means a tag: its address, or nearly a code. A bare number or a word is none. */
export function seemsTagCode(typed: string): boolean {
  if (IN_ADDRESS.test(typed)) return true
  const code = cleaned(typed)
  if (!/^(?=.*\d)(?=.*[A-Z])[0-9A-Z]{6,7}$/.test(code)) return false
  return [...code].filter(character => TAG_CHARACTERS.includes(character)).length >= code.length - 1
}
