import { expect, test } from 'vitest'
import { openDb } from '../../src/store/db.js'
import { ready } from '../../src/store/ready.js'
import { addWorker } from '../../src/store/sign-in.js'

const named = ready((db, name: string, after: number) =>
  db
    .selectFrom('worker')
    .select(['id', 'name'])
    .where('id', '>', after)
    .where('name', '=', name)
    .where('made_at', '=', 'then'),
)

test('a ready query answers for the values of each asking, whatever their order in the SQL', async () => {
  const { db, close } = openDb(':memory:')
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
