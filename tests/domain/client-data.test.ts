import { expect, test } from 'vitest'
import { toCsv, yearsBefore } from '../../src/domain/client-data.js'

test('is written as RFC 4180 has it: names first, CRLF, quotes doubled', () => {
  expect(
    toCsv([
      { id: 1, words: 'said "no", then\nyes' },
      { id: 2, words: null },
    ]),
  ).toBe('id,words\r\n1,"said ""no"", then\nyes"\r\n2,\r\n')
  expect(toCsv([])).toBe('')
})

test('so many years before is the same day, or the next where there is none', () => {
  expect(yearsBefore('2026-03-02T09:00:00.000Z', 7)).toBe('2019-03-02T09:00:00.000Z')
  expect(yearsBefore('2024-02-29T00:00:00.000Z', 1)).toBe('2023-03-01T00:00:00.000Z')
})

test('a spreadsheet runs nothing that a client wrote (OWASP, CSV injection)', () => {
  for (const typed of ['=1+1', '+1', '-1', '@SUM(A1)', '\t=1']) expect(toCsv([{ typed }])).toContain(`'${typed}`)
  expect(toCsv([{ change: -1.5 }])).toBe('change\r\n-1.5\r\n')
})
