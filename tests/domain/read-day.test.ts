import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import { addDays, type DayOptions, isDay, readDay, sayDay, weekdayOf } from '../../src/domain/day.js'

const TODAY = '2026-12-02' // a Wednesday

const day = (typed: string, options?: DayOptions, today = TODAY): string => {
  const result = readDay(typed, today, options)
  if (!result.ok) throw new Error(result.sentence)
  return result.value
}
const sentence = (typed: string, options: DayOptions = { label: 'needed-by day' }): string => {
  const result = readDay(typed, TODAY, options)
  if (result.ok) throw new Error(result.value)
  return result.sentence
}

describe('written out', () => {
  test.each([
    '2026-12-05',
    '2026/12/5',
    '2026.12.05.',
    '2026 12 05',
    '5 Dec 2026',
    '5 december 2026',
    '5th of December, 2026',
    'the 5th of Dec. 2026',
    'December 5, 2026',
    'Dec 5th 2026',
    'Sat 5 Dec 2026',
    'Saturday, 5 December 2026',
    '2026 December 5',
    ' 5\u00a0DEC\u00a02026 ',
    '５ Dec ２０２６',
  ])('“%s”', typed => expect(day(typed)).toBe('2026-12-05'))

  test.each([
    ['25/12/2026', '2026-12-25'],
    ['12/25/2026', '2026-12-25'],
    ['25.12.2026', '2026-12-25'],
    ['25-12-2026', '2026-12-25'],
    ['13/1/2027', '2027-01-13'],
    ['5/5/2026', '2026-05-05'],
    ['12/12/2026', '2026-12-12'],
    ['25/12', '2026-12-25'],
    ['12/25', '2026-12-25'],
    ['29 Feb 2028', '2028-02-29'],
    ['1st sept 2026', '2026-09-01'],
    ['2nd June 2026', '2026-06-02'],
    ['3rd May 2026', '2026-05-03'],
  ])('“%s”', (typed, expected) => expect(day(typed)).toBe(expected))

  test.each(['Jan', 'Feb', 'March', 'Apr', 'May', 'June', 'July', 'Aug', 'September', 'Oct', 'Nov', 'Dec'])(
    'month “%s”',
    month => {
      const at = ['Jan', 'Feb', 'Mar', 'Apr', 'May', 'Jun', 'Jul', 'Aug', 'Sep', 'Oct', 'Nov', 'Dec'].indexOf(
        month.slice(0, 3),
      )
      expect(day(`7 ${month} 2026`)).toBe(`2026-${String(at + 1).padStart(2, '0')}-07`)
    },
  )

  test('a day without its year is the nearest one that still can be, or has been', () => {
    expect([day('2 Dec'), day('5 Dec'), day('1 Dec')]).toEqual(['2026-12-02', '2026-12-05', '2027-12-01'])
    const back: DayOptions = { lean: 'back' }
    expect([day('2 Dec', back), day('5 Dec', back), day('1 Dec', back)]).toEqual([
      '2026-12-02',
      '2025-12-05',
      '2026-12-01',
    ])
    expect(day('29 Feb')).toBe('2028-02-29')
    expect(day('29 Feb', {}, '2096-03-01')).toBe('2104-02-29')
    expect(day('29 Feb', { lean: 'back', earliest: '1800-01-01' }, '1904-02-28')).toBe('1896-02-29')
  })
})

describe('reckoned from Wednesday 2 December 2026', () => {
  test.each([
    ['today', '2026-12-02'],
    ['Tomorrow', '2026-12-03'],
    ['yesterday', '2026-12-01'],
    ['in 3 days', '2026-12-05'],
    ['in 0 days', '2026-12-02'],
    ['in a day', '2026-12-03'],
    ['in one week', '2026-12-09'],
    ['in an week', '2026-12-09'],
    ['in two weeks', '2026-12-16'],
    ['in three days', '2026-12-05'],
    ['in four days', '2026-12-06'],
    ['in five days', '2026-12-07'],
    ['in six days', '2026-12-08'],
    ['in seven days', '2026-12-09'],
    ['in a fortnight', '2026-12-16'],
    ['3 days ago', '2026-11-29'],
    ['a week ago', '2026-11-25'],
    ['Thursday', '2026-12-03'],
    ['thurs', '2026-12-03'],
    ['thu', '2026-12-03'],
    ['fri', '2026-12-04'],
    ['next Monday', '2026-12-07'],
    ['next Wednesday', '2026-12-09'],
    ['on Friday', '2026-12-04'],
    ['this Friday', '2026-12-04'],
    ['last Friday', '2026-11-27'],
    ['sat', '2026-12-05'],
    ['Sunday', '2026-12-06'],
    ['mon', '2026-12-07'],
    ['tues', '2026-12-08'],
    ['Wednesday', '2026-12-09'],
    ['last Wednesday', '2026-11-25'],
    ['last tuesday', '2026-12-01'],
    ['last thursday', '2026-11-26'],
  ])('“%s”', (typed, expected) => expect(day(typed)).toBe(expected))

  test('a weekday of something past lies behind', () => {
    const back: DayOptions = { lean: 'back' }
    expect([day('Friday', back), day('next Tue', back), day('Wed', back)]).toEqual([
      '2026-11-27',
      '2026-12-08',
      '2026-11-25',
    ])
  })
})

test('“next Monday” on a Sunday may be tomorrow, and is asked back as well', () => {
  const result = readDay('next Monday', '2026-12-06')
  expect(result.ok ? result.value : result.sentence).toContain('could be Mon 7 Dec 2026 or Mon 14 Dec 2026')
  expect(day('next Tuesday', {}, '2026-12-06')).toBe('2026-12-08')
})

describe('what is asked back, in this order: missing, impossible, out of range', () => {
  const READ = 'cannot be read as a day. Write the needed-by day like 5 Dec 2026, 2026-12-05 or tomorrow.'
  const TWO =
    'could be two days, month first or day first. Write the month of the needed-by day as a word, like 5 Dec 2026.'
  test.each([
    ['', 'Enter the needed-by day, for example 5 Dec 2026 or tomorrow.'],
    [' \u00a0', 'Enter the needed-by day, for example 5 Dec 2026 or tomorrow.'],
    ['December', '“December” leaves out the day of the month. Write the needed-by day like 5 Dec 2026.'],
    ['Dec 2026', '“Dec 2026” leaves out the day of the month. Write the needed-by day like 5 Dec 2026.'],
    ['5', '“5” leaves out the month. Write the needed-by day like 5 Dec 2026.'],
    ['Sat 5', '“Sat 5” leaves out the month. Write the needed-by day like 5 Dec 2026.'],
    ['5/12/2026', `“5/12/2026” ${TWO}`],
    ['12/1/2026', `“12/1/2026” ${TWO}`],
    ['1.12', `“1.12” ${TWO}`],
    ['31 Feb 2026', 'There is no such day as “31 Feb 2026”. Check the needed-by day.'],
    ['31 April', 'There is no such day as “31 April”. Check the needed-by day.'],
    ['2026-02-29', 'There is no such day as “2026-02-29”. Check the needed-by day.'],
    ['25/13/2026', 'There is no such day as “25/13/2026”. Check the needed-by day.'],
    ['0/5/2026', 'There is no such day as “0/5/2026”. Check the needed-by day.'],
    ['5/0/2026', 'There is no such day as “5/0/2026”. Check the needed-by day.'],
    [
      'Fri 5 Dec 2026',
      '“Fri 5 Dec 2026” does not agree with the calendar: that day is Sat 5 Dec 2026. Check the needed-by day.',
    ],
    ['next Friday', '“next Friday” could be Fri 4 Dec 2026 or Fri 11 Dec 2026. Write the needed-by day with its date.'],
    ['next Blursday', `“next Blursday” ${READ}`],
    ['5 6 Dec', `“5 6 Dec” ${READ}`],
    ['5 Dec 2026 2027', `“5 Dec 2026 2027” ${READ}`],
    ['5 De', `“5 De” ${READ}`],
    ['5/12/26', `“5/12/26” ${READ}`],
    ['in 3 apples', `“in 3 apples” ${READ}`],
    ['in some days', `“in some days” ${READ}`],
    ['3 days', `“3 days” ${READ}`],
    ['in 3 days ago', `“in 3 days ago” ${READ}`],
    ['the', `“the” ${READ}`],
    ['constructor', `“constructor” ${READ}`],
    ['in constructor days', `“in constructor days” ${READ}`],
    ['1e9', `“1e9” ${READ}`],
    ['x'.repeat(101), `“${'x'.repeat(40)}…” ${READ}`],
    ['in 9999 weeks', 'Wed 22 Jul 2218 is too late: the needed-by day must be Tue 31 Dec 2199 or earlier.'],
    ['9999 weeks ago', 'is too early: the needed-by day must be Mon 1 Jan 1900 or later.'],
  ])('“%s”', (typed, expected) => expect(sentence(typed)).toContain(expected))

  test('limits are inclusive', () => {
    const options = { label: 'day', earliest: TODAY, latest: '2026-12-05' }
    expect([day('today', options), day('5 Dec', options)]).toEqual([TODAY, '2026-12-05'])
    expect(sentence('yesterday', options)).toBe('Tue 1 Dec 2026 is too early: the day must be Wed 2 Dec 2026 or later.')
    expect(sentence('6 Dec', options)).toBe('Sun 6 Dec 2026 is too late: the day must be Sat 5 Dec 2026 or earlier.')
    expect(readDay('', TODAY)).toEqual({ ok: false, sentence: 'Enter the day, for example 5 Dec 2026 or tomorrow.' })
  })
})

describe('for any text and day', () => {
  test('a day that exists, or a sentence that names it; never an error', () => {
    const word = fc.constantFrom(
      '5',
      '31',
      'feb',
      'dec',
      '2026',
      '/',
      '-',
      'next',
      'fri',
      'in',
      'days',
      'ago',
      'a',
      'today',
    )
    const text = fc.oneof(
      fc.string({ unit: 'binary', maxLength: 150 }),
      fc.array(word, { maxLength: 6 }).map(w => w.join(' ')),
    )
    fc.assert(
      fc.property(text, typed => {
        const result = readDay(typed, TODAY, { label: 'needed-by day' })
        expect(result.ok ? isDay(result.value) : result.sentence.length > 20).toBe(true)
      }),
      { numRuns: 200 },
    )
  })

  test('what is said can be read again; a weekday lies within seven days', () => {
    fc.assert(
      fc.property(fc.nat({ max: 100_000 }), fc.nat({ max: 100_000 }), (days, todays) => {
        const [some, today] = [addDays('1900-01-01', days), addDays('1900-01-08', todays)]
        expect(day(sayDay(some), {}, today)).toBe(some)
        const name =
          ['sunday', 'monday', 'tuesday', 'wednesday', 'thursday', 'friday', 'saturday'][weekdayOf(some)] ?? ''
        const [ahead, behind] = [day(name, {}, today), day(`last ${name}`, {}, today)]
        expect([weekdayOf(ahead), weekdayOf(behind)]).toEqual([weekdayOf(some), weekdayOf(some)])
        expect(ahead > today && ahead <= addDays(today, 7)).toBe(true)
        expect(behind < today && behind >= addDays(today, -7)).toBe(true)
      }),
      { numRuns: 150 },
    )
  })

  test('ten thousand characters are turned away at once', () => {
    const started = performance.now()
    for (const filling of ['9', '1 ', '1/', 'a ', 'in ', ' ', 'dec'])
      expect(sentence(filling.repeat(10_000))).toMatch(/day/)
    expect(performance.now() - started).toBeLessThan(5000)
  })
})
