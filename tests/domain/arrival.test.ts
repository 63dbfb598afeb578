import { describe, expect, test } from 'vitest'
import {
  conditionFound,
  isAgreed,
  knownOrElse,
  readReturnables,
  sayCondition,
  sayHowTied,
  sayTying,
  TYING_UNKNOWN,
  type Tying,
  tyingOf,
  whyApartAnyway,
} from '../../src/domain/arrival.js'
import { wishesAnswerOf } from '../../src/domain/client.js'

describe('what is seen of a bundle', () => {
  test('is read where an agreed word stands by itself, and never out of a longer phrase', () => {
    expect(conditionFound([], 'Damp; a little mould, brittle')).toEqual(['damp', 'brittle'])
    expect(conditionFound([], 'not damp, no mould seen here')).toEqual([])
    expect(conditionFound(['torn strips'], 'damp')).toEqual(['damp', 'torn strips'])
    expect(conditionFound(['damp'], 'damp')).toEqual(['damp'])
  })

  test('reads as expected when there is nothing to say, and says nothing twice', () => {
    expect(sayCondition([], '  ')).toBe('as expected')
    expect(sayCondition(['damp', 'brittle'], 'brittle, at one end')).toBe('damp; brittle, at one end')
    expect(sayCondition(['damp'], 'as expected')).toBe('damp')
    expect(sayCondition([], 'As expected')).toBe('as expected')
  })

  test('keeps a lot apart by itself only for what spreads', () => {
    expect(whyApartAnyway(['damp', 'torn strips', 'smells of smoke'])).toBe('')
    expect(whyApartAnyway(['damp', 'mould seen', 'insects seen'])).toBe('mould seen, insects seen')
  })
})

describe('how a bundle is tied', () => {
  const ofLot: Tying = { tiePlace: 'in the middle', tieKind: 'a knot', thickEnd: 'thick end first' }
  test('is as its lot is, unless its own words say otherwise', () => {
    expect(tyingOf(ofLot, 'its own strip, twice round')).toEqual(ofLot)
    expect(tyingOf(ofLot, 'near one end, a bow')).toEqual({ ...ofLot, tiePlace: 'near one end', tieKind: 'a bow' })
  })
  test('is said in words, or not at all', () => {
    expect(sayTying(ofLot)).toBe('tied in the middle, a knot, thick end first')
    expect(sayTying({ ...TYING_UNKNOWN, tieKind: 'a bow' })).toBe('tied a bow')
    expect(sayTying(TYING_UNKNOWN)).toBe('')
    expect(sayHowTied(ofLot, 'a knot, her red cord')).toBe('tied in the middle, thick end first; a knot, her red cord')
    expect(sayHowTied(TYING_UNKNOWN, '')).toBe('')
  })
  test('falls back part by part to what is usual', () => {
    expect(knownOrElse({ ...TYING_UNKNOWN, tieKind: 'a bow' }, ofLot)).toEqual({ ...ofLot, tieKind: 'a bow' })
  })
})

describe('what came along', () => {
  test('is one to a line, each of the kind that its words name', () => {
    expect(
      readReturnables('the wrapper, blue cloth\n\na sample of last year; a note\n two baskets\nher good knife'),
    ).toEqual([
      { kind: 'wrapper', words: 'the wrapper, blue cloth' },
      { kind: 'sample', words: 'a sample of last year' },
      { kind: 'note', words: 'a note' },
      { kind: 'container', words: 'two baskets' },
      { kind: 'other', words: 'her good knife' },
    ])
    expect(readReturnables(' \n; ')).toEqual([])
  })
})

describe('a plan', () => {
  const plan = { colour: 'red', dyeId: 'madder-root', route: 'plant', tiesUndyed: true }
  test('is agreed as it stood, and not with another colour, dye, way or ties', () => {
    expect(isAgreed(plan, plan)).toBe(true)
    expect(isAgreed(plan, undefined)).toBe(false)
    for (const change of [{ colour: 'rust' }, { dyeId: 'weld' }, { route: 'iron' }, { tiesUndyed: false }])
      expect(isAgreed({ ...plan, ...change }, plan)).toBe(false)
  })
})

test('wishes that were told are told, and an empty record says nothing for the client', () => {
  expect(wishesAnswerOf('not near the dog', 'nothing special')).toBe('told')
  expect(wishesAnswerOf('', 'nothing special')).toBe('nothing special')
  expect(wishesAnswerOf('', 'rather not say')).toBe('rather not say')
  expect(wishesAnswerOf('', 'told')).toBe('not asked')
  expect(wishesAnswerOf('')).toBe('not asked')
})
