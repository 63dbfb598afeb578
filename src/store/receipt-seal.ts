/** The seal of a receipt's words: their hash with a grain of chance, so that nobody can guess erased words from it. */
import { createHash, randomBytes } from 'node:crypto'

export const newGrain = (): string => randomBytes(16).toString('hex')

/** The seal that was kept when the words were erased, or else that of the words as they stand. */
export function sealOf({ content, grain, seal }: Record<string, unknown>): string {
  if (content === '"erased"' && typeof seal === 'string' && seal !== '') return seal
  return createHash('sha256').update(`${grain}\n${content}`).digest('hex')
}
