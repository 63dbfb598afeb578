/** A sheet of paper as a PDF: sizes, fonts and the cursor that every part of a printed page moves down. */
import { createRequire } from 'node:module'
import PDFDocument from 'pdfkit'
import type { Paper } from '../../domain/paper.js'

export type Pdf = InstanceType<typeof PDFDocument>

const MM = 72 / 25.4
/** A roll prints on 72 mm of its 80; it is as long as what stands on it. */
const ROLL_MARGIN = 4 * MM
const LONGEST_ROLL = 14_000

type Measures = { width: number; height: number; margin: number; size: number }

/** In points. `size` is that of the running text. */
const MEASURES: Record<Paper, Measures> = {
  A5: { width: 148 * MM, height: 210 * MM, margin: 11 * MM, size: 8.5 },
  Letter: { width: 612, height: 792, margin: 14 * MM, size: 9 },
  '80 mm roll': { width: 80 * MM, height: LONGEST_ROLL, margin: ROLL_MARGIN, size: 7 },
}

const require = createRequire(import.meta.url)
const FONTS = {
  regular: require.resolve('dejavu-fonts-ttf/ttf/DejaVuSans.ttf'),
  bold: require.resolve('dejavu-fonts-ttf/ttf/DejaVuSans-Bold.ttf'),
}

export class Sheet {
  readonly pdf: Pdf
  readonly paper: Paper
  readonly size: number
  readonly left: number
  readonly width: number
  private readonly bottom: number

  constructor(paper: Paper, about: { title: string; at: string }, rollHeight?: number) {
    const { width, height, margin, size } = MEASURES[paper]
    this.paper = paper
    this.size = size
    this.left = margin
    this.width = width - 2 * margin
    const tall = paper === '80 mm roll' && rollHeight !== undefined ? rollHeight + margin + size : height
    this.bottom = tall - margin
    this.pdf = new PDFDocument({
      size: [width, tall],
      margin,
      bufferPages: true,
      lang: 'en',
      displayTitle: true,
      font: FONTS.regular,
      info: { Title: about.title, CreationDate: new Date(about.at), ModDate: new Date(about.at) },
    })
    this.pdf.registerFont('regular', FONTS.regular).registerFont('bold', FONTS.bold)
    this.plain()
  }

  plain(size = this.size): void {
    this.pdf.font('regular').fontSize(size).fillColor('#000')
  }

  strong(size = this.size): void {
    this.pdf.font('bold').fontSize(size).fillColor('#000')
  }

  /** A new page when so many points are no longer free on this one. */
  need(height: number): void {
    if (this.paper !== '80 mm roll' && this.pdf.y + height > this.bottom) this.pdf.addPage()
  }

  gap(height: number): void {
    this.pdf.y += height
    this.pdf.x = this.left
  }

  line(y: number, colour = '#777', width = 0.5): void {
    const { pdf } = this
    pdf
      .save()
      .moveTo(this.left, y)
      .lineTo(this.left + this.width, y)
      .lineWidth(width)
      .stroke(colour)
      .restore()
  }

  /** Text at a place of its own, which never begins a new page. */
  at(words: string, x: number, y: number, options: { width: number; align?: 'left' | 'right' | 'center' }): void {
    this.pdf.text(words, x, y, { ...options, lineBreak: true })
  }

  /** Heads and numbers for sheets of which there are several, so that one that strays says whose it is. */
  numberPages(running: readonly string[]): void {
    const { start, count } = this.pdf.bufferedPageRange()
    if (count < 2) return
    for (let n = start; n < start + count; n += 1) {
      this.pdf.switchToPage(n)
      const { margins, height } = this.pdf.page
      const bottom = margins.bottom
      margins.bottom = 0
      this.plain(7)
      if (n > start)
        this.pdf.text(running.filter(Boolean).join(' · '), this.left, 12, { width: this.width, lineBreak: false })
      this.pdf.text(`${n - start + 1} of ${count}`, this.left, height - bottom + 8, {
        width: this.width,
        align: 'right',
        lineBreak: false,
      })
      margins.bottom = bottom
    }
  }

  bytes(): Promise<Buffer> {
    const { pdf } = this
    return new Promise((resolve, reject) => {
      const chunks: Buffer[] = []
      pdf.on('data', (chunk: Buffer) => chunks.push(chunk))
      pdf.once('end', () => resolve(Buffer.concat(chunks)))
      pdf.once('error', reject)
      pdf.end()
    })
  }
}
