/** Our own drawings on a PDF sheet: the paths that a page would show, in the page's black for its own ink. */
import type { Pdf } from './pdf-sheet.js'

type Place = { x: number; y: number; width: number; height: number }

const attributesOf = (tag: string): Record<string, string> =>
  Object.fromEntries([...tag.matchAll(/([\w-]+)="([^"]*)"/g)].map(([, name = '', value = '']) => [name, value]))

const colour = (value: string): string => (value === 'currentColor' ? '#000000' : value)

/**
 * Draws an SVG made by bundle-drawing.ts into a place, as large as fits: it knows its paths and no other SVG. Texts in it
 * (the numbers of ties too many to draw) are left to the table beside it.
 */
export function drawSvg(pdf: Pdf, svg: string, { x, y, width, height }: Place): void {
  const [, , wide = '1', tall = '1'] = (attributesOf(svg.slice(0, svg.indexOf('>'))).viewBox ?? '').split(' ')
  const scale = Math.min(width / Number(wide), height / Number(tall))
  pdf
    .save()
    .translate(x, y + (height - Number(tall) * scale) / 2)
    .scale(scale)
  for (const [tag] of svg.matchAll(/<path [^>]*>/g)) drawPath(pdf, attributesOf(tag))
  pdf.restore()
}

function drawPath(pdf: Pdf, { d = '', fill, stroke, opacity, ...line }: Record<string, string>): void {
  pdf.save()
  pdf.lineWidth(Number(line['stroke-width'] ?? 2)).opacity(Number(opacity ?? 1))
  const dashes = (line['stroke-dasharray'] ?? '').split(' ').map(Number)
  if (dashes.length === 2) pdf.dash(dashes[0] ?? 1, { space: dashes[1] ?? 1 })
  pdf.path(d)
  if (fill && stroke) pdf.fillAndStroke(colour(fill), colour(stroke))
  else if (fill) pdf.fill(colour(fill))
  else if (stroke) pdf.stroke(colour(stroke))
  pdf.restore()
}

/** A signature's strokes, see signature.ts, in a place of the same shape as its field. */
export function drawStrokes(pdf: Pdf, strokes: string, place: Place, field: { width: number; height: number }): void {
  const scale = Math.min(place.width / field.width, place.height / field.height)
  pdf.save().translate(place.x, place.y).scale(scale)
  pdf.lineWidth(3).lineCap('round').lineJoin('round').path(strokes).stroke('#000000').restore()
}
