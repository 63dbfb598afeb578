import { describe, expect, test } from 'vitest'
import { NOT_KNOWN, type Rule, SEVERITIES } from '../../src/domain/catalogue.js'
import { type FeasibilityAsk, feasibility, feasibilityAsk, unanswered } from '../../src/domain/feasibility.js'
import { firstCatalogue } from '../../src/domain/first-catalogue/index.js'
import { reckon } from '../../src/domain/reckon.js'
import { Refusal } from '../../src/domain/refusal.js'
import { aCatalogue, aDye, aJob, aMordant, anAssistant, cotton, dyed, figure, mordanted, tested } from './recipe-kit.js'

const takesAll = { ...cotton, takeUp: { ...cotton.takeUp, plant: figure(1), iron: figure(1), insect: figure(1) } }
const blank: Rule = {
  id: 'rule',
  name: 'A rule',
  fibreIds: [],
  fibreParts: [],
  dyeIds: [],
  dyeClasses: [],
  mordantIds: [],
  conditions: [],
  severity: 'changes colour',
  words: 'It turns brown.',
  provenance: tested,
}

const fires = (rule: Partial<Rule>, ask: Partial<FeasibilityAsk> = {}): boolean => {
  const dyes = [aDye({}), aDye({ id: 'bug', dyeClass: 'insect' }), aDye({ id: 'plain', dyeClass: null })]
  const catalogue = { ...aCatalogue(...dyes), fibres: [takesAll], rules: [{ ...blank, ...rule }] }
  return (
    feasibility({ fibreId: 'cotton', dyeIds: ['dye'], mordantIds: null, conditions: [], ...ask }, catalogue).length > 0
  )
}

describe('a rule fires when every list that is not empty names something in the job', () => {
  test('an empty rule always fires; its finding carries the words of the rule', () => {
    const catalogue = { ...aCatalogue(aDye({})), fibres: [takesAll], rules: [blank] }
    const ask = { fibreId: 'cotton', dyeIds: ['dye'], mordantIds: [], conditions: [] }
    expect(feasibility(ask, catalogue)).toEqual([
      {
        ruleId: 'rule',
        name: 'A rule',
        severity: 'changes colour',
        words: 'It turns brown.',
        provenance: tested,
        reason: null,
      },
    ])
  })

  test('by fibre and by part of the plant', () => {
    expect(fires({ fibreIds: ['flax', 'cotton'] })).toBe(true)
    expect(fires({ fibreIds: ['flax'] })).toBe(false)
    expect(fires({ fibreParts: ['bast'] })).toBe(true)
    expect(fires({ fibreParts: ['inner bark'] })).toBe(false)
    expect(fires({ fibreIds: ['cotton'], fibreParts: ['leaf'] })).toBe(false)
  })

  test('by dye and by class, met by one and the same dye', () => {
    expect(fires({ dyeIds: ['dye'] })).toBe(true)
    expect(fires({ dyeIds: ['weld'] })).toBe(false)
    expect(fires({ dyeClasses: ['plant'] })).toBe(true)
    expect(fires({ dyeClasses: ['insect'] })).toBe(false)
    expect(fires({ dyeClasses: ['insect'] }, { dyeIds: ['dye', 'bug'] })).toBe(true)
    expect(fires({ dyeIds: ['dye'], dyeClasses: ['insect'] }, { dyeIds: ['dye', 'bug'] })).toBe(false)
    expect(fires({ dyeClasses: ['plant'] }, { dyeIds: ['plain'] })).toBe(false)
    expect(fires({ dyeIds: ['dye'] }, { dyeIds: [] })).toBe(false)
  })

  test('by mordant and by condition', () => {
    expect(fires({ mordantIds: ['iron'] }, { mordantIds: ['alum', 'iron'] })).toBe(true)
    expect(fires({ mordantIds: ['iron'] }, { mordantIds: ['alum'] })).toBe(false)
    expect(fires({ mordantIds: ['iron'] })).toBe(false)
    expect(fires({ conditions: ['hard water', 'boiled'] }, { conditions: ['boiled'] })).toBe(true)
    expect(fires({ conditions: ['hard water'] })).toBe(false)
  })

  test('"no mordant" holds once it is chosen to go without, not while nothing is chosen', () => {
    expect(fires({ conditions: ['no mordant'] }, { mordantIds: null })).toBe(false)
    expect(fires({ conditions: ['no mordant'] }, { mordantIds: [] })).toBe(true)
    expect(fires({ conditions: ['no mordant'] }, { mordantIds: ['alum'] })).toBe(false)
    expect(fires({ conditions: ['hard water'] }, { mordantIds: [], conditions: ['hard water'] })).toBe(true)
  })
})

describe('what is read out', () => {
  test('the severest first', () => {
    const rules = [...SEVERITIES].reverse().map(severity => ({ ...blank, id: severity, severity }))
    const catalogue = { ...aCatalogue(aDye({})), fibres: [takesAll], rules }
    const found = feasibility({ fibreId: 'cotton', dyeIds: [], mordantIds: null, conditions: [] }, catalogue)
    expect(found.map(finding => finding.severity)).toEqual([
      'does not take',
      'harms the fibre',
      'changes colour',
      'leaves an undyed face',
      'try a strip first',
    ])
  })

  test('a take-up that nobody knows is said once for each class', () => {
    const dyes = [
      aDye({}),
      aDye({ id: 'weld' }),
      aDye({ id: 'bug', dyeClass: 'insect' }),
      aDye({ id: 'plain', dyeClass: null }),
    ]
    const ask = { fibreId: 'cotton', dyeIds: dyes.map(dye => dye.id), mordantIds: null, conditions: [] }
    const found = feasibility(ask, aCatalogue(...dyes))
    expect(found.map(finding => finding.ruleId)).toEqual(['take-up-not-known:plant', 'take-up-not-known:insect'])
    expect(found[0]).toMatchObject({
      name: 'Take-up of plant dye not known',
      severity: 'try a strip first',
      words: `How much plant dye cotton needs is ${NOT_KNOWN}. The amounts are those for ordinary fibre.`,
      provenance: { kind: 'own experience', source: 'no figure in this catalogue yet' },
      reason: null,
    })
    expect(feasibility(ask, { ...aCatalogue(...dyes), fibres: [takesAll] })).toEqual([])
  })

  test('going against a rule is kept beside it, and only the serious ones ask why', () => {
    const rules = SEVERITIES.map(severity => ({ ...blank, id: severity, severity }))
    const catalogue = { ...aCatalogue(aDye({})), fibres: [takesAll], rules }
    const ask = { fibreId: 'cotton', dyeIds: ['dye'], mordantIds: null, conditions: [] }
    expect(unanswered(feasibility(ask, catalogue)).map(finding => finding.ruleId)).toEqual([
      'does not take',
      'harms the fibre',
    ])
    const told = feasibility(ask, catalogue, [
      { ruleId: 'does not take', words: 'the client wants to see' },
      { ruleId: 'some other rule', words: 'nothing' },
    ])
    expect(told[0]?.reason).toBe('the client wants to see')
    expect(told[1]?.reason).toBeNull()
    expect(unanswered(told).map(finding => finding.ruleId)).toEqual(['harms the fibre'])
  })

  test('an unknown fibre or dye is refused by field', () => {
    const ask = { fibreId: 'cotton', dyeIds: ['dye', 'nettle tea'], mordantIds: null, conditions: [] }
    const refused = (given: Partial<FeasibilityAsk>) => {
      try {
        return feasibility({ ...ask, ...given }, aCatalogue(aDye({})))
      } catch (error) {
        return error instanceof Refusal ? `${error.code} ${error.field}` : error
      }
    }
    expect(refused({})).toBe('wrong dyes.1.substanceId')
    expect(refused({ fibreId: 'moss' })).toBe('wrong fibreId')
  })
})

describe('what a whole job says', () => {
  test('dyes, mordants, conditions, purposes, ties, and cream of tartar among the extras', () => {
    const job = aJob({
      dyes: [dyed('a'), dyed('b')],
      mordants: [mordanted('alum')],
      conditions: ['hard water'],
      purposes: ['wet use'],
    })
    expect(feasibilityAsk(job)).toEqual({
      fibreId: 'cotton',
      dyeIds: ['a', 'b'],
      mordantIds: ['alum'],
      conditions: ['hard water', 'wet use'],
    })
    expect(feasibilityAsk({ ...job, tiesUndyed: true }).conditions).toEqual(['hard water', 'wet use', 'ties undyed'])
    const tartar = { substanceId: 'cream-of-tartar', basis: '% owf', amount: 6 } as const
    expect(feasibilityAsk({ ...job, extras: [tartar] }).conditions).toContain('cream of tartar added')
    expect(feasibilityAsk({ ...job, extras: [{ ...tartar, substanceId: 'chalk' }] }).conditions).not.toContain(
      'cream of tartar added',
    )
  })

  test('the recipe carries its findings with the reasons given', () => {
    const rules = [{ ...blank, conditions: ['no mordant' as const], severity: 'does not take' as const }]
    const catalogue = { ...aCatalogue(aDye({}), aMordant({}), anAssistant({})), fibres: [takesAll], rules }
    const reasons = [{ ruleId: 'rule', words: 'a trial strip' }]
    expect(reckon(aJob({ reasons }), catalogue).findings.map(one => [one.ruleId, one.reason])).toEqual([
      ['rule', 'a trial strip'],
    ])
    expect(reckon(aJob({ mordants: [mordanted('alum')] }), catalogue).findings).toEqual([])
  })
})

describe('the first catalogue', () => {
  const found = (fibreId: string, dyeIds: string[], mordantIds: string[] | null = null) =>
    feasibility({ fibreId, dyeIds, mordantIds, conditions: [] }, firstCatalogue).map(one => one.ruleId)

  test('speaks at drop-off, before any weight (common practice)', () => {
    expect(found('red-cedar-inner-bark', ['indigo-fructose-vat'])).toContain('red-cedar-indigo')
    expect(found('yellow-cedar-inner-bark', ['indigo-fructose-vat'])).not.toContain('red-cedar-indigo')
    expect(found('red-cedar-inner-bark', ['onion-skin'])).toContain('bark-onion-skin')
    expect(found('raffia', ['onion-skin'])).not.toContain('bark-onion-skin')
    expect(found('lime-inner-bark', ['oregon-grape-root'])).toContain('bark-oregon-grape')
    expect(found('flax', ['all-purpose-bottled'])).toEqual([])
  })

  test('iron weakens plant fibre, alone and after dye (Chemistry Central Journal 6:44, 2012)', () => {
    expect(found('flax', ['ferrous-sulfate'])).toContain('iron-alone-weakens')
    expect(found('flax', ['weld'], ['potassium-alum', 'ferrous-sulfate'])).toContain('iron-mordant-weakens')
    expect(found('flax', ['weld'], ['potassium-alum'])).toEqual([])
  })

  test('basic dye wants tannin on cotton-like fibre (Beech 1901, pp. 147-149), jute takes it by itself', () => {
    expect(found('flax', ['basic-dye-powder'], [])).toContain('basic-no-tannin')
    expect(found('flax', ['basic-dye-powder'], ['tannic-acid'])).not.toContain('basic-no-tannin')
    expect(found('jute', ['basic-dye-powder'], [])).toEqual(['jute-basic-light'])
  })
})
