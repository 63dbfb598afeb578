/** A workshop on a folder of its own, with a lot that may be photographed, and forms that bring files. */
import { mkdtempSync, readdirSync, rmSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import supertest from 'supertest'
import { afterAll } from 'vitest'
import { buildApp } from '../src/app.js'
import type { Photographs } from '../src/domain/client.js'
import { beginSession } from '../src/store/sign-in.js'
import type { Config } from '../src/web/kit/config.js'
import { anotherShed } from './custody/shed.js'
import { browserOf, config, newKey, START } from './helper.js'
import { takeInLot } from './pots-kit.js'

const folders: string[] = []
afterAll(() => {
  for (const folder of folders) rmSync(folder, { recursive: true, force: true })
})
export function ownFolder(): string {
  const folder = mkdtempSync(join(tmpdir(), 'tie-photographs-'))
  folders.push(folder)
  return folder
}

export type Sent = { name: string; bytes: Buffer; type?: string }

export async function photographSite(said: Photographs = 'yes', but: Partial<Config> = {}) {
  const { raw, db } = await anotherShed()
  const dataFolder = ownFolder()
  const app = buildApp({ db, config: { ...config(), dataFolder, ...but }, now: () => new Date(START) })
  await app.ready()
  const by = { workerId: 1, at: START }
  const lotId = await takeInLot(db, by)
  raw.prepare('update client set photographs = ?').run(said)
  const cookie = `tie=${await beginSession(db, 1, START)}`
  const page = `/lots/${lotId}/photographs`

  /** Sends a form with these files, as a browser does. */
  const send = (files: readonly Sent[], fields: Record<string, string> = {}, to = page) => {
    const request = supertest(app.server).post(to).set({ cookie, accept: 'text/html', 'sec-fetch-site': 'same-origin' })
    const all = { key: newKey(), bundleId: '0', moment: 'as it came', words: '', ...fields }
    for (const [name, value] of Object.entries(all)) request.field(name, value)
    for (const { name, bytes, type } of files)
      request.attach('chosen', bytes, { filename: name, contentType: type ?? 'image/jpeg' })
    return request
  }
  /** Every file that lies under the photographs, and every folder that is in use. */
  const onDisk = (): string[] => {
    try {
      return readdirSync(join(dataFolder, 'photographs'), { recursive: true })
        .map(String)
        .filter(name => name !== 'incoming')
        .sort()
    } catch {
      return []
    }
  }
  const rows = () => raw.prepare('select * from photograph order by id').all() as Record<string, unknown>[]
  return {
    app,
    db,
    raw,
    by,
    lotId,
    page,
    cookie,
    dataFolder,
    folder: join(dataFolder, 'photographs'),
    send,
    onDisk,
    rows,
    browser: browserOf(app, cookie),
  }
}
