import fc from 'fast-check'
import { expect, test } from 'vitest'
import { isToFetch, readToken, TOKEN_LENGTH, tokenFrom, whereForClients } from '../../src/domain/client-page.js'
import { PLACES } from '../../src/domain/place.js'

test('says where bundles are in the order in which they pass through', () => {
  expect(whereForClients(['ready shelf', 'drying line', 'drying line', 'handed back'])).toBe(
    '2 drying, 1 ready to fetch, 1 with you',
  )
  expect(whereForClients([])).toBe('')
})

test('every place has words, and none says how the shed calls it', () => {
  for (const place of PLACES) expect(whereForClients([place])).toMatch(/^1 [a-z]/)
})

test('something is to fetch as soon as one bundle is ready', () => {
  expect(isToFetch(['pot', 'ready shelf'])).toBe(true)
  expect(isToFetch(['pot', 'handed back'])).toBe(false)
})

test('the alphabet is that of base 32 (RFC 4648, table 3)', () => {
  expect(tokenFrom(Uint8Array.from({ length: 26 }, (_, n) => n))).toBe('ABCDEFGHIJKLMNOPQRSTUVWXYZ')
  expect(tokenFrom(Uint8Array.from({ length: 26 }, (_, n) => n + 26)).slice(0, 6)).toBe('234567')
})

test('every token is read back, in any case', () => {
  fc.assert(
    fc.property(fc.uint8Array({ minLength: TOKEN_LENGTH, maxLength: TOKEN_LENGTH }), bytes => {
      const token = tokenFrom(bytes)
      expect(readToken(token)).toBe(token)
      expect(readToken(token.toLowerCase())).toBe(token)
    }),
    { numRuns: 100 },
  )
})

test.each(['', 'A', 'A'.repeat(27), `${'A'.repeat(25)}1`, `${'A'.repeat(25)}%`])('%j is none', typed => {
  expect(readToken(typed)).toBe('')
})
