/** The pictures themselves: files beside the database, each under the hash of its bytes. */
import { createHash, randomUUID } from 'node:crypto'
import { createReadStream, existsSync, mkdirSync, readdirSync, renameSync, rmSync } from 'node:fs'
import { dirname, join } from 'node:path'
import { flush } from './disk.js'
import type { Picture } from './picture.js'

export const photographFolder = (dataFolder: string): string => join(dataFolder, 'photographs')

/** The path comes from the hash alone, never from a name that somebody sent. */
export function pathOf(folder: string, hash: string): string {
  if (!/^[0-9a-f]{64}$/.test(hash)) throw new Error('not the hash of a photograph')
  return join(folder, `${hash}.jpg`)
}

const INCOMING = 'incoming'

/** A folder of its own for what one form brings, on the same disk; `leaveIncoming` takes it away again. */
export function enterIncoming(folder: string): string {
  const own = join(folder, INCOMING, randomUUID())
  mkdirSync(own, { recursive: true, mode: 0o700 })
  return own
}
export const leaveIncoming = (own: string): void => rmSync(own, { recursive: true, force: true })

/** Half-done work of a program that was stopped. */
export const clearIncoming = (folder: string): void => leaveIncoming(join(folder, INCOMING))

/**
 * Gives a finished picture its place: renamed within one disk, so that under the hash lies the whole file or none.
 * Called inside the transaction that writes its row, before that row is committed: no row points to a missing file.
 */
export function putInPlace(folder: string, pictures: readonly Picture[]): void {
  for (const { path, hash } of pictures) renameSync(path, pathOf(folder, hash))
  if (pictures.length > 0) {
    flush(folder)
    flush(dirname(folder))
  }
}

export const isInPlace = (folder: string, hash: string): boolean => existsSync(pathOf(folder, hash))

export const takeAway = (folder: string, hash: string): void => rmSync(pathOf(folder, hash), { force: true })

/** The hashes by which files lie there, and the names of files that are none of ours. */
export function filesIn(folder: string): { hashes: string[]; others: string[] } {
  const names = existsSync(folder) ? readdirSync(folder).filter(name => name !== INCOMING) : []
  const ours = names.filter(name => /^[0-9a-f]{64}\.jpg$/.test(name))
  return { hashes: ours.map(name => name.slice(0, 64)), others: names.filter(name => !ours.includes(name)) }
}

export async function hashOfFile(path: string): Promise<string> {
  const hash = createHash('sha256')
  for await (const part of createReadStream(path)) hash.update(part)
  return hash.digest('hex')
}
