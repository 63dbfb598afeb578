/** A paper that goes out, as a PDF: its blocks drawn one below the other. */
import type { Paper } from '../../domain/paper.js'
import type { Block } from '../../domain/paper-blocks.js'
import { SIGNATURE_FIELD } from '../../domain/signature.js'
import { bundleDrawing } from './bundle-drawing.js'
import { drawStrokes, drawSvg } from './pdf-drawing.js'
import { Sheet } from './pdf-sheet.js'
import { drawTable } from './pdf-table.js'
import { MODULE_MM, qrDrawing } from './qr-drawing.js'

type Drawn = { blocks: readonly Block[]; running: readonly string[]; paper: Paper; at: string }

/** A roll is first laid out without an end, to see how long it becomes. */
export async function paperPdf(what: Drawn): Promise<Buffer> {
  const height = what.paper === '80 mm roll' ? drawn(what).pdf.y : undefined
  const sheet = drawn(what, height)
  sheet.numberPages(what.running)
  return sheet.bytes()
}

function drawn({ blocks, running, paper, at }: Drawn, height?: number): Sheet {
  const sheet = new Sheet(paper, { title: running[0] ?? '', at }, height)
  for (const block of blocks) draw(sheet, block)
  return sheet
}

type Of<K extends Block['is']> = Extract<Block, { is: K }>

const DRAW: { [K in Block['is']]: (sheet: Sheet, block: Of<K>) => void } = {
  head,
  facts,
  heading,
  colour,
  words: (sheet, { words }) => paragraph(sheet, words),
  list,
  table,
  signatures,
  address,
}

function draw<K extends Block['is']>(sheet: Sheet, block: Of<K>): void {
  DRAW[block.is as K](sheet, block)
}

function head(sheet: Sheet, { title, workshop }: Of<'head'>): void {
  sheet.strong(sheet.size * 1.7)
  sheet.pdf.text(title, sheet.left, sheet.pdf.y, { width: sheet.width })
  sheet.strong()
  sheet.pdf.text(workshop, { width: sheet.width })
  sheet.gap(4)
}

function facts(sheet: Sheet, { rows }: Of<'facts'>): void {
  const { pdf } = sheet
  const nameWidth = Math.min(sheet.width * 0.3, 82)
  for (const { name, words } of rows) {
    sheet.strong()
    const height = pdf.heightOfString(words || ' ', { width: sheet.width - nameWidth })
    sheet.need(Math.min(height, 200))
    const { y } = pdf
    sheet.plain()
    sheet.at(name, sheet.left, y, { width: nameWidth - 4 })
    const below = pdf.y
    sheet.strong()
    sheet.at(words, sheet.left + nameWidth, y, { width: sheet.width - nameWidth })
    pdf.y = Math.max(pdf.y, below)
  }
  sheet.gap(4)
}

function heading(sheet: Sheet, { words }: Of<'heading'>): void {
  sheet.gap(3)
  sheet.need(5 * sheet.size)
  sheet.strong(sheet.size * 1.2)
  sheet.pdf.text(words, sheet.left, sheet.pdf.y, { width: sheet.width })
  sheet.gap(1)
}

function colour(sheet: Sheet, { swatch, words, beside }: Of<'colour'>): void {
  const { pdf } = sheet
  const side = sheet.size * 1.6
  sheet.need(side + 4)
  const { y } = pdf
  pdf
    .save()
    .rect(sheet.left, y, side, side)
    .lineWidth(0.7)
    .fillAndStroke(swatch ?? '#ffffff', '#444444')
    .restore()
  if (swatch === null)
    pdf
      .save()
      .moveTo(sheet.left, y + side)
      .lineTo(sheet.left + side, y)
      .stroke('#444444')
      .restore()
  sheet.plain()
  sheet.at(beside === '' ? words : `${words} ${beside}`, sheet.left + side + 5, y + 2, {
    width: sheet.width - side - 5,
  })
  pdf.y = Math.max(pdf.y, y + side)
  sheet.gap(3)
}

function paragraph(sheet: Sheet, words: string): void {
  sheet.plain()
  sheet.pdf.text(words, sheet.left, sheet.pdf.y, { width: sheet.width })
  sheet.gap(3)
}

function list(sheet: Sheet, { items, framed }: Of<'list'>): void {
  const { pdf } = sheet
  const inset = framed ? 8 : 6
  for (const { strong, words, quoted } of items) {
    sheet.need(2 * sheet.size)
    const from = pdf.y
    if (!framed) pdf.circle(sheet.left + 2, from + sheet.size * 0.62, 1).fill('#000')
    const page = pdf.bufferedPageRange().count
    const width = sheet.width - inset
    const said = quoted === '' ? words : `${words} “${quoted}”`
    sheet.strong()
    pdf.text(strong, sheet.left + inset, from, { width, continued: strong !== '' })
    sheet.plain()
    if (strong === '') pdf.text(said, sheet.left + inset, from, { width })
    else pdf.text(said, { width })
    // A bar beside what differs; it ends where the page ends.
    if (framed && pdf.bufferedPageRange().count === page)
      pdf
        .save()
        .moveTo(sheet.left + 2, from)
        .lineTo(sheet.left + 2, pdf.y)
        .lineWidth(1.5)
        .stroke('#000')
        .restore()
    sheet.gap(1.5)
  }
  sheet.gap(2)
}

function table(sheet: Sheet, { caption, head, rows, strong }: Of<'table'>): void {
  const hasDrawings = sheet.paper !== '80 mm roll' && rows.some(({ drawn }) => drawn !== null)
  const drawnWidth = hasDrawings ? 62 : 0
  drawTable(sheet, {
    caption,
    head,
    strong,
    drawnWidth,
    rows: rows.map(({ cells, drawn }) =>
      drawn === null || !hasDrawings
        ? { cells }
        : {
            cells,
            draw: (x, y, height) =>
              drawSvg(sheet.pdf, bundleDrawing(drawn), { x, y: y + 1, width: drawnWidth - 8, height: height - 2 }),
          },
    ),
  })
}

const SIGNED_HEIGHT = 40

function signatures(sheet: Sheet, { above, places }: Of<'signatures'>): void {
  const { pdf } = sheet
  const isNarrow = sheet.paper === '80 mm roll' || places.length === 1
  const width = isNarrow ? sheet.width : (sheet.width - 20) / 2
  sheet.gap(4)
  sheet.need((isNarrow ? places.length : 1) * (SIGNED_HEIGHT + 3 * sheet.size) + 3 * sheet.size)
  if (above !== '') paragraph(sheet, above)
  let lowest = pdf.y
  const top = pdf.y
  for (const [n, { words, signature }] of places.entries()) {
    const x = isNarrow ? sheet.left : sheet.left + n * (width + 20)
    const y = isNarrow ? lowest : top
    const base = y + SIGNED_HEIGHT
    if (signature !== '')
      drawStrokes(pdf, signature, { x, y: y + 2, width, height: SIGNED_HEIGHT - 4 }, SIGNATURE_FIELD)
    pdf
      .save()
      .moveTo(x, base)
      .lineTo(x + width, base)
      .lineWidth(0.8)
      .stroke('#000')
      .restore()
    sheet.plain()
    sheet.at(words, x, base + 2, { width })
    lowest = Math.max(lowest, pdf.y)
  }
  pdf.y = lowest
  sheet.gap(6)
}

/** The QR of an address, as large as on the page, with the address in letters below it. */
function address(sheet: Sheet, { words, address }: Of<'address'>): void {
  const { pdf } = sheet
  const svg = qrDrawing(address, MODULE_MM, '')
  const side = (Number(/viewBox="0 0 (\d+)/.exec(svg)?.[1]) * MODULE_MM * 72) / 25.4
  sheet.need(side + 5 * sheet.size)
  paragraph(sheet, words)
  const { y } = pdf
  drawSvg(pdf, svg, { x: sheet.left, y, width: side, height: side })
  pdf.y = y + side
  paragraph(sheet, address)
}
