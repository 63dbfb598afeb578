import { expect, test } from 'vitest'
import { inWords } from '../../src/domain/client-data-words.js'

test('fields have names, and what is kept reads as words', () => {
  const kept = {
    bundle: [{ id: 7, ties_in: 3, dry_weight_g: 150, thickness_mm: null, condition: '' }],
    hand_back_bundle: [{ found: 0, tied_again: 1 }],
    bundle_arrival: [{ found: '["damp","mould seen"]', at: '2026-03-02T14:00:00.000Z' }],
    tag: [],
  }
  expect(inWords(kept)).toEqual([
    {
      part: 'Bundles',
      rows: [
        [
          { label: 'Number', words: '7' },
          { label: 'Ties that came', words: '3' },
          { label: 'Dry weight (g)', words: '150' },
        ],
      ],
    },
    {
      part: 'Bundles of each hand-back',
      rows: [
        [
          { label: 'Found', words: 'no' },
          { label: 'Tied up again as it came', words: 'yes' },
        ],
      ],
    },
    {
      part: 'How each bundle came',
      rows: [
        [
          { label: 'What was seen of it', words: 'damp; mould seen' },
          { label: 'When', words: '2026-03-02 14:00 UTC' },
        ],
      ],
    },
  ])
})

test.each([
  ['{"dryWeightG":450,"why":"","closedAt":null,"isAll":true}', 'Dry weight (g): 450\nis all: yes'],
  [
    '{"lots":[{"colour":"straw","n":1},{"colour":"rust","n":2}]}',
    'lots: Colour asked for: straw, Number in its list: 1; Colour asked for: rust, Number in its list: 2',
  ],
  ['{}', ''],
  ['"erased"', 'erased'],
  ['[not kept as anything', '[not kept as anything'],
  ['{a knot}', '{a knot}'],
])('%s is said as “%s”', (became, words) => {
  const [part] = inWords({ client_change: [{ at: '2026-03-02', became }] })
  expect(part?.rows[0]?.find(({ label }) => label === 'As it became')?.words ?? '').toBe(words)
})
