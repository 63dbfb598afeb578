/** A QR as the path of its dark squares, one unit each, without its quiet zone. */
import { encode } from 'uqr'

/** `quiet` is the width of the margin that has to stay white around it (ISO/IEC 18004: four squares). */
export type QrSquares = { size: number; path: string; quiet: number }

export function qrSquares(text: string): QrSquares {
  const { size, data } = encode(text, { ecc: 'M', border: 0 })
  const squares = data.flatMap((row, y) => row.flatMap((dark, x) => (dark ? [`M${x} ${y}h1v1h-1z`] : [])))
  return { size, path: squares.join(''), quiet: 4 }
}
