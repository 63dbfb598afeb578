/**
 * How large a tag and its square code (QR) are printed. The rules: four modules of white all round (ISO/IEC 18004, as
 * DENSO WAVE's page on the quiet zone has it); each module a whole number of printer dots, four at least (DENSO WAVE, on
 * the size of a cell); a module not under 0.396 mm (GS1 General Specifications 5.12.3.1), ours 0.5 mm unless told
 * otherwise; level Q, which bears about a quarter of it unreadable, in version 4 at most.
 */
import { type Read, read, unread } from './refusal.js'

export const DOTS_PER_INCH = [200, 203, 300, 600] as const
export type DotsPerInch = (typeof DOTS_PER_INCH)[number]

/** The least side of a module in mm; it is rounded up to whole dots of the printer. */
const LEAST_MM = { small: 0.396, usual: 0.5, large: 0.75 } as const
export type DotSize = keyof typeof LEAST_MM
export const DOT_SIZES = ['small', 'usual', 'large'] as const satisfies readonly DotSize[]

const MM_PER_INCH = 25.4
const LEAST_DOTS = 4
export const QUIET_MODULES = 4

/** The side of a module, in dots of the printer and in mm. */
export function moduleFor(dotsPerInch: DotsPerInch, size: DotSize): { dots: number; moduleMm: number } {
  const dots = Math.max(LEAST_DOTS, Math.ceil((LEAST_MM[size] * dotsPerInch) / MM_PER_INCH))
  return { dots, moduleMm: (dots * MM_PER_INCH) / dotsPerInch }
}

/** Characters that versions 1 to 4 hold at level Q, of figures, capitals and $%*+-./: (ISO/IEC 18004, table 7). */
const HOLDS = [16, 29, 47, 67] as const

/** The version that so many characters need; undefined when they are too many for a tag. */
export function versionFor(characters: number): number | undefined {
  const at = HOLDS.findIndex(holds => holds >= characters)
  return at < 0 ? undefined : at + 1
}

/** The side of the square code with its white margin. */
export const qrSideMm = (version: number, moduleMm: number): number => (17 + 4 * version + 2 * QUIET_MODULES) * moduleMm

/** What stands in the square code: the tag's address in capitals, or its bare code where no address is set. */
export const payloadOf = (address: string, code: string): string =>
  address === '' ? code : `${address.toUpperCase()}/T/${code}`

const LONGEST_CODE = 7
const ADDRESS = /^https?:\/\/[a-z0-9](?:[a-z0-9.-]*[a-z0-9])?(?::\d{1,5})?$/

/** Reads the address under which phones reach this workshop; '' for none. Only what survives capitals: no path in it. */
export function readTagAddress(typed: string): Read<string> {
  const address = typed.trim().toLowerCase().replace(/\/+$/, '')
  if (address === '') return read('')
  if (!ADDRESS.test(address))
    return unread(
      'Address for tags: write it as the phone’s browser shows it, such as https://shed.example, without anything after the name.',
    )
  const spare = HOLDS[3] - payloadOf(address, 'X'.repeat(LONGEST_CODE)).length
  if (spare < 0) return unread(`Address for tags: too long by ${-spare} characters for a square code that scans well.`)
  return read(address)
}

/** Tags on offer, by width and height in mm. */
export const TAG_SIZES = ['50 x 30', '65 x 45', '90 x 50', '100 x 60'] as const
export type TagSize = (typeof TAG_SIZES)[number]
export const TAG_MEASURES: Record<TagSize, { widthMm: number; heightMm: number }> = {
  '50 x 30': { widthMm: 50, heightMm: 30 },
  '65 x 45': { widthMm: 65, heightMm: 45 },
  '90 x 50': { widthMm: 90, heightMm: 50 },
  '100 x 60': { widthMm: 100, heightMm: 60 },
}

export const TAG_PAPERS = ['A4', 'Letter', 'labels'] as const
export type TagPaper = (typeof TAG_PAPERS)[number]
/** What a printer leaves white at the edge, and a line that tells sheets apart. */
const EDGE_MM = 5
const LINE_MM = 6
const SHEETS = { A4: { widthMm: 210, heightMm: 297 }, Letter: { widthMm: 215.9, heightMm: 279.4 } } as const

/** How many tags stand side by side and one below the other; a label stands alone. */
export function tagsOnSheet(paper: TagPaper, size: TagSize): { columns: number; rows: number } {
  if (paper === 'labels') return { columns: 1, rows: 1 }
  const [sheet, tag] = [SHEETS[paper], TAG_MEASURES[size]]
  return {
    columns: Math.floor((sheet.widthMm - 2 * EDGE_MM) / tag.widthMm),
    rows: Math.floor((sheet.heightMm - 2 * EDGE_MM - LINE_MM) / tag.heightMm),
  }
}

export type TagSettings = {
  paper: TagPaper
  size: TagSize
  dotsPerInch: DotsPerInch
  dotSize: DotSize
  /** '' or "https://shed.example". */
  address: string
}

/** Beside the square code: room for the hole and the code in 24 pt; below it: two lines of words and a little white. */
const BESIDE_MM = 10 + 17
const BELOW_MM = 9

/** The square code of a tag as these settings print it; `fits` is false when the tag is too small for it. */
export function qrFor({ size, dotsPerInch, dotSize, address }: TagSettings) {
  const version = versionFor(payloadOf(address, 'X'.repeat(LONGEST_CODE)).length) ?? HOLDS.length
  const { dots, moduleMm } = moduleFor(dotsPerInch, dotSize)
  const sideMm = qrSideMm(version, moduleMm)
  const { widthMm, heightMm } = TAG_MEASURES[size]
  return { version, dots, moduleMm, sideMm, fits: sideMm + BESIDE_MM <= widthMm && sideMm + BELOW_MM <= heightMm }
}

/** How the client is told on a tag: by name, or by the mark they chose instead; something always stands there. */
export function secondName(client: { name: string; mark: string; nameOnTag: boolean }, commissionId: number): string {
  if (client.nameOnTag) return client.name
  return client.mark === '' ? `Commission ${commissionId}` : client.mark
}

/** Several to a page: the tags page by page. */
export function pagesOf<T>(tags: readonly T[], { columns, rows }: { columns: number; rows: number }): T[][] {
  const each = columns * rows
  return Array.from({ length: Math.ceil(tags.length / each) }, (_, page) => tags.slice(page * each, (page + 1) * each))
}
