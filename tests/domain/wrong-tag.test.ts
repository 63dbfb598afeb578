/** Whoever holds the wrong bundle is told what is in hand, and nothing about whose the other one is. */
import { expect, test } from 'vitest'
import { Refusal } from '../../src/domain/refusal.js'
import { type Expected, WrongTag } from '../../src/domain/wrong-tag.js'

test.each<[Expected, string]>([
  [{ lotId: 7 }, 'to lot 7'],
  [{ commissionId: 3 }, 'to commission 3'],
  [{ commissionId: 3, lotId: 7, loadId: 2 }, 'to lot 7'],
  [{ commissionId: 3, loadId: 2 }, 'to commission 3'],
  [{ loadId: 2 }, 'into this pot'],
  [{}, 'here'],
])('%j', (expected, where) => {
  const wrong = new WrongTag('KX47RT', expected, 'tags')
  expect(wrong.message).toBe(
    `Stop: the bundle with the tag KX4 7RT does not belong ${where}. Put it aside, then look it up by its code. Nothing was changed.`,
  )
  expect(wrong).toBeInstanceOf(Refusal)
  expect(wrong).toMatchObject({ name: 'WrongTag', code: 'conflict', field: 'tags', tagCode: 'KX47RT', expected })
})
