import { expect, test } from 'vitest'
import { compiledById } from '../../src/store/compiled.js'
import { inOneStep, openDb } from '../../src/store/db.js'

test('a query that is compiled once answers for each number, database and transaction by itself', async () => {
  let built = 0
  const workerOf = compiledById((db, id) => {
    built += 1
    return db.selectFrom('worker').select('name').where('id', '=', id).where('name', '<>', 'Nobody')
  })
  const [one, other] = [openDb(':memory:'), openDb(':memory:')]
  const add = (to: typeof one, name: string) =>
    to.db.insertInto('worker').values({ name, passphrase_hash: '', made_at: '' }).execute()
  await add(one, 'Wren')
  await add(one, 'Teal')
  await add(other, 'Rook')

  expect(await workerOf(one.db, 1)).toEqual([{ name: 'Wren' }])
  expect(await workerOf(one.db, 2)).toEqual([{ name: 'Teal' }])
  expect(await workerOf(other.db, 1)).toEqual([{ name: 'Rook' }])
  expect(await workerOf(other.db, 2)).toEqual([])
  const inside = await inOneStep(other.db, async trx => {
    await trx.insertInto('worker').values({ name: 'Nobody', passphrase_hash: '', made_at: '' }).execute()
    await trx.insertInto('worker').values({ name: 'Swift', passphrase_hash: '', made_at: '' }).execute()
    return [await workerOf(trx, 2), await workerOf(trx, 3)]
  })
  expect(inside).toEqual([[], [{ name: 'Swift' }]])
  expect(built).toBe(1)
})
