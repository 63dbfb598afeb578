/** What a return slip says of each lot: what came against what goes back, and how it was dyed. */
import { describe, expect, test } from 'vitest'
import type { SlipLot } from '../../src/domain/slip-facts.js'
import { bath, blocks, bundle, factsOf, lot, ofLot, type Table, tableOf, wordsOf } from './slip-kit.js'

describe('the totals', () => {
  test('of several lots have a row for all of them', () => {
    const lots = [lot(), lot({ id: 5, bundlesIn: 1, bundles: [bundle(1)] })]
    expect(tableOf(blocks({ lots }), 0)).toEqual([
      ['Lot 4', '2', '2', '6', '6', '300 g', 'not weighed'],
      ['Lot 5', '1', '1', '3', '3', '150 g', 'not weighed'],
      ['All', '3', '3', '9', '9', '450 g', 'not weighed'],
    ])
  })

  test('say what was replaced and what is missing', () => {
    const bundles = [bundle(1, { tiesBack: 2, tiesReplaced: 1 }), bundle(2, { tiesBack: 1 })]
    expect(tableOf(ofLot({ bundles }), 0)[0]?.[4]).toBe('4 (1 replaced, 2 missing)')
    expect(tableOf(ofLot({ bundles: bundles.slice(0, 1) }), 0)[0]?.[4]).toBe('3 (1 replaced)')
    expect(tableOf(ofLot({ bundles: bundles.slice(1) }), 0)[0]?.[4]).toBe('1 (2 missing)')
  })

  test('hold a weight against what was weighed again, where that is not all', () => {
    const weighed = [bundle(1, { weightG: 148 }), bundle(2)]
    expect(tableOf(ofLot({ bundles: weighed }), 0)[0]?.[6]).toBe('148 g (1 of 2 bundles weighed; 150 g when they came)')
    const all = [bundle(1, { weightG: 148 }), bundle(2, { weightG: 149 })]
    expect(tableOf(ofLot({ bundles: all }), 0)[0]?.[6]).toBe('297 g')
  })

  test('are to the gram', () => {
    const heavy = { ...bundle(1), dryWeightG: 1234 }
    expect(tableOf(ofLot({ bundles: [heavy] }), 0)[0]?.[5]).toBe('1234 g')
    expect(tableOf(ofLot({ bundles: [heavy] }), 1)[0]?.[3]).toBe('1.234 kg')
  })
})

describe('what differs', () => {
  const bundles = [
    bundle(1, { tiesBack: 2, explanation: 'one tie rotted away' }),
    bundle(2, { explanation: 'a knot was there before' }),
  ]
  const all = ofLot({ bundles })

  test('stands framed with its explanation, word for word', () => {
    expect(all.slice(3, 5)).toEqual([
      { is: 'heading', words: 'What differs, and what is said of it' },
      {
        is: 'list',
        framed: true,
        items: [
          { strong: 'Lot 4, bundle 1', words: ': 1 of 3 ties missing.', quoted: 'one tie rotted away' },
          { strong: 'Lot 4, bundle 2', words: '.', quoted: 'a knot was there before' },
        ],
      },
    ])
    expect(wordsOf(all)).not.toContain('goes back as it came, tie for tie.')
  })

  test('stands in its row too, several things behind one another', () => {
    const rows = tableOf(ofLot({ bundles: [bundle(1, { tiesBack: 1, tiesReplaced: 1, weightG: 100 })] }), 1)
    expect(rows).toEqual([
      [
        '1',
        '3',
        '2',
        '150 g',
        '100 g',
        '1 of 3 ties missing; 1 tie replaced from the strip’s own end; light: 67 % of the dry weight',
      ],
    ])
    const row = ofLot({ bundles: [bundle(1, { tiesBack: 1, tiesReplaced: 1 })] }).find(
      (block): block is Table => block.is === 'table' && !block.strong,
    )?.rows[0]
    expect(row?.drawn?.ties).toEqual(['on', 'replaced', 'missing'])
  })
})

describe('the colour', () => {
  const colourOf = (more: Partial<SlipLot>) => ofLot(more).find(block => block.is === 'colour')
  test('that came out is shown, and how near it is', () => {
    const outcome = { swatch: '#884433', nearness: 'nearly as asked', words: 'a little dull' } as const
    expect(colourOf({ outcome })).toEqual({
      is: 'colour',
      swatch: '#884433',
      words: 'brick red',
      beside: 'came out nearly as asked: a little dull',
    })
    expect(colourOf({ outcome: { ...outcome, swatch: null, words: '' } })).toMatchObject({
      swatch: '#a33322',
      beside: 'came out nearly as asked',
    })
    expect(colourOf({ swatch: null })).toMatchObject({ swatch: null })
  })
})

describe('a lot that goes back in part', () => {
  const partOf = (rest: SlipLot['rest'], bundlesIn = 5) => wordsOf(ofLot({ bundlesIn, rest })).slice(1)
  test.each<[SlipLot['rest'], string]>([
    [{ ns: [], until: null, words: '' }, 'In part: 2 of the 5 bundles that came. The others had gone before.'],
    [{ ns: [3], until: null, words: '' }, 'In part: 2 of the 5 bundles that came. Bundle 3 stays here.'],
    [
      { ns: [3, 4, 5], until: '2026-04-17', words: '' },
      'In part: 2 of the 5 bundles that came. Bundles 3 to 5 stay here until Fri 17 Apr 2026.',
    ],
    [
      { ns: [3, 5], until: '2026-04-17', words: 'still drying' },
      'In part: 2 of the 5 bundles that came. Bundles 3, 5 stay here until Fri 17 Apr 2026: still drying.',
    ],
  ])('%j', (rest, words) => expect(partOf(rest)).toEqual([words]))
  test('a whole one says nothing of it', () => expect(partOf({ ns: [], until: null, words: '' }, 2)).toEqual([]))
})

describe('how it was dyed', () => {
  const fact = (more: Partial<SlipLot>, name: string) => factsOf(ofLot(more), 1).find(([label]) => label === name)?.[1]

  test('each way once', () => {
    const baths = [bath(), bath({ loadId: 2 }), bath({ loadId: 3, dyeWords: 'iron', routeWords: 'iron alone' })]
    expect(fact({ baths }, 'How dyed')).toBe('madder on alum (plant or insect dye on a mordant); iron (iron alone)')
  })
  test('what was asked for when no bath is on record', () => {
    expect(fact({ baths: [], treatedWith: [] }, 'How dyed')).toBe(
      'not on record; asked for: madder (plant or insect dye on a mordant)',
    )
    expect(fact({ baths: [], treatedWith: [] }, 'Treated with')).toBe('no bath is on record')
    expect(fact({ baths: [] }, 'Last rinse')).toBeUndefined()
  })
  test('not at all, and why', () => {
    const undyed = { undyedWhy: 'the owner changed their mind', baths: [], treatedWith: [], tiesUndyed: false }
    expect(fact(undyed, 'How dyed')).toBe('not dyed: the owner changed their mind')
    expect(fact(undyed, 'Treated with')).toBe('nothing')
    expect(fact(undyed, 'Ties')).toBe('kept undyed')
  })
  test('each rinse once, those that were written down', () => {
    const baths = [bath({ lastRinse: 'tinted' }), bath(), bath({ lastRinse: 'tinted' }), bath({ lastRinse: null })]
    expect(fact({ baths }, 'Last rinse')).toBe('ran tinted, clear')
    expect(fact({ baths: [bath({ lastRinse: null })] }, 'Last rinse')).toBeUndefined()
  })
  test('what a wet cloth showed, and whether the ties took dye', () => {
    expect(fact({ wetCloth: 'a trace' }, 'Wet white cloth')).toBe('a trace')
    expect(fact({ wetCloth: null }, 'Wet white cloth')).toBeUndefined()
    expect(fact({ tiesUndyed: false }, 'Ties')).toBe('dyed along')
  })
  test('by what the bundles were told apart, where tags were used', () => {
    const tagged = { tagCode: 'KX47RT' }
    expect(fact({}, 'Known by')).toBeUndefined()
    expect(fact({ bundles: [bundle(1, tagged), bundle(2, tagged)] }, 'Known by')).toBe('their tags')
    expect(fact({ bundles: [bundle(1, tagged), bundle(2), bundle(3)] }, 'Known by')).toBe(
      'their tags 1, number and ties 2',
    )
    const lost = bundle(3, { found: false, tiesBack: 0, explanation: 'not seen again' })
    expect(fact({ bundles: [bundle(1, tagged), lost] }, 'Known by')).toBe('their tags')
  })
})
