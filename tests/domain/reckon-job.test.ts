import { describe, expect, test } from 'vitest'
import { readRecipeJob } from '../../src/domain/reckon-job.js'
import { Refusal } from '../../src/domain/refusal.js'

const least = { fibreId: 'flax', dryWeightG: 500, route: 'plant', dyes: [{ substanceId: 'weld' }] }
const whole = {
  fibreId: 'flax',
  dryWeightG: 500,
  dryBasis: 'oven-dry',
  route: 'indigo',
  dyes: [{ substanceId: 'indigo', share: 2, owfPercent: 5 }],
  mordants: [{ substanceId: 'alum', when: 'after dye', bath: 2, owfPercent: 12 }],
  extras: [{ substanceId: 'salt', basis: 'per litre', amount: 3 }],
  depth: 0.5,
  liquorRatioLPerKg: 15,
  dips: 3,
  conditions: ['hard water'],
  tiesUndyed: true,
  purposes: ['class use'],
  usedRates: [{ substanceId: 'salt', perKg: 4, unit: 'g', from: 'lot 12' }],
  reasons: [{ ruleId: 'rule', words: 'a trial' }],
}

const refused = (json: unknown): string => {
  try {
    readRecipeJob(json)
  } catch (error) {
    if (error instanceof Refusal) return `${error.code} ${error.field}: ${error.message}`
    throw error
  }
  return 'read'
}

describe('reading a job', () => {
  test('a whole job is read as it stands', () => {
    expect(readRecipeJob(JSON.parse(JSON.stringify(whole)))).toEqual(whole)
  })

  test('what is left out gets the plain answer', () => {
    expect(readRecipeJob(least)).toEqual({
      fibreId: 'flax',
      dryWeightG: 500,
      dryBasis: 'conditioned',
      route: 'plant',
      dyes: [{ substanceId: 'weld', share: 1, owfPercent: null }],
      mordants: [],
      extras: [],
      depth: 1,
      liquorRatioLPerKg: null,
      dips: null,
      conditions: [],
      tiesUndyed: false,
      purposes: [],
      usedRates: [],
      reasons: [],
    })
    expect(readRecipeJob({ ...least, mordants: [{ substanceId: 'alum' }] }).mordants).toEqual([
      { substanceId: 'alum', when: 'before dye', bath: 1, owfPercent: null },
    ])
  })

  test('null says "not given" where that means something', () => {
    const read = readRecipeJob({ ...least, liquorRatioLPerKg: null, dips: null })
    expect([read.liquorRatioLPerKg, read.dips]).toEqual([null, null])
  })
})

describe('refusing a job by the path of the field', () => {
  test.each(['fibreId', 'dryWeightG', 'route', 'dyes'])('%s is needed', field => {
    expect(refused({ ...least, [field]: undefined })).toBe(`wrong ${field}: "${field}" is missing: give it a value.`)
  })

  test.each([
    ['fibreId', 7, '"fibreId" must be words in quotes.'],
    ['fibreId', ' ', '"fibreId" must be words in quotes.'],
    ['dryWeightG', '500 g', '"dryWeightG" must be a number, without a unit.'],
    ['dryWeightG', Number.POSITIVE_INFINITY, '"dryWeightG" must be a number, without a unit.'],
    ['dryWeightG', null, '"dryWeightG" must be a number, without a unit.'],
    ['dryBasis', 'wet', '"dryBasis" must be one of: oven-dry, conditioned, air-dry as weighed.'],
    ['route', 'paint', '"route" must be one of: label, powder, plant, iron, indigo.'],
    ['dyes', {}, '"dyes" must be a list in square brackets.'],
    ['depth', 'deep', '"depth" must be a number, without a unit.'],
    ['liquorRatioLPerKg', '20', '"liquorRatioLPerKg" must be a number, without a unit.'],
    ['dips', true, '"dips" must be a number, without a unit.'],
    ['tiesUndyed', 'yes', '"tiesUndyed" must be true or false.'],
    ['conditions', 'hard water', '"conditions" must be a list in square brackets.'],
  ])('%s %j', (field, value, sentence) => {
    expect(refused({ ...least, [field]: value })).toBe(`wrong ${field}: ${sentence}`)
  })

  test('inside lists the path counts the place', () => {
    expect(refused({ ...least, dyes: [{ substanceId: 'weld' }, {}] })).toBe(
      'wrong dyes.1.substanceId: "dyes.1.substanceId" is missing: give it a value.',
    )
    expect(refused({ ...least, dyes: ['weld'] })).toBe(
      'wrong dyes.0: "dyes.0" must be a set of named fields: substanceId, share, owfPercent.',
    )
    expect(refused({ ...least, dyes: [{ substanceId: 'weld', share: '1' }] })).toContain(
      'wrong dyes.0.share: "dyes.0.share" must be a number',
    )
    expect(refused({ ...least, mordants: [{ substanceId: 'alum', when: 'never' }] })).toBe(
      'wrong mordants.0.when: "mordants.0.when" must be one of: before dye, in the dye bath, after dye.',
    )
    expect(refused({ ...least, extras: [{ substanceId: 'salt', amount: 1 }] })).toContain(
      'wrong extras.0.basis: "extras.0.basis" is missing',
    )
    expect(refused({ ...least, extras: [{ substanceId: 'salt', basis: 'per cup', amount: 1 }] })).toContain(
      'wrong extras.0.basis: "extras.0.basis" must be one of',
    )
    expect(refused({ ...least, conditions: ['hard water', 'rain'] })).toContain(
      'wrong conditions.1: "conditions.1" must be one of',
    )
    expect(refused({ ...least, purposes: ['gift'] })).toBe(
      'wrong purposes.0: "purposes.0" must be one of: class use, wet use.',
    )
    expect(refused({ ...least, usedRates: [{ substanceId: 'salt', perKg: 1, unit: 'oz', from: 'lot' }] })).toBe(
      'wrong usedRates.0.unit: "usedRates.0.unit" must be one of: g, mL.',
    )
    expect(refused({ ...least, reasons: [{ ruleId: 'rule' }] })).toContain(
      'wrong reasons.0.words: "reasons.0.words" is missing',
    )
  })

  test('a field that nobody knows is named, with those that are known', () => {
    expect(refused({ ...least, dryweightG: 5 })).toBe(
      'wrong dryweightG: There is no field "dryweightG" here. Known are: fibreId, dryWeightG, route, dyes, dryBasis, mordants, extras, depth, liquorRatioLPerKg, dips, conditions, tiesUndyed, purposes, usedRates, reasons, dryWeightFrom.',
    )
    const stranger = (list: string, entry: object) => refused({ ...least, [list]: [{ ...entry, colour: 'red' }] })
    expect(stranger('dyes', { substanceId: 'a' })).toContain(
      'wrong dyes.0.colour: There is no field "dyes.0.colour" here. Known are: substanceId, share, owfPercent.',
    )
    expect(stranger('mordants', { substanceId: 'a' })).toContain('Known are: substanceId, when, bath, owfPercent.')
    expect(stranger('extras', { substanceId: 'a' })).toContain('Known are: substanceId, basis, amount.')
    expect(stranger('usedRates', { substanceId: 'a' })).toContain('Known are: substanceId, perKg, unit, from.')
    expect(stranger('reasons', { ruleId: 'a' })).toContain('Known are: ruleId, words.')
  })

  test.each([null, 7, 'job', [], undefined])('%j is not a job', json => {
    expect(refused(json)).toMatch(/^wrong : The job must be a set of named fields: fibreId, dryWeightG, route, dyes,/)
  })
})
