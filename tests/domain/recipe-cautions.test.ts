import { describe, expect, test } from 'vitest'
import { firstCatalogue } from '../../src/domain/first-catalogue/index.js'
import { TIN_DECIDES } from '../../src/domain/recipe-cautions.js'
import { reckon } from '../../src/domain/reckon.js'
import { CARE } from '../../src/domain/step-cautions.js'
import { aCatalogue, aDye, aJob, aMordant, anAssistant, dyed, figure, mordanted, tested } from './recipe-kit.js'

const iron = { substanceId: 'ferrous-sulfate', when: 'after dye', bath: 1, owfPercent: null } as const

describe('warnings of a recipe', () => {
  test("always: the tin's own sheet and local rules decide, in every recipe and last", () => {
    const recipe = reckon(aJob(), aCatalogue(aDye({})))
    expect(recipe.cautions.at(-1)).toEqual({
      about: 'always',
      name: 'Always',
      signalWord: null,
      statements: [],
      standing: null,
      words: [TIN_DECIDES, CARE.gloves, CARE.foodPots],
      provenance: { kind: 'common practice', source: 'common practice, no source' },
    })
    expect(TIN_DECIDES).toBe("The tin's own safety data sheet and local rules decide.")
  })

  test('each substance once, with its label and its care', () => {
    const hazard = {
      signalWord: 'Danger',
      statements: [{ code: 'H318', words: 'Causes serious eye damage' }],
      standing: 'harmonised',
      provenance: tested,
    } as const
    const alum = aMordant({ hazard: { ...hazard, statements: [...hazard.statements] }, care: ['Wear goggles.'] })
    const mordants = [mordanted('alum', 5, 1), mordanted('alum', 5, 2)]
    const recipe = reckon(aJob({ mordants }), aCatalogue(aDye({}), alum))
    expect(recipe.cautions.map(caution => [caution.about, caution.name])).toEqual([
      ['substance', 'alum'],
      ['substance', 'the dye'],
      ['always', 'Always'],
    ])
    expect(recipe.cautions[0]).toEqual({ about: 'substance', name: 'alum', ...hazard, words: ['Wear goggles.'] })
  })

  test('a class keeps away from baths and powders', () => {
    const cautions = reckon(aJob({ purposes: ['class use'] }), aCatalogue(aDye({}))).cautions
    expect(cautions.find(caution => caution.name === 'Class use')).toMatchObject({
      about: 'recipe',
      words: [CARE.children],
    })
    expect(reckon(aJob({ purposes: ['wet use'] }), aCatalogue(aDye({}))).cautions).toHaveLength(2)
  })

  test('ferrous sulfate and copper sulfate carry their harmonised labels (GisChem 916; ICSC 1416)', () => {
    const copper = mordanted('copper-sulfate')
    const job = aJob({ fibreId: 'flax', dyes: [dyed('weld')], mordants: [copper, iron] })
    const label = (name: string) => {
      const caution = reckon(job, firstCatalogue).cautions.find(one => one.name === name)
      return [caution?.signalWord, caution?.standing, caution?.statements.map(one => one.code)]
    }
    expect(label('ferrous sulfate')).toEqual(['Warning', 'harmonised', ['H302', 'H315', 'H319']])
    expect(label('copper sulfate')).toEqual(['Danger', 'harmonised', ['H302', 'H318', 'H410']])
    expect(label('weld, dried plant')).toEqual([null, "supplier's sheet decides", []])
  })
})

describe('what the spent bath holds', () => {
  const ask = 'Ask the local sewer authority before a spent bath is poured anywhere, and tell them what it holds.'

  test('grams of each metal, over all baths, as if none had stayed on the fibre', () => {
    const alum = aMordant({ metal: 'aluminium', metalFraction: figure(0.05) })
    const other = aMordant({ id: 'other', metal: 'aluminium', metalFraction: figure(0.1) })
    const copper = aMordant({ id: 'copper', metal: 'copper', metalFraction: figure(0.25) })
    const mordants = [mordanted('copper', 2), mordanted('alum', 10, 1), mordanted('other', 10, 2)]
    const { spentBath } = reckon(aJob({ mordants }), aCatalogue(aDye({}), alum, other, copper))
    expect(spentBath.metals.map(({ metal, grams }) => [metal, Number(grams.toFixed(9))])).toEqual([
      ['aluminium', 15],
      ['copper', 5],
    ])
    expect(spentBath.words).toEqual([
      'At most 15 g of aluminium.',
      'At most 5 g of copper.',
      'Copper is very toxic to life in water, with long lasting effects: it does not go down a drain.',
      ask,
    ])
  })

  test('no metal, or metal of which nobody knows how much', () => {
    expect(reckon(aJob(), aCatalogue(aDye({}))).spentBath).toEqual({
      metals: [],
      words: ['No metal mordant is in it.', ask],
    })
    const rust = aMordant({ name: 'rust', metal: 'iron' })
    expect(reckon(aJob({ mordants: [mordanted('alum')] }), aCatalogue(aDye({}), rust)).spentBath).toEqual({
      metals: [],
      words: ['rust holds iron: how much is not known.', ask],
    })
  })

  test.each([
    ['tin', 'Tin salts harm life in water: give the bath to a collector of hazardous waste.'],
    ['chromium', 'Chromium is poisonous: give the bath to a collector of hazardous waste.'],
  ] as const)('%s says where it may not go', (metal, words) => {
    const salt = aMordant({ metal, metalFraction: figure(1 / 3) })
    const { spentBath } = reckon(aJob({ mordants: [mordanted('alum', 1)] }), aCatalogue(aDye({}), salt))
    expect(spentBath.words).toEqual([`At most 3.33 g of ${metal}.`, words, ask])
  })

  test('a reducing agent is aired out first', () => {
    const dye = aDye({ assistants: [{ substanceId: 'salt', basis: 'per kg', amount: figure(1), words: '' }] })
    const { words } = reckon(aJob(), aCatalogue(dye, anAssistant({ kind: 'reducing agent' }))).spentBath
    expect(words).toEqual([
      'No metal mordant is in it.',
      'Let a spent vat stand open and stir air into it until it no longer turns; never add acid to it.',
      ask,
    ])
  })

  test('250 g of potassium alum hold 14.2 g of aluminium (CIAAW 2021)', () => {
    const job = aJob({ fibreId: 'flax', dyes: [dyed('weld')], mordants: [mordanted('potassium-alum')] })
    expect(reckon(job, firstCatalogue).spentBath.metals[0]?.grams).toBeCloseTo((250 * 26.9815384) / 474.372, 2)
  })
})
