/** A backup's photographs: a folder beside the file, each picture under its hash, and each held against it. */
import { createHash } from 'node:crypto'
import {
  chmodSync,
  constants,
  copyFileSync,
  existsSync,
  linkSync,
  mkdirSync,
  readdirSync,
  readFileSync,
  renameSync,
  rmSync,
} from 'node:fs'
import { resolve } from 'node:path'
import type { Database as Raw } from 'better-sqlite3'
import { Refusal } from '../domain/refusal.js'
import { flush } from './disk.js'
import { filesIn, pathOf, photographFolder } from './photograph-folder.js'

/** FILE.photographs beside FILE. */
export const photographsBeside = (file: string): string => `${file}.photographs`

/** The hashes of the pictures that these records need; none in records from before photographs were kept. */
export function neededBy(raw: Raw): string[] {
  const isThere = raw.prepare("select 1 from sqlite_master where name = 'photograph'").get() !== undefined
  if (!isThere) return []
  return raw
    .prepare<[], string>('select distinct hash from photograph where withdrawn_at is null order by hash')
    .pluck()
    .all()
}

/** Whether the picture lies there, whole and as it was kept. */
function isWhole(folder: string, hash: string): boolean {
  const path = pathOf(folder, hash)
  return existsSync(path) && createHash('sha256').update(readFileSync(path)).digest('hex') === hash
}

/** Copies a picture so that under its name lies the whole of it or nothing. */
function copyWhole(from: string, to: string, hash: string): void {
  const part = `${pathOf(to, hash)}.part`
  copyFileSync(pathOf(from, hash), part, constants.COPYFILE_FICLONE)
  chmodSync(part, 0o600)
  flush(part)
  renameSync(part, pathOf(to, hash))
}

/** Copies every picture that is whole and not there yet. Answers those that are missing or were changed. */
function copyAll(from: string, to: string, hashes: readonly string[]): string[] {
  const broken: string[] = []
  if (hashes.length > 0) mkdirSync(to, { recursive: true, mode: 0o700 })
  for (const hash of hashes) {
    if (isWhole(to, hash)) continue
    if (isWhole(from, hash)) copyWhole(from, to, hash)
    else broken.push(hash)
  }
  if (hashes.length > 0) flush(to)
  return broken
}

export type CopiedPhotographs = {
  count: number
  /** Needed by the records, and missing or changed in the data folder: no copy of them could be made. */
  broken: string[]
}

/**
 * Copies the pictures that the records need now. Called before the records are copied: one that is withdrawn meanwhile
 * is in the folder already, and `completeCopy` adds what came meanwhile.
 */
export const beginCopy = (dataFolder: string, file: string, needed: readonly string[]): string[] =>
  copyAll(photographFolder(dataFolder), photographsBeside(file), needed)

/** Brings the folder to what the copied records need, no more and no less. */
export function completeCopy(dataFolder: string, file: string, needed: readonly string[]): CopiedPhotographs {
  const beside = photographsBeside(file)
  const broken = copyAll(photographFolder(dataFolder), beside, needed)
  const wanted = new Set(needed)
  for (const hash of filesIn(beside).hashes) if (!wanted.has(hash)) rmSync(pathOf(beside, hash))
  return { count: needed.length - broken.length, broken }
}

/** Refuses a backup whose photographs are not beside it as its records say; `missing` are those it never had. */
export function refuseUnlessWhole(file: string, needed: readonly string[], missing: readonly string[]): void {
  const beside = photographsBeside(file)
  const known = new Set(missing)
  const expected = needed.filter(hash => !known.has(hash))
  if (expected.length > 0 && !existsSync(beside)) {
    throw new Refusal(
      'wrong',
      `The photographs of this backup are not there: ${beside} is missing. Put that folder beside the file, or restore the records alone: restore ${file} --without-photographs`,
    )
  }
  const broken = expected.filter(hash => !isWhole(beside, hash))
  if (broken.length > 0) {
    const names = broken.slice(0, 5).map(hash => `${hash.slice(0, 12)}….jpg`)
    throw new Refusal(
      'wrong',
      `${broken.length} photographs in ${beside} are missing or damaged (${names.join(', ')}). Use another backup, or restore the records alone: restore ${file} --without-photographs`,
    )
  }
}

/** Keeps what photographs there are, beside the records that are kept: as links on the same disk, which take no room. */
export function keepBeside(dataFolder: string, keptAs: string): void {
  const folder = photographFolder(dataFolder)
  const { hashes } = filesIn(folder)
  if (hashes.length === 0) return
  const beside = photographsBeside(keptAs)
  mkdirSync(beside, { recursive: true, mode: 0o700 })
  for (const hash of hashes) {
    try {
      linkSync(pathOf(folder, hash), pathOf(beside, hash))
    } catch {
      copyWhole(folder, beside, hash)
    }
  }
  flush(beside)
}

/** Adds a backup's photographs to the data folder. What these records do not need is swept at the next start. */
export function bringBack(dataFolder: string, file: string, needed: readonly string[]): number {
  const folder = photographFolder(dataFolder)
  const there = needed.filter(hash => existsSync(pathOf(photographsBeside(file), hash)))
  copyAll(photographsBeside(file), folder, there)
  return there.length
}

/** Nothing is left of a backup that failed. */
export const leaveNone = (file: string): void => rmSync(photographsBeside(file), { recursive: true, force: true })

export function refuseIfThere(file: string): void {
  const beside = photographsBeside(file)
  if (existsSync(beside) && readdirSync(beside).length > 0)
    throw new Refusal(
      'conflict',
      `${resolve(beside)} exists already. A backup never writes over another one; give a new name.`,
    )
}
