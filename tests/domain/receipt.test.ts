import { describe, expect, test } from 'vitest'
import { TYING_UNKNOWN } from '../../src/domain/arrival.js'
import { composeReceipt, type ReceiptFacts, receiptChanges } from '../../src/domain/receipt.js'

const bundle = (n: number) => ({
  n,
  tiesIn: 3,
  dryWeightG: 150,
  thicknessMm: 0.8,
  found: [],
  condition: '',
  howTied: '',
  tying: TYING_UNKNOWN,
})

const facts: ReceiptFacts = {
  workshopName: 'The Weir Shed',
  terms: 'Fibre may wait here for a year.',
  clientName: 'Marta Quill',
  clientMark: 'MQ',
  purpose: 'guild class',
  neededBy: '2026-03-20',
  dayAsked: true,
  promised: [],
  arrangement: 'trade',
  note: '',
  // Half past midnight in Lisbon in summer is still the day before in UTC.
  takenInAt: '2026-07-01T23:30:00.000Z',
  takenInBy: 'Wren',
  broughtBy: '',
  authority: '',
  wishesAnswer: 'told',
  wishes: 'keep it out of the sun',
  wishesSaidBy: '',
  timedWishes: [],
  photographs: 'no',
  sharesBath: 'may',
  offcuts: 'back to the client',
  agreed: { how: 'spoken', agreedOn: '2026-07-02', words: '' },
  cameAlong: [{ words: 'the wrapper' }],
  lots: [
    {
      id: 7,
      fibreName: 'flax',
      colour: 'straw',
      swatch: null,
      dyeName: 'weld',
      routeWords: 'plant dye',
      tiesUndyed: true,
      faults: { faults: 'not asked', words: '' },
      keptApart: '',
      bundles: [bundle(1), bundle(2), { ...bundle(3), tiesIn: 0, found: ['damp'], condition: 'at one end' }],
    },
  ],
}
const metric = {
  units: { weight: 'metric', volume: 'metric' },
  timeZone: 'Europe/Lisbon',
  at: '2026-07-02T09:00:00Z',
} as const
const receipt = composeReceipt(facts, metric)
const wordsOf = (label: string, of = receipt) => of.facts.find(line => line.label === label)?.words

describe('a receipt', () => {
  test('says what, how many, whose, for when, what was agreed and who took it in', () => {
    expect(receipt).toMatchObject({
      sum: '3 bundles, 6 ties, 450 g dry',
      givenBy: 'Marta Quill',
      takenInBy: 'Wren',
      issued: 'Thu 2 Jul 2026',
    })
    expect(receipt.facts.map(({ words }) => words)).toEqual(
      expect.arrayContaining(['Marta Quill (MQ)', 'guild class', 'none are taken', '“keep it out of the sun”']),
    )
    expect(wordsOf('Agreed')).toMatch(/^by word of mouth, .*2 Jul/)
    expect(receipt.cameAlong).toEqual(['the wrapper'])
  })

  test('says the days on which it is to be left alone, when there are any, and names them when they change', () => {
    expect(wordsOf('Days to leave it alone')).toBeUndefined()
    const timedWishes = ['Nothing on Sundays.', 'Nothing from 20 Dec to 6 Jan each year: the house is closed.']
    const bound = composeReceipt({ ...facts, timedWishes }, metric)
    const words = 'Nothing on Sundays; Nothing from 20 Dec to 6 Jan each year: the house is closed'
    expect(wordsOf('Days to leave it alone', bound)).toBe(words)
    expect(receiptChanges(receipt, bound)).toEqual([`days to leave it alone: ${words} (was: nothing)`])
  })

  test('tells a day that was asked for from one that the workshop said', () => {
    expect(wordsOf('Needed by')).toBe('Fri 20 Mar 2026')
    expect(wordsOf('Needed by', composeReceipt({ ...facts, dayAsked: false }, metric))).toBe(
      'no day; by Fri 20 Mar 2026 it goes back, or we talk about it again',
    )
  })

  test.each([
    [[{ lotId: 7, day: '2026-03-20' }], undefined],
    [[{ lotId: 7, day: '2026-03-24' }], 'Tue 24 Mar 2026'],
    [[{ lotId: 7, day: null }], 'no day'],
    [
      [
        { lotId: 7, day: '2026-03-20' },
        { lotId: 8, day: '2026-03-24' },
      ],
      'lot 7: Fri 20 Mar 2026; lot 8: Tue 24 Mar 2026',
    ],
  ])('says what was promised where that is another day than it is needed by: %j', (promised, words) => {
    expect(wordsOf('Promised', composeReceipt({ ...facts, promised }, metric))).toBe(words)
  })

  test('goes by the calendar of the workshop', () => {
    expect(wordsOf('Taken in')).toMatch(/2 Jul/)
    expect(wordsOf('Taken in', composeReceipt(facts, { ...metric, timeZone: 'UTC' }))).toMatch(/1 Jul/)
  })

  test('tells alike bundles together, and each in the units of the workshop', () => {
    expect(receipt.lots[0]?.bundles).toEqual([
      { label: 'Bundles 1, 2, each', words: '3 ties; 150 g; 0.8 mm thick; as expected' },
      { label: 'Bundle 3', words: '0 ties; 150 g; 0.8 mm thick; damp; at one end' },
    ])
    const pounds = composeReceipt(facts, { ...metric, units: { weight: 'pounds', volume: 'us' } })
    // 450 g are 15.87 oz: 1 oz = 28.349523125 g exactly (NIST Handbook 44, Appendix C).
    expect(pounds.sum).toMatch(/15⅞ oz|15\.9 oz/)
  })

  test('names who brought it and by what right, and says when nothing is agreed yet', () => {
    const brought = composeReceipt({ ...facts, broughtBy: 'Ode', authority: 'her sister', agreed: null }, metric)
    expect(brought.givenBy).toBe('Ode')
    expect(wordsOf('Brought by', brought)).toBe('Ode: her sister')
    expect(wordsOf('Agreed', brought)).toContain('not yet')
  })

  test.each([
    ['nothing special', 'nothing special'],
    ['rather not say', 'rather not say'],
    ['not asked', 'not asked'],
  ] as const)('tells %s from the other answers', (wishesAnswer, words) => {
    expect(wordsOf('Wishes', composeReceipt({ ...facts, wishesAnswer, wishes: '' }, metric))).toBe(words)
  })
})

test.each([
  ['never', 'never'],
  ['not asked', 'not asked yet, so it has a bath to itself'],
] as const)('%s is said of a bath with others', (sharesBath, words) => {
  expect(wordsOf('One bath with others', composeReceipt({ ...facts, sharesBath }, metric))).toBe(words)
})

describe('a later receipt', () => {
  test('that says the same amends nothing, whenever it is', () => {
    expect(receiptChanges(receipt, composeReceipt(facts, { ...metric, at: '2026-08-01T09:00:00Z' }))).toEqual([])
  })

  test('says each thing that is otherwise, and what it was', () => {
    const [lot] = facts.lots
    const later = composeReceipt(
      {
        ...facts,
        neededBy: '2026-03-22',
        cameAlong: [...facts.cameAlong, { words: 'a note' }],
        lots: lot ? [{ ...lot, colour: 'rust', keptApart: 'mould seen' }] : [],
      },
      metric,
    )
    expect(receiptChanges(receipt, later)).toEqual([
      expect.stringMatching(/^needed by: .*22 Mar.* \(was: .*20 Mar.*\)$/),
      'lot 7, colour: rust (was: straw)',
      'lot 7, kept apart: mould seen (was: nothing)',
      'came along: a note',
    ])
  })
})

describe('a receipt after bundles were put right', () => {
  const receiptWith = (bundles: ReturnType<typeof bundle>[]) => {
    const [lot] = facts.lots
    return composeReceipt({ ...facts, lots: lot ? [{ ...lot, bundles }] : [] }, metric)
  }
  const four = receiptWith([1, 2, 3, 4].map(bundle))

  test('keeps the numbers of those that are left', () => {
    expect(receiptWith([1, 3, 4].map(bundle)).lots[0]?.bundles.map(({ label }) => label)).toEqual([
      'Bundles 1, 3, 4, each',
    ])
  })

  test.each([
    [
      'one that was never there',
      [1, 3, 4].map(bundle),
      [
        'lot 7, bundle 2 was written down by mistake and never there: taken off this receipt',
        'lot 7, in all: 3 bundles, 9 ties, 450 g dry (was: 4 bundles, 12 ties, 600 g dry)',
      ],
    ],
    [
      'two that were overlooked',
      [1, 2, 3, 4, 5, 6].map(bundle),
      [
        'lot 7, bundles 5, 6 were there and had not been written down: 3 ties; 150 g; 0.8 mm thick; as expected',
        'lot 7, in all: 6 bundles, 18 ties, 900 g dry (was: 4 bundles, 12 ties, 600 g dry)',
      ],
    ],
    [
      'one that is otherwise in the same sum',
      [bundle(1), { ...bundle(2), thicknessMm: 1 }, bundle(3), bundle(4)],
      ['lot 7, bundle 2: 3 ties; 150 g; 1 mm thick; as expected (was: 3 ties; 150 g; 0.8 mm thick; as expected)'],
    ],
  ])('%s is told by itself', (_, bundles, sentences) => {
    expect(receiptChanges(four, receiptWith(bundles))).toEqual(sentences)
  })

  test('reads the labels of receipts that were issued before', () => {
    const [lot] = four.lots
    if (lot === undefined) throw new Error('no lot')
    const words = lot.bundles[0]?.words ?? ''
    const older = { ...four, lots: [{ ...lot, bundles: [{ label: 'Bundles 1 to 4, each', words }] }] }
    expect(receiptChanges(older, four)).toEqual([])
  })
})

describe('the words of a receipt on its edges', () => {
  const line = (label: string, more: Partial<ReceiptFacts>) =>
    wordsOf(label, composeReceipt({ ...facts, ...more }, metric))
  const [lot] = facts.lots
  if (lot === undefined) throw new Error('no lot')
  const lotWith = (more: Partial<typeof lot>) =>
    composeReceipt({ ...facts, lots: [{ ...lot, ...more }] }, metric).lots[0]

  test('every line of an everyday one, in its order', () => {
    expect(receipt.facts).toEqual([
      { label: 'Belongs to', words: 'Marta Quill (MQ)' },
      // Half past midnight on the wall in Lisbon, where summer time has begun.
      { label: 'Taken in', words: 'Thu 2 Jul 2026' },
      { label: 'For', words: 'guild class' },
      { label: 'Needed by', words: 'Fri 20 Mar 2026' },
      { label: 'Settlement', words: 'trade' },
      { label: 'Agreed', words: 'by word of mouth, Thu 2 Jul 2026' },
      { label: 'Wishes', words: '“keep it out of the sun”' },
      { label: 'Photographs', words: 'none are taken' },
      { label: 'One bath with others', words: 'may share one, when each can be told apart' },
      { label: 'Offcuts and lost ties', words: 'back to the client' },
    ])
    expect(receipt.amends).toEqual([])
  })

  test('one bundle with one tie', () => {
    const one = lotWith({ bundles: [{ ...bundle(1), tiesIn: 1, thicknessMm: null }] })
    expect(one?.sum).toBe('1 bundle, 1 tie, 150 g dry')
    expect(one?.bundles).toHaveLength(1)
    expect(one?.bundles[0]?.label).toBe('Bundle 1')
    expect(one?.bundles[0]?.words).toMatch(/^1 tie; 150 g; /)
    expect(one?.bundles[0]?.words).not.toMatch(/thick|; ;/)
  })

  test('a lot: its title and its lines', () => {
    expect(lotWith({})).toMatchObject({
      title: 'Lot 7: flax',
      lines: [
        { label: 'Colour', words: 'straw' },
        { label: 'Dye', words: 'weld (plant dye)' },
        { label: 'Ties', words: 'stay undyed' },
        { label: 'Faults told', words: 'not asked' },
      ],
    })
    const other = lotWith({
      tiesUndyed: false,
      keptApart: 'from lot 8',
      faults: { faults: 'told', words: 'one is frayed' },
    })
    expect(other?.lines.slice(2)).toEqual([
      { label: 'Ties', words: 'may be dyed along' },
      { label: 'Faults told', words: 'one is frayed' },
      { label: 'Kept apart', words: 'from lot 8' },
    ])
  })

  test('who it belongs to, who brought it, and by what right', () => {
    expect(line('Belongs to', { clientMark: '' })).toBe('Marta Quill')
    expect(line('Brought by', { broughtBy: 'Jo Fell', authority: 'her neighbour' })).toBe('Jo Fell: her neighbour')
    expect(composeReceipt({ ...facts, broughtBy: 'Jo Fell' }, metric).givenBy).toBe('Jo Fell')
  })

  test('notes, agreements and wishes that have words', () => {
    expect(line('Note', { note: 'rings the bell twice' })).toBe('rings the bell twice')
    expect(line('Agreed', { agreed: { how: 'message', agreedOn: '2026-07-03', words: 'on a postcard' } })).toBe(
      'by message, Fri 3 Jul 2026: on a postcard',
    )
    expect(line('Agreed', { agreed: { how: 'signed', agreedOn: '2026-07-03', words: '' } })).toBe(
      'signed, Fri 3 Jul 2026',
    )
    expect(line('Agreed', { agreed: null })).toBe('not yet: no work begins before')
    expect(line('Wishes', { wishesSaidBy: 'her son' })).toBe('“keep it out of the sun” (said by her son)')
  })

  test('each lot of a later one is held against itself, and a new lot against none', () => {
    const second = { ...lot, id: 8, colour: 'grey' }
    const before = composeReceipt({ ...facts, lots: [lot, second] }, metric)
    const after = composeReceipt({ ...facts, lots: [lot, { ...second, colour: 'slate' }, { ...lot, id: 9 }] }, metric)
    expect(receiptChanges(before, after)).toEqual(['lot 8, colour: slate (was: grey)'])
  })
})
