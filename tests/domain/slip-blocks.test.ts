/** What a return slip says, block by block: the words that the owner of the fibre reads and signs. */
import { describe, expect, test } from 'vitest'
import { slipBlocks, slipRunning } from '../../src/domain/slip-blocks.js'
import type { ReturnSlip } from '../../src/domain/slip-facts.js'
import { blocks, factsOf, headings, lot, slip } from './slip-kit.js'

test('an everyday slip from top to bottom', () => {
  // Half past eleven at night in UTC on 2 April is the next day in London, where summer time has begun.
  expect(blocks()).toEqual([
    { is: 'head', title: 'Return slip 12', workshop: 'The shed' },
    {
      is: 'facts',
      rows: [
        { name: 'For', words: 'Berta Invented' },
        { name: 'Commission', words: '7: a class in May' },
        { name: 'Came in', words: 'Sun 1 Mar 2026' },
        { name: 'Needed by', words: 'Fri 10 Apr 2026' },
        { name: 'Handed back', words: 'Fri 3 Apr 2026' },
      ],
    },
    {
      is: 'table',
      caption: 'What came, and what goes back',
      head: ['', 'Bundles in', 'back', 'Ties in', 'back', 'Weight in, dry', 'back'],
      rows: [{ cells: ['Lot 4', '2', '2', '6', '6', '300 g', 'not weighed'], drawn: null }],
      strong: true,
    },
    { is: 'words', words: 'Every bundle on this slip goes back as it came, tie for tie.' },
    { is: 'heading', words: 'Lot 4: lime bast' },
    { is: 'colour', swatch: '#a33322', words: 'brick red', beside: '' },
    {
      is: 'facts',
      rows: [
        { name: 'How dyed', words: 'madder on alum (plant or insect dye on a mordant)' },
        { name: 'Treated with', words: 'madder; potassium alum' },
        { name: 'Last rinse', words: 'ran clear' },
        { name: 'Ties', words: 'kept undyed' },
      ],
    },
    {
      is: 'table',
      caption: '',
      head: ['Lot 4, bundle', 'Ties in', 'back', 'Weight in', 'back', 'Goes back'],
      rows: [1, 2].map(n => ({
        cells: [`${n}`, '3', '3', '150 g', 'not weighed', 'as it came'],
        drawn: { swatch: '#a33322', ties: ['on', 'on', 'on'], tiesUndyed: true, label: `Bundle ${n}` },
      })),
      strong: false,
    },
    { is: 'heading', words: 'How to use it' },
    {
      is: 'list',
      framed: false,
      items: [
        { strong: '', words: 'Soak again in warm water before working; it dries stiff.', quoted: '' },
        {
          strong: '',
          words:
            'The first wetting may bleed a little: soak it by itself, away from pale fibre, and change that water.',
          quoted: '',
        },
      ],
    },
    {
      is: 'signatures',
      above: '',
      places: [
        { words: 'Handed back: Ada', signature: '' },
        { words: 'Received: Berta Invented', signature: '' },
      ],
    },
  ])
})

describe('at the top', () => {
  test('the mark of a client stands behind the name', () =>
    expect(factsOf(blocks({ clientMark: 'BI' }), 0)[0]).toEqual(['For', 'Berta Invented (BI)']))

  test('an erased name is nowhere on it', () => {
    const erased = blocks({ isErased: true, clientMark: 'BI', toWhom: 'Berta Invented' })
    expect(factsOf(erased, 0)[0]).toEqual(['For', 'the name was erased'])
    expect(JSON.stringify(erased)).not.toContain('Berta')
  })

  test('the carrier, and by what right somebody else receives it', () => {
    expect(factsOf(blocks({ how: 'by carrier', reference: 'parcel 17', authority: 'her sister' }), 0).slice(5)).toEqual(
      [
        ['Goes by', 'parcel 17'],
        ['By what right', 'her sister'],
      ],
    )
  })
})

describe('further down', () => {
  test('wishes and words have a heading of their own', () => {
    const all = blocks({ wishes: 'away from cats', words: 'thank you' })
    const at = all.findIndex(block => block.is === 'heading' && block.words === 'Wishes that were agreed')
    expect(all.slice(at, at + 4)).toEqual([
      { is: 'heading', words: 'Wishes that were agreed' },
      { is: 'words', words: 'away from cats' },
      { is: 'heading', words: 'A word with it' },
      { is: 'words', words: 'thank you' },
    ])
    expect(headings(blocks())).toEqual(['Lot 4: lime bast', 'How to use it'])
  })

  test('the own page of a client, before the signatures', () => {
    const all = slipBlocks(slip(), 'https://shed.example/c/abc')
    expect(all.slice(-2)).toEqual([
      { is: 'address', words: 'Where your bundles are, at any time:', address: 'https://shed.example/c/abc' },
      expect.objectContaining({ is: 'signatures' }),
    ])
  })

  test('the words of the workshop stand at the foot', () =>
    expect(blocks({ slipWords: 'Dry flat.' }).at(-1)).toEqual({ is: 'words', words: 'Dry flat.' }))
})

describe('the signatures', () => {
  const places = (more: Partial<ReturnSlip>) =>
    blocks(more).flatMap(block => (block.is === 'signatures' ? block.places : []))
  test('on the screen', () =>
    expect(places({ acknowledged: 'on the screen', signature: 'M1 1L2 2L3 3L4 4' })).toEqual([
      { words: 'Handed back: Ada', signature: '' },
      { words: 'Received: Berta Invented, signed on the screen', signature: 'M1 1L2 2L3 3L4 4' },
    ]))
  test('not signed, and why', () =>
    expect(places({ acknowledged: 'not signed', notSignedBecause: 'wet hands' })).toEqual([
      { words: 'Handed back: Ada. Received: Berta Invented. Not signed, because: wet hands', signature: '' },
    ]))
  test('of somebody whose name was erased', () =>
    expect(places({ isErased: true })[1]).toEqual({ words: 'Received: the name was erased', signature: '' }))
})

test('what was said later stands below, in the order of time, with its day and who said it', () => {
  const all = blocks({
    notes: [
      { at: '2026-04-20T09:00:00.000Z', who: 'Ada', words: 'one more tie came by post' },
      { at: '2026-04-05T09:00:00.000Z', who: 'Ada', words: 'the swatch was sent' },
    ],
    foundAgain: [
      { lotId: 4, n: 2, hadGone: false, at: '2026-04-07T09:00:00.000Z', who: 'Bo', words: 'behind the tub' },
    ],
  })
  expect(all.slice(-2)).toEqual([
    { is: 'heading', words: 'Added after the hand-back' },
    {
      is: 'list',
      framed: false,
      items: [
        { strong: 'Sun 5 Apr 2026, Ada', words: ': ', quoted: 'the swatch was sent' },
        { strong: 'Tue 7 Apr 2026, Bo', words: ': ', quoted: 'Lot 4, bundle 2 was found again: behind the tub' },
        { strong: 'Mon 20 Apr 2026, Ada', words: ': ', quoted: 'one more tie came by post' },
      ],
    },
  ])
})

describe('at the top of every further sheet', () => {
  test.each<[Partial<ReturnSlip>, string[]]>([
    [{}, ['Return slip 12', 'Lot 4', 'Berta Invented']],
    [{ clientMark: 'BI', lots: [lot(), lot({ id: 5 })] }, ['Return slip 12', 'Lots 4, 5', 'BI']],
    [{ clientMark: 'BI', isErased: true }, ['Return slip 12', 'Lot 4', '']],
  ])('%#', (more, words) => expect(slipRunning(slip(more))).toEqual(words))
})
