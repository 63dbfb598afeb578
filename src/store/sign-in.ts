import { createHash, randomBytes, scrypt, timingSafeEqual } from 'node:crypto'
import type { Db } from './db.js'
import { ready } from './ready.js'

/** scrypt N=2^17, r=8, p=1: the OWASP Password Storage Cheat Sheet's figures for a slow salted hash. */
const COST = { N: 2 ** 17, r: 8, p: 1, maxmem: 256 * 1024 * 1024 }
const HASH_BYTES = 32

/** A session lasts long: wet hands at the pot should not sign in ten times a day. Seven days idle, thirty in all. */
export const IDLE_DAYS = 7
export const LONGEST_DAYS = 30
const DAY_MS = 86_400_000

const slowHash = (passphrase: string, salt: Buffer): Promise<Buffer> =>
  new Promise((resolve, reject) =>
    scrypt(passphrase, salt, HASH_BYTES, COST, (fault, hash) => (fault ? reject(fault) : resolve(hash))),
  )

/** "scrypt$N$r$p$salt$hash": carries its own parameters, so that they can be raised later. */
export async function hashPassphrase(passphrase: string): Promise<string> {
  const salt = randomBytes(16)
  const hash = await slowHash(passphrase, salt)
  return ['scrypt', COST.N, COST.r, COST.p, salt.toString('base64'), hash.toString('base64')].join('$')
}

export async function isPassphrase(passphrase: string, stored: string): Promise<boolean> {
  const [, , , , salt = '', hash = ''] = stored.split('$')
  const kept = Buffer.from(hash, 'base64')
  const given = await slowHash(passphrase, Buffer.from(salt, 'base64'))
  return kept.length === given.length && timingSafeEqual(kept, given)
}

export type Worker = { id: number; name: string }

const hashToken = (token: string): string => createHash('sha256').update(token).digest('hex')
const later = (at: string, days: number): string => new Date(Date.parse(at) + days * DAY_MS).toISOString()

export const isSetUp = async (db: Db): Promise<boolean> =>
  (await db.selectFrom('worker').select('id').limit(1).executeTakeFirst()) !== undefined

export async function addWorker(db: Db, name: string, passphraseHash: string, at: string): Promise<number> {
  const { id } = await db
    .insertInto('worker')
    .values({ name, passphrase_hash: passphraseHash, made_at: at })
    .returning('id')
    .executeTakeFirstOrThrow()
  return id
}

export const firstWorker = (db: Db): Promise<Worker | undefined> =>
  db.selectFrom('worker').select(['id', 'name']).orderBy('id').limit(1).executeTakeFirst()

/** The worker whose passphrase this is. Each is tried in turn: a workshop has one pair of hands, or two. */
export async function workerByPassphrase(db: Db, passphrase: string): Promise<Worker | undefined> {
  const workers = await db.selectFrom('worker').select(['id', 'name', 'passphrase_hash']).execute()
  for (const { id, name, passphrase_hash } of workers) {
    if (await isPassphrase(passphrase, passphrase_hash)) return { id, name }
  }
  return undefined
}

/** Begins a session and answers its token, which is kept nowhere but in the browser's cookie. */
export async function beginSession(db: Db, workerId: number, at: string): Promise<string> {
  const token = randomBytes(32).toString('base64url')
  await db
    .insertInto('session')
    .values({
      token_hash: hashToken(token),
      worker_id: workerId,
      made_at: at,
      seen_at: at,
      ends_at: later(at, LONGEST_DAYS),
    })
    .execute()
  await db.deleteFrom('session').where('ends_at', '<', at).execute()
  return token
}

const liveSession = ready((db, hash: string, at: string, seenAfter: string) =>
  db
    .selectFrom('session')
    .innerJoin('worker', 'worker.id', 'session.worker_id')
    .select(['worker.id', 'worker.name', 'session.seen_at'])
    .where('token_hash', '=', hash)
    .where('ends_at', '>', at)
    .where('seen_at', '>', seenAfter),
)

/** Who a token belongs to, while it is neither idle too long nor too old. Notes the visit at most once an hour. */
export async function workerOfSession(db: Db, token: string, at: string): Promise<Worker | undefined> {
  const hash = hashToken(token)
  const [row] = await liveSession(db, hash, at, later(at, -IDLE_DAYS))
  if (!row) return undefined
  if (Date.parse(at) - Date.parse(row.seen_at) > 3_600_000) {
    await db.updateTable('session').set({ seen_at: at }).where('token_hash', '=', hash).execute()
  }
  return { id: row.id, name: row.name }
}

/** Whether a token still lets in, without counting as a visit: an open page alone keeps nobody signed in. */
export const isLive = async (db: Db, token: string, at: string): Promise<boolean> =>
  (await liveSession(db, hashToken(token), at, later(at, -IDLE_DAYS))).length > 0

export async function endSession(db: Db, token: string): Promise<void> {
  await db.deleteFrom('session').where('token_hash', '=', hashToken(token)).execute()
}

export async function endAllSessions(db: Db, workerId: number): Promise<void> {
  await db.deleteFrom('session').where('worker_id', '=', workerId).execute()
}

export async function changePassphrase(db: Db, workerId: number, passphraseHash: string): Promise<void> {
  await db.updateTable('worker').set({ passphrase_hash: passphraseHash }).where('id', '=', workerId).execute()
  await endAllSessions(db, workerId)
}
