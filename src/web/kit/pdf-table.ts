/** A table on a PDF sheet: columns as wide as their words need, rows that are never torn by the end of a page. */
import type { Sheet } from './pdf-sheet.js'

export type PdfRow = { cells: readonly string[]; draw?: (x: number, y: number, height: number) => void }
type Table = { caption: string; head: readonly string[]; rows: readonly PdfRow[]; strong: boolean; drawnWidth: number }

/** Between the words of two columns: "Lot 1" and "12" are never read as "Lot 112". */
const PAD = 8

/** `widths` of the columns, and the place of each; the drawing stands after the first. */
type Columns = { widths: number[]; xs: number[] }

/**
 * Each column gets the width of its longest word, the first that of its longest name, and what is left goes to those whose
 * text would run over.
 */
function columnsOf(sheet: Sheet, { head, rows, strong, drawnWidth }: Table): Columns {
  const all = [head, ...rows.map(({ cells }) => cells)]
  const { pdf } = sheet
  if (strong) sheet.strong()
  else sheet.plain()
  const wide = (words: string) => pdf.widthOfString(words) + PAD
  const most = (of: (words: string) => number) => head.map((_, n) => Math.max(...all.map(row => of(row[n] ?? ''))))
  const longestWord = (words: string) => Math.max(0, ...words.split(/\s+/).map(wide))
  const least = most(longestWord)
  least[0] = Math.max(longestWord(head[0] ?? ''), ...rows.map(({ cells: [name = ''] }) => wide(name)))
  const natural = most(wide)
  const free = sheet.width - drawnWidth - sum(least)
  const wanted = sum(natural) - sum(least)
  const share = wanted === 0 ? 0 : Math.min(1, Math.max(0, free / wanted))
  const fit = free < 0 ? (sheet.width - drawnWidth) / sum(least) : 1
  const widths = least.map((width, n) => (width + ((natural[n] ?? width) - width) * share) * fit)
  const spare = sheet.width - drawnWidth - sum(widths)
  widths[widths.length - 1] = (widths.at(-1) ?? 0) + Math.max(0, spare)
  let x = sheet.left
  const xs = widths.map((width, n) => {
    const from = x
    x += width + (n === 0 ? drawnWidth : 0)
    return from
  })
  return { widths, xs }
}

const sum = (numbers: readonly number[]): number => numbers.reduce((total, number) => total + number, 0)

export function drawTable(sheet: Sheet, table: Table): void {
  const columns = columnsOf(sheet, table)
  if (table.caption !== '') {
    sheet.need(4 * sheet.size)
    sheet.strong()
    sheet.pdf.text(table.caption, sheet.left, sheet.pdf.y, { width: sheet.width })
    sheet.gap(1)
  }
  sheet.plain(sheet.size - 0.5)
  drawRow(sheet, columns, { cells: table.head }, 3 * sheet.size)
  for (const row of table.rows) {
    if (table.strong) sheet.strong()
    else sheet.plain()
    drawRow(sheet, columns, row, 0)
  }
  sheet.gap(4)
}

function drawRow(sheet: Sheet, { widths, xs }: Columns, { cells, draw }: PdfRow, keep: number): void {
  const { pdf } = sheet
  const room = (n: number) => (widths[n] ?? 0) - PAD + 1
  const heights = cells.map((words, n) => pdf.heightOfString(words || ' ', { width: room(n) }))
  const height = Math.max(...heights, draw ? 14 : 0) + 2
  sheet.need(height + keep)
  const { y } = pdf
  if (keep === 0) sheet.line(y - 0.5)
  for (const [n, words] of cells.entries()) sheet.at(words, xs[n] ?? sheet.left, y + 1, { width: room(n) })
  draw?.((xs[0] ?? 0) + (widths[0] ?? 0), y, height)
  pdf.y = y + height
  pdf.x = sheet.left
}
