import { expect, test } from 'vitest'
import { inOneStep } from '../../src/store/db.js'
import { ready } from '../../src/store/ready.js'
import { addWorker } from '../../src/store/sign-in.js'
import { openMemory } from '../memory.js'

const named = ready((db, name: string, after: number) =>
  db
    .selectFrom('worker')
    .select(['id', 'name'])
    .where('id', '>', after)
    .where('name', '=', name)
    .where('made_at', '=', 'then'),
)

test('a ready query answers for the values of each asking, whatever their order in the SQL', async () => {
  const { db, close } = openMemory()
  for (const name of ['Wren', 'Tern', 'Wren']) await addWorker(db, name, 'x', 'then')
  expect(await named(db, 'Wren', 0)).toEqual([
    { id: 1, name: 'Wren' },
    { id: 3, name: 'Wren' },
  ])
  expect(await named(db, 'Wren', 1)).toEqual([{ id: 3, name: 'Wren' }])
  expect(await named(db, 'Tern', 0)).toEqual([{ id: 2, name: 'Tern' }])
  expect(await named(db, "' or 1=1--", 0)).toEqual([])
  await close()
})

test('what another transaction has not finished is not seen, and inside it the query sees its own work', async () => {
  const { db, close } = openMemory()
  let outside: Promise<unknown[]> | undefined
  const writing = inOneStep(db, async trx => {
    await addWorker(trx, 'Wren', 'x', 'then')
    outside = named(db, 'Wren', 0) // asked while the transaction is open: it waits for the end of it
    expect(await named(trx, 'Wren', 0)).toHaveLength(1)
    throw new Error('changed our mind')
  })
  await expect(writing).rejects.toThrow('changed our mind')
  expect(await outside).toEqual([])
  await close()
})
