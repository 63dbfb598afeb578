/** Pictures and what pretends to be one, made in memory: no file of anybody's lies in the tests. */
import { deflateSync } from 'node:zlib'
import sharp, { type Sharp } from 'sharp'

/** Bark in stripes, so that up, down and cut off can be told: red above, dark below. */
export function drawn(widthPx = 640, heightPx = 480): Sharp {
  const pixels = Buffer.alloc(widthPx * heightPx * 3)
  for (let y = 0; y < heightPx; y += 1) {
    for (let x = 0; x < widthPx; x += 1) {
      const strand = (x * 7 + (y % 13)) % 40
      const isAbove = y < heightPx / 2
      pixels.set(isAbove ? [200 - strand, 60 + strand, 50] : [30, 30 + strand, 40], (y * widthPx + x) * 3)
    }
  }
  return sharp(pixels, { raw: { width: widthPx, height: heightPx, channels: 3 } })
}

/** A moving picture of two moments. */
const moving = async (): Promise<Buffer> => {
  const frames = await Promise.all(
    [1, 2].map(n =>
      drawn(60, 40 * n)
        .resize(60, 40, { fit: 'fill' })
        .png()
        .toBuffer(),
    ),
  )
  return sharp(frames, { join: { animated: true } })
    .gif({ loop: 0, delay: [100, 100] })
    .toBuffer()
}

/** Twelve kinds that a camera, a phone or a desk sends, each as a sender would name it. */
export const goodPictures: Record<string, () => Promise<Buffer>> = {
  'plain.jpg': () => drawn().jpeg().toBuffer(),
  'progressive.jpg': () => drawn().jpeg({ progressive: true }).toBuffer(),
  'grey.jpg': () => drawn().greyscale().jpeg().toBuffer(),
  'four inks.jpg': () => drawn().toColourspace('cmyk').jpeg().toBuffer(),
  'plain.png': () => drawn().png().toBuffer(),
  'see-through.png': () => drawn().ensureAlpha(0.5).png().toBuffer(),
  'sixteen bits.png': () => drawn().toColourspace('rgb16').png().toBuffer(),
  'plain.webp': () => drawn().webp().toBuffer(),
  'plain.gif': () => drawn().gif().toBuffer(),
  'moving.gif': moving,
  'plain.tiff': () => drawn().tiff().toBuffer(),
  'plain.avif': () => drawn().avif({ effort: 0 }).toBuffer(),
}

function crc32(bytes: Uint8Array): number {
  let crc = 0xffffffff
  for (const byte of bytes) {
    crc ^= byte
    for (let bit = 0; bit < 8; bit += 1) crc = crc & 1 ? (crc >>> 1) ^ 0xedb88320 : crc >>> 1
  }
  return ~crc >>> 0
}

/** One chunk of a PNG (RFC 2083, 3.2): length, type, data, CRC. */
function chunk(type: string, data: Buffer): Buffer {
  const body = Buffer.concat([Buffer.from(type), data])
  const [length, crc] = [Buffer.alloc(4), Buffer.alloc(4)]
  length.writeUInt32BE(data.length)
  crc.writeUInt32BE(crc32(body))
  return Buffer.concat([length, body, crc])
}

/** A PNG whose head declares this size, with a megabyte of nothing behind it. */
export function declaredPng(widthPx: number, heightPx: number): Buffer {
  const head = Buffer.alloc(13)
  head.writeUInt32BE(widthPx, 0)
  head.writeUInt32BE(heightPx, 4)
  head.set([8, 2], 8)
  const sign = Buffer.from([0x89, 0x50, 0x4e, 0x47, 0x0d, 0x0a, 0x1a, 0x0a])
  const data = deflateSync(Buffer.alloc(1_000_000), { level: 0 })
  return Buffer.concat([sign, chunk('IHDR', head), chunk('IDAT', data), chunk('IEND', Buffer.alloc(0))])
}

/** A JPEG whose head declares another size than it has (ITU-T T.81, B.2.2: frame header). */
export async function declaredJpeg(widthPx: number, heightPx: number): Promise<Buffer> {
  const bytes = await drawn(64, 64).jpeg().toBuffer()
  const frame = bytes.indexOf(Buffer.from([0xff, 0xc0]))
  bytes.writeUInt16BE(heightPx, frame + 5)
  bytes.writeUInt16BE(widthPx, frame + 7)
  return bytes
}

/** A BMP as small as they come. */
export function bitmap(): Buffer {
  const bytes = Buffer.alloc(58)
  bytes.write('BM')
  bytes.writeUInt32LE(58, 2)
  bytes.writeUInt32LE(54, 10)
  bytes.writeUInt32LE(40, 14)
  bytes.writeInt32LE(1, 18)
  bytes.writeInt32LE(1, 22)
  bytes.writeUInt16LE(1, 26)
  bytes.writeUInt16LE(24, 28)
  return bytes
}

/** The head of an ISO media file of this brand (ISO/IEC 14496-12, 4.3). */
export const mediaFile = (brand: string): Buffer =>
  Buffer.concat([Buffer.from([0, 0, 0, 24]), Buffer.from(`ftyp${brand}\0\0\0\0mif1${brand}`), Buffer.alloc(200, 7)])

export const svg = Buffer.from(
  '<svg xmlns="http://www.w3.org/2000/svg" width="9" height="9"><script>alert(1)</script></svg>',
)
