import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import { EVERYDAY, type Handover, handoverTroubles, isKnownReceiver, settled } from '../../src/domain/handover.js'
import { LONGEST_SIGNATURE, readSignature, SIGNATURE_FIELD } from '../../src/domain/signature.js'

const KNOWN = ['José Reed', 'JR']
const fieldsOf = (toWhom: string, given: Partial<Handover> = {}) =>
  handoverTroubles(toWhom, KNOWN, { ...EVERYDAY, ...given }).map(({ field }) => field)

describe('who receives the bundles', () => {
  test('the owner and who brought them are not asked by what right, however their name is typed', () => {
    for (const name of ['José Reed', ' jose  reed ', 'jr']) expect(fieldsOf(name)).toEqual([])
    expect(isKnownReceiver('', [''])).toBe(false)
  })

  test('anybody else is, and words are an answer', () => {
    expect(fieldsOf('Pia')).toEqual(['authority'])
    expect(fieldsOf('Pia', { authority: ' - ' })).toEqual(['authority'])
    expect(fieldsOf('Pia', { authority: 'his daughter, he rang' })).toEqual([])
  })

  test('each unusual answer asks for what belongs to it', () => {
    expect(fieldsOf('JR', { how: 'by carrier' })).toEqual(['reference'])
    expect(fieldsOf('JR', { acknowledged: 'on the screen' })).toEqual(['signature'])
    expect(fieldsOf('JR', { acknowledged: 'not signed' })).toEqual(['notSignedBecause'])
    const all = { how: 'by carrier', acknowledged: 'not signed' } as const
    expect(fieldsOf('Pia', all)).toEqual(['authority', 'reference', 'notSignedBecause'])
    expect(fieldsOf('JR', { ...all, reference: 'river post 71', notSignedBecause: 'it went by post' })).toEqual([])
  })

  test('what belongs to another answer is not kept', () => {
    const typed = { ...EVERYDAY, reference: '7', notSignedBecause: 'x', signature: 'M1 1L2 2L3 3L4 4' }
    expect(settled(typed)).toEqual(EVERYDAY)
    const kept = { ...typed, how: 'by carrier', acknowledged: 'on the screen' } as const
    expect(settled(kept)).toEqual({ ...kept, notSignedBecause: '' })
  })
})

const point = fc.tuple(
  fc.integer({ min: 0, max: SIGNATURE_FIELD.width }),
  fc.integer({ min: 0, max: SIGNATURE_FIELD.height }),
)
const strokes = fc
  .array(fc.array(point, { minLength: 4, maxLength: 20 }), { minLength: 1, maxLength: 8 })
  .map(all => all.map(line => line.map(([x, y], n) => `${n === 0 ? 'M' : 'L'}${x} ${y}`).join('')).join(''))

describe('a signature', () => {
  test('of lines within its field is taken as it is', () => {
    fc.assert(
      fc.property(strokes, typed => {
        expect(readSignature(typed)).toEqual({ ok: true, value: typed })
      }),
      { numRuns: 100 },
    )
    expect(readSignature('')).toEqual({ ok: true, value: '' })
  })

  test.each([
    ['a point outside the field', 'M601 1L2 2L3 3L4 4'],
    ['a point below it', 'M1 201L2 2L3 3L4 4'],
    ['a curve', 'M1 1C2 2 3 3 4 4L5 5L6 6L7 7'],
    ['a mark of its own', 'M1 1L2 2L3 3L4 4"/><script>'],
    ['a line break', 'M1 1L2 2L3 3L4 4\n'],
    ['fractions', 'M1.5 1L2 2L3 3L4 4'],
    ['a line without a beginning', 'L1 1L2 2L3 3L4 4'],
  ])('with %s is refused', (_, typed) => {
    expect(readSignature(typed)).toMatchObject({ ok: false, sentence: expect.stringContaining('did not arrive whole') })
  })

  test('that is a dot, or has no end, is asked for again', () => {
    expect(readSignature('M10 10L11 11')).toMatchObject({ ok: false, sentence: expect.stringContaining('only a dot') })
    const endless = `M1 1${'L2 2'.repeat(LONGEST_SIGNATURE / 4)}`
    expect(readSignature(endless)).toMatchObject({ ok: false, sentence: expect.stringContaining('too many lines') })
  })

  test('becomes nothing but numbers in a drawing, whatever is typed', () => {
    fc.assert(
      fc.property(
        fc.string({ unit: fc.constantFrom('M', 'L', ' ', '1', '60', '"', '<', 'Z', '-', '.', ',') }),
        typed => {
          const answer = readSignature(typed)
          if (answer.ok) expect(answer.value).toMatch(/^[ML0-9 ]*$/)
        },
      ),
      { numRuns: 200 },
    )
  })
})
