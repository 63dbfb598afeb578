import { encode } from 'uqr'
import { QUIET_MODULES } from '../../domain/tag-label.js'

/** The side of one square of a code on a paper that goes out, in mm: large enough for a roll printer. */
export const MODULE_MM = 0.5

/**
 * A square code (QR) as an SVG element of a true size in mm: black on white whatever the page's colours, edges not
 * softened, its white margin inside. Level Q; `text` in figures, capitals and $%*+-./: keeps it small.
 */
export function qrDrawing(text: string, moduleMm: number, label: string): string {
  const { data, size } = encode(text, { ecc: 'Q', border: QUIET_MODULES, boostEcc: false })
  const runs = data.flatMap((row, y) => runsIn(row).map(({ from, length }) => `M${from} ${y}h${length}v1h-${length}z`))
  const sideMm = (size * moduleMm).toFixed(4)
  return `<svg class="qr" viewBox="0 0 ${size} ${size}" width="${sideMm}mm" height="${sideMm}mm" shape-rendering="crispEdges" role="img" aria-label="${escaped(label)}"><rect width="${size}" height="${size}" fill="#ffffff"/><path d="${runs.join('')}" fill="#000000"/></svg>`
}

/** The black stretches of one row. */
function runsIn(row: readonly boolean[]): { from: number; length: number }[] {
  const runs: { from: number; length: number }[] = []
  for (const [x, black] of row.entries()) {
    const last = runs.at(-1)
    if (black && last && last.from + last.length === x) last.length += 1
    else if (black) runs.push({ from: x, length: 1 })
  }
  return runs
}

const escaped = (text: string): string =>
  text.replace(/[&<>"]/g, sign => ({ '&': '&amp;', '<': '&lt;', '>': '&gt;', '"': '&quot;' })[sign] ?? '')
