import { expect, test } from 'vitest'
import type { Receipt } from '../../src/domain/receipt.js'
import { receiptBlocks, receiptRunning } from '../../src/domain/receipt-blocks.js'

const receipt: Receipt = {
  workshopName: 'The shed',
  terms: 'A year at most.',
  givenBy: 'Berta Invented',
  takenInBy: 'Ada',
  issued: 'Mon 2 Mar 2026',
  sum: '2 bundles, 6 ties, 300 g dry',
  facts: [
    { label: 'Belongs to', words: 'Berta Invented (BI)' },
    { label: 'For', words: 'hats' },
  ],
  lots: [
    {
      id: 4,
      title: 'Lot 4: lime bast',
      swatch: null,
      colour: 'brick red',
      lines: [
        { label: 'Colour', words: 'brick red' },
        { label: 'Ties', words: 'stay undyed' },
      ],
      bundles: [{ label: 'Bundles 1 to 2, each', words: '3 ties; 150 g' }],
      sum: '2 bundles, 6 ties, 300 g dry',
    },
  ],
  cameAlong: ['the blue cloth'],
  amends: [],
}
const issued = (more: Partial<Receipt> = {}) => ({ commissionId: 7, n: 2, receipt: { ...receipt, ...more } })
const item = (words: string) => ({ strong: '', words, quoted: '' })

test('a receipt from top to bottom, its colour said once', () => {
  expect(receiptBlocks(issued(), null)).toEqual([
    { is: 'head', title: 'Receipt 2 of commission 7', workshop: 'The shed' },
    { is: 'words', words: '2 bundles, 6 ties, 300 g dry, issued Mon 2 Mar 2026' },
    {
      is: 'facts',
      rows: [
        { name: 'Belongs to', words: 'Berta Invented (BI)' },
        { name: 'For', words: 'hats' },
      ],
    },
    { is: 'heading', words: 'Came along, and goes back' },
    { is: 'list', framed: false, items: [item('the blue cloth')] },
    { is: 'heading', words: 'Lot 4: lime bast' },
    { is: 'colour', swatch: null, words: 'brick red', beside: '' },
    {
      is: 'facts',
      rows: [
        { name: 'In all', words: '2 bundles, 6 ties, 300 g dry' },
        { name: 'Ties', words: 'stay undyed' },
      ],
    },
    {
      is: 'table',
      caption: '',
      head: ['', 'As it came'],
      rows: [{ cells: ['Bundles 1 to 2, each', '3 ties; 150 g'], drawn: null }],
      strong: false,
    },
    { is: 'heading', words: 'Terms' },
    { is: 'words', words: 'A year at most.' },
    {
      is: 'signatures',
      above: 'Both sign for 2 bundles, 6 ties, 300 g dry.',
      places: [
        { words: 'Handed over: Berta Invented', signature: '' },
        { words: 'Taken in: Ada', signature: '' },
      ],
    },
  ])
})

test('what it amends stands framed near the top, and the address of the client’s page before the signatures', () => {
  const blocks = receiptBlocks(issued({ amends: ['needed by: Tue'], cameAlong: [], terms: '' }), 'HTTPS://X/C/A')
  expect(blocks.slice(2, 4)).toEqual([
    { is: 'heading', words: 'It amends receipt 1' },
    { is: 'list', framed: true, items: [item('needed by: Tue')] },
  ])
  expect(blocks.at(-2)).toMatchObject({ is: 'address', address: 'HTTPS://X/C/A' })
  expect(blocks.flatMap(block => (block.is === 'heading' ? [block.words] : []))).toEqual([
    'It amends receipt 1',
    'Lot 4: lime bast',
  ])
})

test('every further sheet says which receipt it is and whose', () => {
  expect(receiptRunning(issued())).toEqual(['Receipt 2 of commission 7', 'Berta Invented (BI)'])
  expect(receiptRunning(issued({ facts: [] }))).toEqual(['Receipt 2 of commission 7', 'Berta Invented'])
})
