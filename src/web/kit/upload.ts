/** Forms with files: streamed into files of their own before anything is done, within limits, and gone when it failed. */
import './site.js'
import { createHash } from 'node:crypto'
import { createWriteStream } from 'node:fs'
import { join } from 'node:path'
import type { Readable } from 'node:stream'
import { pipeline } from 'node:stream/promises'
import { setTimeout as pause } from 'node:timers/promises'
import multipart from '@fastify/multipart'
import type { FastifyInstance, FastifyReply, FastifyRequest } from 'fastify'
import { sayFileName } from '../../domain/picture-kind.js'
import { Refusal } from '../../domain/refusal.js'

declare module 'fastify' {
  interface FastifyContextConfig {
    /** Takes files; every other address refuses a form that brings some, before a byte of them is read. */
    files?: boolean
  }
}

/** A file as it came. Its name is what the sender calls it: to be shown, never to become part of a path. */
export type Upload = { name: string; path: string; bytes: number; sha256: string }

/** `field` names the inputs in sentences about them; all inputs for files count as one. */
export type Limits = { folder: string; mostFiles: number; mostFileBytes: number; field: string }

export const sendsFiles = (request: FastifyRequest): boolean =>
  /^multipart\/form-data/i.test(request.headers['content-type'] ?? '')

export function uploads(app: FastifyInstance): void {
  app.register(multipart)
  app.addHook('onRequest', async request => {
    if (!sendsFiles(request) || request.routeOptions.config.files || request.is404) return
    throw Object.assign(new Error('this address takes no files'), { statusCode: 415 })
  })
}

/** Before an early answer the rest of a body is read and thrown away so far, or the sender would never see the answer. */
const MOST_READ_ON_BYTES = 64 * 1024 * 1024
const LONGEST_READ_ON_MS = 10_000
const LOOK_EVERY_MS = 50
/** For the answer to arrive, when a sender does not end. */
const HANG_UP_AFTER_MS = 1000

export async function readOn({ raw }: FastifyRequest, reply: FastifyReply): Promise<void> {
  // Whatever read it before lets go first: letting go pauses it.
  raw.unpipe()
  raw.resume()
  const most = raw.socket.bytesRead + MOST_READ_ON_BYTES
  const until = performance.now() + LONGEST_READ_ON_MS
  const over = new Promise(resolve => raw.once('end', resolve).once('close', resolve))
  while (!raw.readableEnded && !raw.destroyed) {
    if (raw.socket.bytesRead > most || performance.now() > until) {
      raw.pause()
      reply.raw.once('finish', () => setTimeout(() => raw.destroy(), HANG_UP_AFTER_MS))
      return
    }
    await Promise.race([over, pause(LOOK_EVERY_MS)])
  }
}

/** Words typed beside the files; longer ones are cut off by the parser and refused by the form. */
const MOST_FIELD_BYTES = 100_000
const MOST_FIELDS = 60

/**
 * Reads a form with files: what was typed goes into `typed`, also when the rest fails; each file is streamed to disk.
 * The caller clears the folder.
 */
export async function receive(request: FastifyRequest, limits: Limits, typed: Map<string, string>): Promise<Upload[]> {
  const { folder, mostFiles, mostFileBytes, field } = limits
  const files: Upload[] = []
  const parts = request.parts({
    limits: {
      fileSize: mostFileBytes + 1,
      fieldSize: MOST_FIELD_BYTES,
      fields: MOST_FIELDS,
      files: mostFiles + MOST_FIELDS,
      parts: mostFiles + 2 * MOST_FIELDS,
    },
  })
  try {
    for await (const part of parts) {
      if (part.type === 'field') typed.set(part.fieldname, String(part.value))
      else if (!part.filename) await toNowhere(part.file)
      else if (files.length < mostFiles)
        files.push(await store(part.file, part.filename, join(folder, `${files.length}.sent`), limits))
      else throw new Refusal('too-much', `Send at most ${mostFiles} at once; nothing was kept of these.`, field)
    }
  } catch (fault) {
    throw inWords(fault, field)
  }
  return files
}

/** An input that was left empty comes as a file without a name. */
const toNowhere = (file: Readable) =>
  pipeline(file, async source => {
    for await (const _ of source);
  })

async function store(file: Readable, name: string, path: string, limits: Limits): Promise<Upload> {
  const hash = createHash('sha256')
  let bytes = 0
  const counted = async function* (source: AsyncIterable<Buffer>) {
    for await (const part of source) {
      bytes += part.length
      if (bytes > limits.mostFileBytes) throw tooLarge(name, limits)
      hash.update(part)
      yield part
    }
  }
  await pipeline(file, counted, createWriteStream(path, { flags: 'wx', mode: 0o600 }))
  return { name, path, bytes, sha256: hash.digest('hex') }
}

const tooLarge = (name: string, { mostFileBytes, field }: Limits) =>
  new Refusal(
    'too-much',
    `The file ${sayFileName(name)} is larger than ${Math.floor(mostFileBytes / 1_000_000)} MB, the most that one may be. Nothing was kept; send it smaller.`,
    field,
  )

const codeOf = (fault: unknown): string =>
  fault instanceof Error && 'code' in fault && typeof fault.code === 'string' ? fault.code : ''

const FULL = ['ENOSPC', 'EDQUOT', 'SQLITE_FULL']

/** A full disk is nobody's fault: it is said. */
export const isDiskFull = (fault: unknown): boolean => FULL.includes(codeOf(fault))
export const diskFull = () =>
  new Refusal('not-now', 'The disk that holds the records is full. Nothing was kept; make room, then send it again.')

/** What went wrong while reading; a fault of this machine stays a fault. */
function inWords(fault: unknown, field: string): unknown {
  if (fault instanceof Refusal || isDiskFull(fault)) return fault
  if (/_LIMIT$/.test(codeOf(fault)))
    return new Refusal('too-much', 'The form holds too many parts. Send fewer at once.', field)
  if (fault instanceof Error && 'syscall' in fault) return fault
  return new Refusal('wrong', 'The form did not arrive whole. Nothing was kept; send it again.', field)
}
