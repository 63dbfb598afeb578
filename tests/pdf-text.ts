/** What a PDF says, and how it looks: read back by pdftotext, pdfinfo and pdftoppm (poppler-utils). */
import { execFileSync } from 'node:child_process'
import { mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'

const withFile = <T>(bytes: Buffer, use: (file: string, folder: string) => T): T => {
  const folder = mkdtempSync(join(tmpdir(), 'tie-for-tie-pdf-'))
  try {
    writeFileSync(join(folder, 'paper.pdf'), bytes)
    return use(join(folder, 'paper.pdf'), folder)
  } finally {
    rmSync(folder, { recursive: true })
  }
}

export const textOf = (bytes: Buffer): string =>
  withFile(bytes, file => execFileSync('pdftotext', ['-raw', file, '-'], { encoding: 'utf8' }))

/** Page size in points, and the number of pages. */
export function shapeOf(bytes: Buffer) {
  const info = withFile(bytes, file => execFileSync('pdfinfo', [file], { encoding: 'utf8' }))
  const [, width, height] = /Page size:\s+([\d.]+) x ([\d.]+) pts/.exec(info) ?? []
  return { width: Number(width), height: Number(height), pages: Number(/Pages:\s+(\d+)/.exec(info)?.[1]) }
}

/** Where a line breaks is the paper's business: only the characters are compared. */
export const bare = (text: string): string => text.replace(/\s+/g, '')

const ENTITIES: Record<string, string> = { amp: '&', lt: '<', gt: '>', quot: '"', '#39': "'" }

/** A paper on its page, without drawings and without what only repeats on further sheets. */
export function pageText(html: string): string {
  const [, flow = ''] = /<div class="flow">([\s\S]*)<\/main>/.exec(html) ?? []
  const text = flow.replace(/<svg[\s\S]*?<\/svg>/g, '').replace(/<[^>]+>/g, ' ')
  return bare(text.replace(/&(amp|lt|gt|quot|#39);/g, (_, name: string) => ENTITIES[name] ?? ''))
}

/** The same of the PDF: heads and numbers of several sheets stand on lines of their own. */
export function pdfText(bytes: Buffer, running: string): string {
  const lines = textOf(bytes)
    .replaceAll('\f', '\n')
    .split('\n')
    .filter(line => !/^\d+ of \d+$/.test(line.trim()) && line.trim() !== running)
  return bare(lines.join('\n'))
}

/** Its first page as a label printer of 203 dots to the inch puts it on paper. */
export const pictureOf = (bytes: Buffer): Buffer =>
  withFile(bytes, (file, folder) => {
    execFileSync('pdftoppm', ['-r', '203', '-png', '-singlefile', file, join(folder, 'page')])
    return readFileSync(join(folder, 'page.png'))
  })
