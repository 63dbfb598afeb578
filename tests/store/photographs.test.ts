import { mkdirSync, readdirSync, readFileSync, rmSync, writeFileSync } from 'node:fs'
import { join } from 'node:path'
import { beforeEach, describe, expect, test } from 'vitest'
import { backUp, DATABASE_NAME, restore } from '../../src/store/backup.js'
import { photographsBeside } from '../../src/store/backup-photographs.js'
import { inOneStep, openDb } from '../../src/store/db.js'
import { checkPhotographs, sayPhotographTrouble, sweepOrphans } from '../../src/store/photograph-care.js'
import { enterIncoming, leaveIncoming, pathOf } from '../../src/store/photograph-folder.js'
import {
  keepPhotographs,
  photographsOfLot,
  withdrawAllOfClient,
  withdrawPhotograph,
} from '../../src/store/photographs.js'
import { makeAnew } from '../../src/store/picture.js'
import { START } from '../helper.js'
import { ownFolder, photographSite } from '../photographs-helper.js'
import { drawn } from '../picture-files.js'

const by = { workerId: 1, at: START }

/** A data folder with a database on the disk and photographs of one lot beside it. */
async function workshop(count = 3) {
  const site = await photographSite()
  const dataFolder = site.dataFolder
  writeFileSync(join(dataFolder, DATABASE_NAME), site.raw.serialize())
  await site.app.close()
  site.raw.close()
  const { db, raw, close } = openDb(join(dataFolder, DATABASE_NAME))
  const folder = join(dataFolder, 'photographs')
  const keep = async (n: number) => {
    const own = enterIncoming(folder)
    writeFileSync(
      join(own, 'sent'),
      await drawn(64 + n, 48)
        .png()
        .toBuffer(),
    )
    const picture = await makeAnew(join(own, 'sent'), join(own, 'made.jpg'))
    const shown = { lotId: site.lotId, bundleId: null, moment: 'as it came', words: 'as told' } as const
    await inOneStep(db, trx => keepPhotographs(trx, by, shown, [picture], folder))
    leaveIncoming(own)
    return picture.hash
  }
  const hashes: string[] = []
  for (let n = 0; n < count; n += 1) hashes.push(await keep(n))
  return { db, raw, close, dataFolder, folder, lotId: site.lotId, hashes, keep, out: ownFolder() }
}

let shop: Awaited<ReturnType<typeof workshop>>
beforeEach(async () => {
  shop = await workshop()
})

const inFolder = (folder: string) =>
  readdirSync(folder)
    .filter(name => name !== 'incoming')
    .sort()
const files = (hashes: readonly string[]) => hashes.map(hash => `${hash}.jpg`).sort()

describe('the pictures and their rows', () => {
  test('in order there is nothing to say', async () => {
    const trouble = await checkPhotographs(shop.db, shop.folder)
    expect(trouble).toEqual({ missing: [], changed: [], orphans: [] })
    expect(sayPhotographTrouble(trouble)).toEqual([])
  })

  test('what is missing, changed or left over is named, with its lot', async () => {
    const [gone = '', other = ''] = shop.hashes
    rmSync(pathOf(shop.folder, gone))
    const bytes = readFileSync(pathOf(shop.folder, other))
    bytes[bytes.length - 3] = (bytes[bytes.length - 3] ?? 0) ^ 1
    writeFileSync(pathOf(shop.folder, other), bytes)
    writeFileSync(pathOf(shop.folder, 'f'.repeat(64)), 'x')
    writeFileSync(join(shop.folder, 'holiday.png'), 'x')
    const trouble = await checkPhotographs(shop.db, shop.folder)
    expect(trouble).toEqual({
      missing: [{ hash: gone, lotIds: [shop.lotId] }],
      changed: [{ hash: other, lotIds: [shop.lotId] }],
      orphans: ['holiday.png', `${'f'.repeat(64)}.jpg`],
    })
    expect(sayPhotographTrouble(trouble)).toEqual([
      `The photograph ${gone.slice(0, 12)} of lot ${shop.lotId} is missing.`,
      `The photograph ${other.slice(0, 12)} of lot ${shop.lotId} was changed from outside.`,
      'The file photographs/holiday.png belongs to no photograph.',
      `The file photographs/${'f'.repeat(64)}.jpg belongs to no photograph.`,
    ])
  })

  test('at start what a stopped program left is swept, and nothing that a row needs', async () => {
    const orphan = 'e'.repeat(64)
    writeFileSync(pathOf(shop.folder, orphan), 'a picture whose row was never committed')
    mkdirSync(join(shop.folder, 'incoming', 'half-done'), { recursive: true })
    writeFileSync(join(shop.folder, 'incoming', 'half-done', '0.sent'), 'half a file')
    expect(await sweepOrphans(shop.db, shop.folder)).toBe(1)
    expect(readdirSync(shop.folder).sort()).toEqual(files(shop.hashes))
    expect(await sweepOrphans(shop.db, ownFolder())).toBe(0)
  })

  test('a row that is not committed leaves a file that is swept, never a row without a file', async () => {
    const own = enterIncoming(shop.folder)
    writeFileSync(join(own, 'sent'), await drawn(99, 48).png().toBuffer())
    const picture = await makeAnew(join(own, 'sent'), join(own, 'made.jpg'))
    const shown = { lotId: shop.lotId, bundleId: null, moment: 'at the pot', words: '' } as const
    const failing = inOneStep(shop.db, async trx => {
      await keepPhotographs(trx, by, shown, [picture], shop.folder)
      throw new Error('the power went')
    })
    await expect(failing).rejects.toThrow('the power went')
    expect(await photographsOfLot(shop.db, shop.lotId)).toHaveLength(3)
    expect((await checkPhotographs(shop.db, shop.folder)).orphans).toEqual([`${picture.hash}.jpg`])
    expect(await sweepOrphans(shop.db, shop.folder)).toBe(1)
  })

  test('when a client is erased, all of theirs are withdrawn and their words are gone', async () => {
    await inOneStep(shop.db, trx => withdrawPhotograph(trx, by, 1, 'Marta asked for it'))
    const clientId = Number(
      shop.raw
        .prepare('select client_id from commission join lot on lot.commission_id = commission.id where lot.id = ?')
        .pluck()
        .get(shop.lotId),
    )
    const hashes = await inOneStep(shop.db, trx => withdrawAllOfClient(trx, by, clientId))
    expect(hashes.sort()).toEqual(shop.hashes.slice(1).sort())
    const rows = await photographsOfLot(shop.db, shop.lotId)
    expect(rows.map(({ words, withdrawnWhy }) => [words, withdrawnWhy])).toEqual(
      rows.map(() => ['', 'the client was erased']),
    )
  })
})

describe('a backup', () => {
  const beside = () => photographsBeside(join(shop.out, 'b.sqlite'))
  const made = () => backUp(shop.dataFolder, join(shop.out, 'b.sqlite'), START)

  test('carries the photographs that its records need, and no others', async () => {
    await inOneStep(shop.db, trx => withdrawPhotograph(trx, by, 2, 'blurred'))
    writeFileSync(pathOf(shop.folder, 'f'.repeat(64)), 'an orphan')
    expect(made().photographs).toEqual({ count: 2, broken: [] })
    expect(inFolder(beside())).toEqual(files(shop.hashes.filter((_, n) => n !== 1)))
    expect(() => made()).toThrow(/exists already/)
    await shop.close()
    const empty = ownFolder()
    const { photographs } = restore(empty, join(shop.out, 'b.sqlite'), START)
    expect(photographs).toBe(2)
    const again = openDb(join(empty, DATABASE_NAME))
    expect(await checkPhotographs(again.db, join(empty, 'photographs'))).toEqual({
      missing: [],
      changed: [],
      orphans: [],
    })
    await again.close()
  })

  test('whose photographs are lost or damaged is refused by name, and its records can be had alone', async () => {
    made()
    await shop.close()
    const [first = ''] = shop.hashes
    writeFileSync(pathOf(beside(), first), 'damaged')
    const empty = ownFolder()
    expect(() => restore(empty, join(shop.out, 'b.sqlite'), START)).toThrow(first.slice(0, 12))
    rmSync(beside(), { recursive: true })
    expect(() => restore(empty, join(shop.out, 'b.sqlite'), START)).toThrow(/--without-photographs/)
    expect(readdirSync(empty)).toEqual([])
    expect(restore(empty, join(shop.out, 'b.sqlite'), START, false).photographs).toBe(0)
    const again = openDb(join(empty, DATABASE_NAME))
    expect((await checkPhotographs(again.db, join(empty, 'photographs'))).missing).toHaveLength(3)
    await again.close()
  })

  test('of records whose picture is lost already is made all the same, says so, and restores', async () => {
    const [first = ''] = shop.hashes
    rmSync(pathOf(shop.folder, first))
    expect(made().photographs).toEqual({ count: 2, broken: [first] })
    await shop.close()
    expect(restore(ownFolder(), join(shop.out, 'b.sqlite'), START).photographs).toBe(2)
  })

  test('restored over newer records keeps those and their photographs beside it', async () => {
    made()
    const newer = await shop.keep(50)
    await shop.close()
    const { keptAs } = restore(shop.dataFolder, join(shop.out, 'b.sqlite'), START)
    expect(inFolder(photographsBeside(keptAs ?? ''))).toEqual(files([...shop.hashes, newer]))
    const again = openDb(join(shop.dataFolder, DATABASE_NAME))
    expect(await sweepOrphans(again.db, shop.folder)).toBe(1)
    expect(readdirSync(shop.folder).sort()).toEqual(files(shop.hashes))
    await again.close()
    expect(inFolder(photographsBeside(keptAs ?? ''))).toContain(`${newer}.jpg`)
  })

  test('that fails leaves nothing behind', () => {
    const file = join(shop.out, 'no', 'such', 'b.sqlite')
    expect(() => backUp(shop.dataFolder, file, START)).toThrow(/no folder/)
    expect(readdirSync(shop.out)).toEqual([])
  })
})
