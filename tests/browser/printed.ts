/** A page printed to PDF, and read back by other programs: pdfinfo and pdftotext (poppler-utils). */
import { execFileSync } from 'node:child_process'
import { mkdtempSync, rmSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import type { Page } from 'playwright-core'

/** Sizes in points, 72 to the inch. `text` has one space wherever the paper breaks a line or leaves a gap. */
export type Printed = { widthPt: number; heightPt: number; pages: number; text: string }

export async function printed(page: Page): Promise<Printed> {
  const folder = mkdtempSync(join(tmpdir(), 'tie-for-tie-slip-'))
  const file = join(folder, 'slip.pdf')
  try {
    writeFileSync(file, await page.pdf({ preferCSSPageSize: true }))
    const info = execFileSync('pdfinfo', [file], { encoding: 'utf8' })
    const text = execFileSync('pdftotext', ['-layout', file, '-'], { encoding: 'utf8' })
    const [, width, height] = /Page size:\s+([\d.]+) x ([\d.]+) pts/.exec(info) ?? []
    const [, pages] = /Pages:\s+(\d+)/.exec(info) ?? []
    const sizes = { widthPt: Number(width), heightPt: Number(height), pages: Number(pages) }
    return { ...sizes, text: text.replace(/\s+/g, ' ') }
  } finally {
    rmSync(folder, { recursive: true })
  }
}
