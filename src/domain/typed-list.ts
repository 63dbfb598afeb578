/** A list as people type it: "150 g, 150 g; 12 × 90 g", or one to a line. */
import { quote } from './read-measure.js'
import { type Read, read, unread } from './refusal.js'

/** Commas between figures need a space after them, so that "1,5 kg" stays one. */
const BETWEEN = /[;\n]|,\s+|,$/
const TIMES = /^(\d{1,4})\s*(?:×|x|\*)\s*(?=\S)/i

/** Every one of the list in order, "3 × 90 g" as three; or the sentence of the first that cannot be read. */
export function readList<T>(typed: string, most: number, readOne: (text: string) => Read<T>): Read<T[]> {
  const all: T[] = []
  for (const piece of typed
    .split(BETWEEN)
    .map(text => text.trim())
    .filter(Boolean)) {
    const times = TIMES.exec(piece)
    const one = readOne(piece.slice(times?.[0].length ?? 0))
    if (!one.ok) return one
    const count = Number(times?.[1] ?? 1)
    if (count < 1) return unread(`${quote(piece)} is none of them: leave it out.`)
    if (all.length + count > most) return unread(`There is room for ${most} here at most.`)
    all.push(...Array.from({ length: count }, () => one.value))
  }
  return read(all)
}
