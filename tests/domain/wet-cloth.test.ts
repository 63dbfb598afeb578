import { expect, test } from 'vitest'
import { GRADE_WORDS, GRADES, isBelow, sayWetCloth, whyNotClean } from '../../src/domain/wet-cloth.js'

test('the scale has the nine steps of ISO 105-A03, the best first', () => {
  expect(GRADES).toEqual(['5', '4-5', '4', '3-4', '3', '2-3', '2', '1-2', '1'])
  expect(Object.keys(GRADE_WORDS).sort()).toEqual([...GRADES].sort())
})

test('a half step lies between its neighbours', () => {
  expect(isBelow('3-4', '4')).toBe(true)
  expect(isBelow('3-4', '3')).toBe(false)
  expect(isBelow('4', '4')).toBe(false)
  for (const [at, grade] of GRADES.entries())
    for (const [other, least] of GRADES.entries()) expect(isBelow(grade, least)).toBe(at > other)
})

const cloth = (grade: (typeof GRADES)[number] | null, why = '', words = '') => ({ grade, why, words })

test.each([
  [cloth('5'), 'stain grade 5 of 5 (the cloth stays white)'],
  [
    cloth('3', 'for a lining', 'at the fine end'),
    'stain grade 3 of 5 (a light stain); given out all the same: for a lining; at the fine end',
  ],
  [cloth(null, 'too brittle to rub'), 'not tried: too brittle to rub'],
])('%j reads %s', (tried, words) => {
  expect(sayWetCloth(tried)).toBe(words)
})

test('a lot for a class or for wet use waits for its cloth, or for a reason', () => {
  expect(whyNotClean(4, ['class use'], undefined, '4')).toContain('rub it with a wet white cloth')
  expect(whyNotClean(4, ['wet use'], cloth('3-4'), '4')).toContain('grade 3-4, below 4')
  expect(whyNotClean(4, ['wet use'], cloth('3-4', 'only for a trial'), '4')).toBeNull()
  expect(whyNotClean(4, ['wet use'], cloth(null, 'too brittle'), '4')).toBeNull()
  expect(whyNotClean(4, ['class use', 'wet use'], cloth('4'), '4')).toBeNull()
  expect(whyNotClean(4, [], undefined, '5')).toBeNull()
})
