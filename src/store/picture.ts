/** A photograph made anew from what was sent: upright, not larger than needed, and with nothing in it but the picture. */
import { createHash } from 'node:crypto'
import { closeSync, fsyncSync, openSync, writeSync } from 'node:fs'
import { open } from 'node:fs/promises'
import sharp from 'sharp'
import { LONGEST_SIDE_PX } from '../domain/photograph.js'
import { pictureKind, sayTooLarge, TELLING_BYTES } from '../domain/picture-kind.js'
import { Refusal } from '../domain/refusal.js'

/** `path` is where it lies until it is put in its place; the hash is of its bytes (SHA-256). */
export type Picture = { path: string; hash: string; widthPx: number; heightPx: number; bytes: number }

// One picture at a time, on one core, and nothing kept in memory for later: the workshop goes on working meanwhile.
sharp.cache(false)
sharp.concurrency(1)
let last: Promise<unknown> = Promise.resolve()
function oneByOne<T>(work: () => Promise<T>): Promise<T> {
  const next = last.then(work)
  last = next.catch(() => undefined)
  return next
}

const LONGEST_SECONDS = 60
const QUALITY = 82
const BYTES_OF: Record<string, number> = { uchar: 1, char: 1, ushort: 2, short: 2, uint: 4, int: 4, float: 4 }

/** Ends of a sentence that begins with the file's name. */
const wrong = (sentence: string) => new Refusal('wrong', sentence)
const BROKEN = 'is damaged, or was cut off on the way, and cannot be read. Send it again, or take it again.'

async function firstBytes(path: string): Promise<Uint8Array> {
  const handle = await open(path, 'r')
  try {
    const { buffer, bytesRead } = await handle.read(new Uint8Array(TELLING_BYTES), 0, TELLING_BYTES, 0)
    return buffer.subarray(0, bytesRead)
  } finally {
    await handle.close()
  }
}

/** Looks at the head of a file only, so that a picture that would fill the memory is refused before it is unpacked. */
async function refuseUnreadable(path: string): Promise<void> {
  const kind = pictureKind(await firstBytes(path))
  if (!kind.ok) throw wrong(kind.sentence)
  const head = await sharp(path, { limitInputPixels: false })
    .metadata()
    .catch(() => undefined)
  if (head?.format !== (kind.value === 'avif' ? 'heif' : kind.value)) throw wrong(BROKEN)
  const trouble = sayTooLarge({
    widthPx: head.width,
    heightPx: head.height,
    channels: head.channels,
    bytesPerChannel: BYTES_OF[head.depth] ?? 8,
  })
  if (trouble) throw wrong(trouble)
}

/**
 * Orientation is applied and then gone with all other metadata: place, device, time, thumbnail. Of a moving picture the
 * first one is kept; what is transparent becomes white; colours become sRGB.
 */
const madeAnew = (path: string) =>
  sharp(path, { failOn: 'error', sequentialRead: true, limitInputPixels: 64_000_000 })
    .autoOrient()
    .resize(LONGEST_SIDE_PX, LONGEST_SIDE_PX, { fit: 'inside', withoutEnlargement: true })
    .flatten({ background: '#ffffff' })
    .jpeg({ quality: QUALITY })
    .timeout({ seconds: LONGEST_SECONDS })
    .toBuffer({ resolveWithObject: true })

function writeWhole(path: string, bytes: Buffer): void {
  const handle = openSync(path, 'wx', 0o600)
  try {
    for (let done = 0; done < bytes.length; ) done += writeSync(handle, bytes, done)
    fsyncSync(handle)
  } finally {
    closeSync(handle)
  }
}

/** Makes the picture in file `from` anew as file `to`, or says as the end of a sentence why it cannot. */
export const makeAnew = (from: string, to: string): Promise<Picture> =>
  oneByOne(async () => {
    await refuseUnreadable(from)
    const { data, info } = await madeAnew(from).catch(() => {
      throw wrong(BROKEN)
    })
    writeWhole(to, data)
    const hash = createHash('sha256').update(data).digest('hex')
    return { path: to, hash, widthPx: info.width, heightPx: info.height, bytes: data.length }
  })
