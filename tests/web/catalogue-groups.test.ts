import { sql } from 'kysely'
import { beforeEach, describe, expect, test } from 'vitest'
import { z } from 'zod'
import { GROUPS } from '../../src/domain/catalogue-fields.js'
import { addEntry } from '../../src/store/catalogue.js'
import { askedFor, type Choices, filledIn } from '../../src/web/catalogue-asked.js'
import { typedInto } from '../../src/web/catalogue-typed.js'
import { takeInLot } from '../a-lot.js'
import { firstEntries, fullEntries, fullSubstance } from '../domain/catalogue-kit.js'
import { testApp } from '../helper.js'
import { formOnPage } from '../page-form.js'

let site: Awaited<ReturnType<typeof testApp>>
beforeEach(async () => {
  site = await testApp()
})

/** The form of a group as it stands, with these fields changed. */
async function filled(url: string, changed: Record<string, string> = {}): Promise<Record<string, string>> {
  return { ...formOnPage((await site.browser.get(url)).text), ...changed }
}
const send = async (url: string, changed: Record<string, string> = {}) =>
  site.browser.post(url, await filled(url, changed))

const entryOf = async (id: string) => (await site.browser.json(`/catalogue/${id}`)).body.entry
const changesOf = async (
  id: string,
): Promise<{ why: string; fields: { label: string; was: string; became: string }[] }[]> =>
  (await site.browser.json(`/catalogue/${id}`)).body.changes

describe('what stands in an entry', () => {
  const named = (suits: (one: (typeof firstEntries)[number]) => boolean): [string, string][] =>
    firstEntries.filter(suits).map(({ entry }) => [entry.id, entry.name])
  const choices: Choices = {
    fibre: named(({ kind }) => kind === 'fibre'),
    dye: named(({ kind }) => kind === 'substance'),
    mordant: named(({ kind }) => kind === 'substance'),
    substance: named(({ kind }) => kind === 'substance'),
  }

  test('goes into the form of its group, and comes out of it as it was', () => {
    for (const { kind, entry } of [...firstEntries, ...fullEntries])
      for (const { fields, key } of GROUPS[kind]) {
        const form = filledIn(fields, entry, choices)
        expect(typedInto(entry, fields, form, choices, z.object({})), `${entry.id} ${key}`).toEqual(entry)
        expect(askedFor(fields, form, choices)).toHaveLength(fields.length)
      }
  })

  test.each([
    ['a fibre', 'flax', 'fibre'],
    ['a dye', 'all-purpose-bottled', 'substance'],
    ['an indigo', 'indigo-copperas-vat', 'substance'],
    ['a mordant', 'potassium-alum', 'substance'],
    ['a rule', 'bark-cochineal-tartar', 'rule'],
    ['everything at once', 'own-vat', 'substance'],
  ] as const)('of %s is sent back by its pages untouched, and nothing changes', async (_, id, kind) => {
    await addEntry(site.db, site.by, 'substance', fullSubstance, 'for this test')
    for (const { key } of GROUPS[kind]) {
      const answer = await send(`/catalogue/${id}/edit/${key}`, { why: 'nothing' })
      expect(answer.status, key).toBe(303)
    }
    expect((await site.browser.json(`/catalogue/${id}`)).body.version).toBe(1)
  })

  test('has no other pages than those of its groups', async () => {
    expect((await site.browser.get('/catalogue/flax/edit/vat')).status).toBe(404)
    expect((await site.browser.get('/catalogue/flax/edit/colour')).status).toBe(404)
    expect((await site.browser.get('/catalogue/nothing/edit/words')).status).toBe(404)
  })
})

describe('what goes with a dye', () => {
  const url = '/catalogue/weld/edit/assistants'
  const salt = {
    'assistants.1.substanceId': 'common-salt',
    'assistants.1.basis': 'per litre',
    'assistants.1.amount.value': '12,5',
    'assistants.1.amount.kind': 'own experience',
    'assistants.1.amount.source': 'trial of May',
    'assistants.1.words': 'drives it on',
  }

  test('is added in a row of its own, with its source, told in the history and reckoned with', async () => {
    expect((await send(url, { ...salt, why: 'it came out even' })).status).toBe(303)
    const { assistants } = await entryOf('weld')
    expect(assistants).toHaveLength(2)
    expect(assistants[1]).toEqual({
      substanceId: 'common-salt',
      basis: 'per litre',
      amount: { value: 12.5, provenance: { kind: 'own experience', source: 'trial of May' } },
      words: 'drives it on',
    })
    expect((await changesOf('weld'))[0]).toMatchObject({
      why: 'it came out even',
      fields: [
        {
          label: 'goes with it',
          was: 'nothing',
          became: 'common salt, 12.5 g per litre (own experience: trial of May), drives it on',
        },
      ],
    })
    const { body } = await site.browser.json('/reckon?fibreId=flax&weight=1+kg&dyes.0.substanceId=weld&depth=medium')
    const line = body.recipe.lines.find(({ substanceId }: { substanceId: string }) => substanceId === 'common-salt')
    expect(line.amount).toBeCloseTo(12.5 * 20, 9)
  })

  test('may stand without a figure, and is then said to be not known', async () => {
    expect((await send(url, { ...salt, 'assistants.1.amount.value': '', why: 'to try' })).status).toBe(303)
    expect((await entryOf('weld')).assistants[1].amount).toBeNull()
    expect((await site.browser.get('/catalogue/weld')).text).toContain(
      'common salt: drives it on: not known: try a strip',
    )
  })

  test('is taken out by its tick, or by emptying its row', async () => {
    expect((await send(url, { 'assistants.0.out': 'yes', why: 'no chalk here' })).status).toBe(303)
    expect((await entryOf('weld')).assistants).toEqual([])
    expect((await changesOf('weld'))[0]?.fields[0]).toMatchObject({ label: 'goes with it', became: 'nothing' })
    await site.browser.post(url, await filled(url, { ...salt, why: 'again' }))
    const emptied = Object.fromEntries(
      Object.keys(await filled(url)).flatMap(name => (name.startsWith('assistants.') ? [[name, '']] : [])),
    )
    expect((await send(url, { ...emptied, why: 'none' })).status).toBe(303)
    expect((await entryOf('weld')).assistants).toEqual([])
  })

  test.each([
    ['no substance', { 'assistants.1.substanceId': '' }, 'assistants.1.substanceId'],
    ['a substance that is not offered', { 'assistants.1.substanceId': 'moon-dust' }, 'assistants.1.substanceId'],
    ['itself', { 'assistants.1.substanceId': 'weld' }, 'assistants.1.substanceId'],
    ['what is there already', { 'assistants.1.substanceId': 'chalk' }, 'assistants.1.substanceId'],
    ['no basis', { 'assistants.1.basis': '' }, 'assistants.1.basis'],
    ['words for a figure', { 'assistants.1.amount.value': 'plenty' }, 'assistants.1.amount.value'],
    ['a figure below nothing', { 'assistants.1.amount.value': '-1' }, 'assistants.1.amount.value'],
    ['a figure without a source', { 'assistants.1.amount.source': ' ' }, 'assistants.1.amount.source'],
    ['a figure of no kind', { 'assistants.1.amount.kind': '' }, 'assistants.1.amount.kind'],
    ['10,000 characters', { 'assistants.1.words': 'w'.repeat(10_000) }, 'assistants.1.words'],
    ['no reason', { why: '' }, 'why'],
  ])('with %s comes back at 422 with what was typed, and nothing is saved', async (_, wrong, field) => {
    const answer = await send(url, { ...salt, why: 'it came out even', ...wrong })
    expect(answer.status).toBe(422)
    expect(answer.text).toContain(`href="#${field}"`)
    expect(answer.text).toContain(`id="${field}"`)
    expect(answer.text).toContain('value="drives it on"'.slice(0, field.endsWith('words') ? 0 : 99))
    expect((await site.browser.json('/catalogue/weld')).body.version).toBe(1)
  })

  test('changed from two devices: the second is told', async () => {
    const first = await filled(url, { ...salt, why: 'one' })
    const second = await filled(url, { 'assistants.0.out': 'yes', why: 'two' })
    expect((await site.browser.post(url, first)).status).toBe(303)
    const answer = await site.browser.post(url, second)
    expect(answer.status).toBe(409)
    expect(answer.text).toContain('Begin again from what stands there now')
    expect((await entryOf('weld')).assistants).toHaveLength(2)
  })
})

describe('what an entry has or has not', () => {
  const label = '/catalogue/cochineal/edit/label'

  test('is given to it: a rate on its tin', async () => {
    const rate = {
      'label.has': 'yes',
      'label.container': 'jar',
      'label.containerHolds.value': '100',
      'label.containerHolds.kind': 'own experience',
      'label.containerHolds.source': 'the tin',
    }
    expect((await send(label, { ...rate, why: 'the new tin' })).status).toBe(303)
    expect((await entryOf('cochineal')).label).toEqual({
      container: 'jar',
      containerHolds: { value: 100, provenance: { kind: 'own experience', source: 'the tin' } },
      containersPerKg: null,
    })
    expect((await send(label, { 'label.has': 'no', why: 'no more' })).status).toBe(303)
    expect((await entryOf('cochineal')).label).toBeNull()
  })

  test('is asked about when it was filled in beside “no”', async () => {
    const answer = await send(label, { 'label.has': 'no', 'label.container': 'jar', why: 'the new tin' })
    expect(answer.status).toBe(422)
    expect(answer.text).toContain('choose “yes”')
    expect(answer.text).toContain('value="jar"')
  })

  test('a substance becomes a mordant that a recipe can choose', async () => {
    const dose = {
      'mordantDose.has': 'yes',
      'mordantDose.basis': '% owf',
      'mordantDose.amount.value': '8',
      'mordantDose.amount.kind': 'handbook',
      'mordantDose.amount.source': 'our own book',
      'mordantAssistants.0.substanceId': 'soda-ash',
      'mordantAssistants.0.basis': 'per gram',
    }
    expect((await send('/catalogue/chalk/edit/mordant', { ...dose, why: 'a trial' })).status).toBe(303)
    const lot = await takeInLot(site)
    const query = 'dyes.0.substanceId=weld&depth=medium&mordants.0.substanceId=chalk'
    const { recipe } = (await site.browser.json(`/lots/${lot}/recipe?${query}`)).body
    const line = recipe.lines.find(({ key }: { key: string }) => key === 'mordant-1:chalk')
    expect(line.amount).toBeCloseTo(80, 9)
  })

  test('a vat is changed as a whole: rows, window and dips', async () => {
    const url = '/catalogue/indigo-fructose-vat/edit/vat'
    const changed = {
      'vat.perGram.1.ratio.value': '3.5',
      'vat.highestC.value': '55',
      'vat.dips.value': '',
      'vat.perGram.2.substanceId': 'chalk',
    }
    expect((await send(url, { ...changed, why: 'colder shed' })).status).toBe(303)
    const { vat } = await entryOf('indigo-fructose-vat')
    expect(vat.perGram.map(({ ratio }: { ratio: { value: number } | null }) => ratio?.value)).toEqual([
      2,
      3.5,
      undefined,
    ])
    expect([vat.highestC.value, vat.dips]).toEqual([55, null])
    const odd = await send(url, { 'vat.lowestC.value': '70', why: 'a slip' })
    expect(odd.status).toBe(422)
    expect(odd.text).toContain('not below the lowest')
    expect(odd.text).toContain('value="70"')
  })

  test('a bath may be left overnight, or not', async () => {
    expect(
      (await send('/catalogue/madder-root/edit/bath', { 'bath.standsOvernight': 'yes', why: 'deeper' })).status,
    ).toBe(303)
    expect((await entryOf('madder-root')).bath.standsOvernight).toBe(true)
    const { 'bath.standsOvernight': _, ...rest } = await filled('/catalogue/madder-root/edit/bath', { why: 'no' })
    await site.browser.post('/catalogue/madder-root/edit/bath', rest)
    expect((await entryOf('madder-root')).bath.standsOvernight).toBe(false)
  })
})

describe('label and care', () => {
  const url = '/catalogue/vinegar/edit/hazard'
  const eyes = {
    'hazard.signalWord': 'Warning',
    'hazard.statements.0.code': 'H319',
    'hazard.statements.0.words': 'Causes serious eye irritation',
    'hazard.standing': 'harmonised',
    'hazard.provenance.kind': 'standard',
    'hazard.provenance.source': 'the sheet of 2026',
    care: 'Keep it shut.\n\n  Never near the vat. ',
  }

  test('are changed together, and the next recipe warns with them', async () => {
    expect((await send(url, { ...eyes, why: 'the new sheet' })).status).toBe(303)
    const { hazard, care } = await entryOf('vinegar')
    expect(hazard).toEqual({
      signalWord: 'Warning',
      statements: [{ code: 'H319', words: 'Causes serious eye irritation' }],
      standing: 'harmonised',
      provenance: { kind: 'standard', source: 'the sheet of 2026' },
    })
    expect(care).toEqual(['Keep it shut.', 'Never near the vat.'])
    expect((await changesOf('vinegar'))[0]?.fields.map(({ label }) => label)).toEqual([
      'signal word',
      'statements on its label',
      'who says so',
      'where it comes from',
      'usual care',
    ])
    const query =
      'fibreId=flax&weight=1+kg&dyes.0.substanceId=weld&depth=medium&extras.0.substanceId=vinegar&extras.0.amount=5'
    const { cautions } = (await site.browser.json(`/reckon?${query}`)).body.recipe
    expect(cautions).toContainEqual(expect.objectContaining({ signalWord: 'Warning', words: care }))
  })

  test.each([
    ['a statement without its words', { 'hazard.statements.0.words': '' }, 'hazard.statements.0.words'],
    ['another signal word', { 'hazard.signalWord': 'Beware' }, 'hazard.signalWord'],
    ['nobody who says so', { 'hazard.standing': '' }, 'hazard.standing'],
    ['no source', { 'hazard.provenance.source': '' }, 'hazard.provenance.source'],
    ['a sentence without end', { care: 'c'.repeat(301) }, 'care'],
  ])('are not changed with %s', async (_, wrong, field) => {
    const answer = await send(url, { ...eyes, why: 'the new sheet', ...wrong })
    expect(answer.status).toBe(422)
    expect(answer.text).toContain(`href="#${field}"`)
  })
})

describe('the words of an entry', () => {
  test('of a fibre are changed with its part and its Latin name', async () => {
    const changed = { latin: '', part: 'stem', words: 'Ours, dew-retted.', why: 'we split it' }
    expect((await send('/catalogue/flax/edit/words', changed)).status).toBe(303)
    expect(await entryOf('flax')).toMatchObject({ latin: null, part: 'stem', words: 'Ours, dew-retted.' })
    expect((await changesOf('flax'))[0]?.fields.map(({ label, became }) => `${label}: ${became}`)).toEqual([
      'Latin name: nothing',
      'part of the plant: stem',
      'what to know: Ours, dew-retted.',
    ])
  })

  test('that name a fibre anew let its lots be found by the new name', async () => {
    const lot = await takeInLot(site)
    expect((await send('/catalogue/flax/edit/words', { name: 'dew-retted line', why: 'we call it so' })).status).toBe(
      303,
    )
    const found = await sql<{ id: number }>`select rowid as id from lot_text where lot_text match 'retted'`.execute(
      site.db,
    )
    expect(found.rows).toEqual([{ id: lot }])
  })

  test('are not those of another entry, but for letters', async () => {
    const answer = await send('/catalogue/flax/edit/words', { name: 'HEMP', why: 'a slip' })
    expect(answer.status).toBe(422)
    expect(answer.text).toContain('already has “HEMP”')
  })

  test('of a dye that a lot here was promised leave its class alone; what it is measured in is never asked', async () => {
    await takeInLot(site)
    const answer = await send('/catalogue/weld/edit/words', { dyeClass: 'insect', why: 'a slip' })
    expect(answer.status).toBe(422)
    expect(answer.text).toContain('its class cannot change yet')
    expect((await send('/catalogue/madder-root/edit/words', { dyeClass: 'insect', why: 'a trial' })).status).toBe(303)
    expect(await filled('/catalogue/weld/edit/words')).not.toHaveProperty('unit')
    expect((await send('/catalogue/weld/edit/words', { unit: 'mL', why: 'a trick' })).status).toBe(303)
    expect((await entryOf('weld')).unit).toBe('g')
  })

  test('of a dyestuff need its class', async () => {
    const answer = await send('/catalogue/turmeric/edit/words', { dyeClass: '', why: 'a slip' })
    expect(answer.status).toBe(422)
    expect(answer.text).toContain('href="#dyeClass"')
  })
})

describe('a rule', () => {
  test('is changed in words, with its source, and the next recipe says so', async () => {
    const changed = {
      words: 'Only a ghost of blue.',
      severity: 'changes colour',
      'provenance.kind': 'own experience',
      'provenance.source': 'trial of May',
    }
    expect((await send('/catalogue/red-cedar-indigo/edit/words', { ...changed, why: 'it took a little' })).status).toBe(
      303,
    )
    const lot = await takeInLot(site, {
      fibreId: 'red-cedar-inner-bark',
      route: 'indigo',
      dyeId: 'indigo-fructose-vat',
    })
    const { recipe } = (await site.browser.json(`/lots/${lot}/recipe`)).body
    expect(recipe.findings[0]).toMatchObject({ severity: 'changes colour', words: 'Only a ghost of blue.' })
  })

  test('speaks of other fibres, dyes, mordants and conditions once they are ticked', async () => {
    const url = '/catalogue/red-cedar-indigo/edit/speaksOf'
    const form = await filled(url, { why: 'yellow too' })
    const box = Object.entries(form).find(([, value]) => value === 'red-cedar-inner-bark')
    expect(box?.[0]).toMatch(/^fibreIds\.\d+$/)
    const both = { ...form, 'fibreIds.0': 'yellow-cedar-inner-bark', 'conditions.3': 'split after dyeing' }
    expect((await site.browser.post(url, both)).status).toBe(303)
    expect(await entryOf('red-cedar-indigo')).toMatchObject({
      fibreIds: ['red-cedar-inner-bark', 'yellow-cedar-inner-bark'],
      dyeClasses: ['indigo'],
      conditions: ['split after dyeing'],
    })
    expect((await changesOf('red-cedar-indigo'))[0]?.fields).toContainEqual({
      label: 'for these fibres',
      was: 'red cedar inner bark',
      became: 'red cedar inner bark, yellow cedar inner bark',
    })
  })

  test('that would speak of everything, or of what is not there, is refused', async () => {
    const url = '/catalogue/red-cedar-indigo/edit/speaksOf'
    const nothing = await site.browser.post(url, { why: 'none', version: '1' })
    expect(nothing.status).toBe(422)
    expect(nothing.text).toContain('href="#fibreIds"')
    const strange = await site.browser.post(url, { why: 'none', version: '1', 'fibreIds.0': 'moon-dust' })
    expect(strange.status).toBe(422)
    expect(strange.text).toContain('Tick only what is offered')
  })
})

describe('a formula and a molar mass that do not agree', () => {
  const SALT = '/catalogue/soda-ash/edit/salt'
  const MASS = '/catalogue/soda-ash/edit?figure=molarMassGPerMol'
  // Soda crystals hold ten waters that soda ash has not: 286.138 g/mol against 105.988 (CIAAW/IUPAC 2021).
  const crystals = { formula: 'Na2CO3·10H2O', why: 'the tin says crystals' }
  const question = /comes to 286\.14 g\/mol by its atomic weights, and the molar mass says 105\.99 g\/mol/

  test('are asked about, and nothing is saved', async () => {
    const before = await entryOf('soda-ash')
    const page = await send(SALT, crystals)
    expect(page.status).toBe(422)
    expect(page.text).toMatch(question)
    expect(page.text).toContain('href="#bothStand"')
    expect(page.text).toContain('value="Na2CO3·10H2O"')
    expect(await entryOf('soda-ash')).toEqual(before)
  })

  test('stand when it is said that both do, with the reason in the history', async () => {
    expect((await send(SALT, { ...crystals, bothStand: 'yes' })).status).toBe(303)
    expect((await entryOf('soda-ash')).formula).toBe('Na2CO3·10H2O')
    expect((await changesOf('soda-ash'))[0]?.why).toBe('the tin says crystals')
    // What stands is not asked about again when something beside it is changed.
    expect((await send(SALT, { 'gramsPerTeaspoon.value': '', why: 'never weighed here' })).status).toBe(303)
  })

  test('are not asked about when both are corrected together', async () => {
    expect((await send(SALT, { ...crystals, 'molarMassGPerMol.value': '286.1' })).status).toBe(303)
  })

  test('are asked about when the molar mass alone is corrected', async () => {
    const page = await send(MASS, { value: '286.138', why: 'read off the wrong row' })
    expect(page.status).toBe(422)
    expect(page.text).toMatch(/comes to 105\.99 g\/mol .* the molar mass says 286\.14 g\/mol/)
    expect((await send(MASS, { value: '105.99', why: 'rounded' })).status).toBe(303)
    expect((await send(MASS, { notKnown: 'yes', why: 'no longer sure' })).status).toBe(303)
  })
})
