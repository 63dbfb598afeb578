/** What a file is, by its first bytes: neither its name nor what the sender says of it counts. */
import { type Read, read, unread } from './refusal.js'

export const PICTURE_KINDS = ['jpeg', 'png', 'gif', 'webp', 'tiff', 'avif'] as const
export type PictureKind = (typeof PICTURE_KINDS)[number]

/** As many bytes as tell. */
export const TELLING_BYTES = 64

/** In Latin-1, so that each byte is one character. Sources: the file formats' own specifications. */
const SIGNS: readonly [RegExp, PictureKind][] = [
  [/^\xff\xd8\xff/, 'jpeg'],
  // biome-ignore lint/suspicious/noControlCharactersInRegex: these are the bytes that PNG begins with (RFC 2083, 3.1).
  [/^\x89PNG\r\n\x1a\n/, 'png'],
  [/^GIF8[79]a/, 'gif'],
  [/^RIFF[\s\S]{4}WEBP/, 'webp'],
  // biome-ignore lint/suspicious/noControlCharactersInRegex: these are the bytes that TIFF begins with (TIFF 6.0, section 2).
  [/^(II[\x2a\x2b]\x00|MM\x00[\x2a\x2b])/, 'tiff'],
  [/^[\s\S]{4}ftyp[\s\S]{0,52}avi[fs]/, 'avif'],
]

const JPEG_INSTEAD = 'Send it as JPEG or PNG.'

/** What a phone or a desk sends in good faith, told by its sign. */
const NOT_READ: readonly [RegExp, string][] = [
  [/^\s*$/, 'is empty; it was perhaps cut off on the way. Send it again.'],
  [
    /^[\s\S]{4}ftyp(hei[cxms]|hev[cxms]|mif1|msf1)/,
    'is in the format HEIC, which cannot be read here. Set the camera to the most compatible format (JPEG) and take it again, or send it from the phone as JPEG.',
  ],
  [/^[\s\S]{4}ftyp/, `is a film or another kind of recording. ${JPEG_INSTEAD}`],
  [/^BM/, `is a bitmap (BMP). ${JPEG_INSTEAD}`],
  [/^%PDF/, `is a PDF. ${JPEG_INSTEAD}`],
  [
    /^(\xef\xbb\xbf)?\s*<(\?xml|svg|!doctype svg|!--)/i,
    `is a drawing in SVG or another text, which is not taken in. ${JPEG_INSTEAD}`,
  ],
]

/** The kind of picture that begins with these bytes, or the end of a sentence that begins with the file's name. */
export function pictureKind(firstBytes: Uint8Array): Read<PictureKind> {
  const head = String.fromCharCode(...firstBytes.subarray(0, TELLING_BYTES))
  const kind = SIGNS.find(([sign]) => sign.test(head))?.[1]
  if (kind) return read(kind)
  return unread(
    NOT_READ.find(([sign]) => sign.test(head))?.[1] ?? `is no picture that can be read here. ${JPEG_INSTEAD}`,
  )
}

/** A side longer than this is no photograph of a bundle. */
const LONGEST_SIDE_READ_PX = 30_000
const MOST_PIXELS = 64_000_000
/** What a picture fills in memory when it is unpacked. */
const MOST_UNPACKED_BYTES = 270_000_000

export type PictureSize = { widthPx: number; heightPx: number; channels: number; bytesPerChannel: number }

/** Why a picture of this size is not unpacked, as the end of a sentence; '' when it may be. */
export function sayTooLarge({ widthPx, heightPx, channels, bytesPerChannel }: PictureSize): string {
  const pixels = widthPx * heightPx
  const isTooLarge =
    Math.max(widthPx, heightPx) > LONGEST_SIDE_READ_PX ||
    pixels > MOST_PIXELS ||
    pixels * channels * bytesPerChannel > MOST_UNPACKED_BYTES
  return isTooLarge
    ? `measures ${widthPx} × ${heightPx} pixels, more than can be taken in. Send it smaller: up to 64 million pixels, and no side above 30,000.`
    : ''
}

/** A file's name as it may stand in a sentence: it names a file to the person who sent it and nothing else. */
export function sayFileName(name: string): string {
  const plain = name
    .replace(/[\p{C}\p{Zl}\p{Zp}]+/gu, ' ')
    .replace(/\s+/g, ' ')
    .trim()
  return plain === ''
    ? 'without a name'
    : `“${plain.length > 60 ? `${plain.slice(0, 40)}…${plain.slice(-15)}` : plain}”`
}
