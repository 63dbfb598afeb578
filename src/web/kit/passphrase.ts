import { createRequire } from 'node:module'

const SHORTEST = 8
const LONGEST = 1000

let common: Set<string> | undefined

/** The most guessed passphrases; read when one is chosen, which is seldom. */
function isCommon(passphrase: string): boolean {
  if (!common) {
    const { dictionary } = createRequire(import.meta.url)('@zxcvbn-ts/language-common')
    common = new Set(dictionary['passwords-common'])
  }
  return common.has(passphrase.toLowerCase())
}

/** What is wrong with a new passphrase, in a sentence; '' when it will do. It is used exactly as typed. */
export function passphraseTrouble(passphrase: string): string {
  const length = [...passphrase].length
  if (length < SHORTEST) return `Passphrase: use at least ${SHORTEST} characters; three or four words are easy to keep.`
  if (length > LONGEST) return `Passphrase: use at most ${LONGEST} characters.`
  return isCommon(passphrase) ? 'Passphrase: this one is among the first that are guessed. Choose another.' : ''
}
