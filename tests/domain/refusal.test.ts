import { expect, test } from 'vitest'
import { Refusal } from '../../src/domain/refusal.js'

test('a refusal keeps its code, its field and its sentence', () => {
  const refusal = new Refusal('wrong', 'Give the dry weight of bundle 2, for example 150 g.', 'weight')
  expect(refusal).toBeInstanceOf(Error)
  expect([refusal.code, refusal.field, refusal.message]).toEqual([
    'wrong',
    'weight',
    'Give the dry weight of bundle 2, for example 150 g.',
  ])
})
