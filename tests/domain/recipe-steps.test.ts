import { describe, expect, test } from 'vitest'
import type { Fibre, Substance } from '../../src/domain/catalogue.js'
import type { Recipe, RecipeJob, StepKey } from '../../src/domain/recipe.js'
import { reckon } from '../../src/domain/reckon.js'
import { habitOf, stage } from '../../src/domain/stage.js'
import { CARE } from '../../src/domain/step-cautions.js'
import {
  aCatalogue,
  aDye,
  aJob,
  aMordant,
  anAssistant,
  cotton,
  dyed,
  figure,
  mordanted,
  refusalOf,
} from './recipe-kit.js'

const habit = (minutes: number | null, temperatureC: number | null, standsOvernight = false) => ({
  minutes: minutes === null ? null : figure(minutes),
  temperatureC: temperatureC === null ? null : figure(temperatureC),
  standsOvernight,
})

const steps = (substances: Substance[], given: Partial<RecipeJob> = {}, fibre: Partial<Fibre> = {}): Recipe['steps'] =>
  reckon(aJob(given), { ...aCatalogue(...substances), fibres: [{ ...cotton, ...fibre }] }).steps

const step = (all: Recipe['steps'], key: StepKey) => {
  const found = all.find(one => one.key === key)
  if (found === undefined) throw new Error(`no step ${key}`)
  return found
}

describe('the order and shape of the steps', () => {
  test('soak, dye, rinse, dry; each with its place in the order', () => {
    const all = steps([aDye({ bath: habit(45, 80) })])
    expect(all.map(one => [one.index, one.key, one.place])).toEqual([
      [0, 'soak', 'soak tub'],
      [1, 'dye', 'pot'],
      [2, 'rinse', 'rinse'],
      [3, 'dry', 'drying line'],
    ])
  })

  test('the soak takes its length and warmth from the fibre, and the ties come off at its end only', () => {
    const all = steps([aDye({})], {}, { soakMinutes: figure(90), soakTemperatureC: figure(35) })
    expect(step(all, 'soak')).toMatchObject({
      title: 'Soak, and take the ties off',
      minutes: 90,
      atLeastMinutes: 90,
      atMostMinutes: null,
      temperatureC: 35,
      heat: false,
      hands: false,
      handsMinutes: 15,
      mayStandOvernight: true,
      tiesComeOff: true,
      bathKey: null,
      cautions: [],
    })
    expect(all.filter(one => one.tiesComeOff).map(one => one.key)).toEqual(['soak'])
    expect(step(all, 'soak').words).toContain('Count them onto the tie board.')
    expect(step(steps([aDye({})], { tiesUndyed: true }), 'soak').words).toContain('They stay undyed')
    expect(step(steps([aDye({})], {}, { soakMinutes: null }), 'soak').minutes).toBeNull()
  })

  test('the dye step', () => {
    expect(step(steps([aDye({ bath: habit(45, 80) })]), 'dye')).toMatchObject({
      title: 'Dye',
      minutes: 45,
      atLeastMinutes: 45,
      atMostMinutes: null,
      temperatureC: 80,
      heat: true,
      hands: false,
      handsMinutes: 20,
      mayStandOvernight: false,
      tiesComeOff: false,
      bathKey: 'dye',
    })
    const bare = step(steps([aDye({ bath: habit(null, null) })]), 'dye')
    expect(bare).toMatchObject({ minutes: null, temperatureC: null, heat: false })
    expect(bare.words).toContain('Temperature not known: try a strip. Time not known: try a strip.')
    expect(step(steps([aDye({ bath: habit(45, 80) })]), 'dye').words).not.toContain('not known')
  })

  test('is never hotter than the fibre bears', () => {
    const at = (hottest: number | null) =>
      step(steps([aDye({ bath: habit(45, 80) })], {}, { hottestC: hottest === null ? null : figure(hottest) }), 'dye')
        .temperatureC
    expect(at(60)).toBe(60)
    expect(at(95)).toBe(80)
    expect(at(null)).toBe(80)
    const open = step(steps([aDye({ bath: habit(45, null) })], {}, { hottestC: figure(60) }), 'dye')
    expect(open.temperatureC).toBeNull()
  })

  test('several dyes in a bath: the longest time and the lowest temperature', () => {
    const long = { bath: habit(90, 70) }
    const hot = { bath: habit(30, 95, true) }
    const open = { bath: habit(null, null) }
    expect(habitOf([long, hot, open])).toEqual({ minutes: 90, temperatureC: 70, standsOvernight: true })
    expect(habitOf([open])).toEqual({ minutes: null, temperatureC: null, standsOvernight: false })
    const all = steps([aDye({ ...long }), aDye({ id: 'other', ...hot })], { dyes: [dyed('dye'), dyed('other')] })
    expect(step(all, 'dye')).toMatchObject({ minutes: 90, temperatureC: 70, mayStandOvernight: true })
  })

  test('hand work is never longer than the step, and above hand-warm the burner is on', () => {
    const head = { key: 'dye', title: '', words: '', place: 'pot', handsMinutes: 20 } as const
    expect(stage({ ...head, minutes: 5 }).handsMinutes).toBe(5)
    expect(stage({ ...head, minutes: 50 }).handsMinutes).toBe(20)
    expect(stage({ ...head, minutes: null }).handsMinutes).toBe(20)
    expect(stage({ ...head, temperatureC: 40 }).heat).toBe(false)
    expect(stage({ ...head, temperatureC: 41 }).heat).toBe(true)
    expect(stage({ ...head, heat: true }).heat).toBe(true)
    expect(stage(head).heat).toBe(false)
  })
})

describe('standing overnight', () => {
  const synthetic = aDye({ dyeClass: 'direct', bath: habit(60, 90) })
  const powder = { route: 'powder' } as const

  test('comes when the fibre needs longer than the dye itself, on synthetic routes', () => {
    const all = steps([synthetic], powder, { dyeMinutes: figure(720) })
    expect(all.map(one => one.key)).toEqual(['soak', 'dye', 'stand', 'rinse', 'dry'])
    expect(step(all, 'stand')).toMatchObject({
      minutes: 720,
      atLeastMinutes: 660,
      atMostMinutes: 1440,
      temperatureC: null,
      heat: false,
      hands: false,
      handsMinutes: 5,
      place: 'pot',
      mayStandOvernight: true,
      bathKey: 'dye',
    })
    expect(step(steps([synthetic], powder, { dyeMinutes: figure(1000) }), 'stand')).toMatchObject({
      minutes: 940,
      atLeastMinutes: 940,
      atMostMinutes: 1440,
    })
    expect(step(steps([synthetic], powder, { dyeMinutes: figure(3000) }), 'stand')).toMatchObject({
      minutes: 2940,
      atMostMinutes: 2940,
    })
  })

  test('on the label route as on the powder route', () => {
    const bottle = aDye({ dyeClass: 'all-purpose', bath: habit(60, 90) })
    const all = steps([bottle], { route: 'label', dyes: [dyed('dye', 5)] }, { dyeMinutes: figure(720) })
    expect(step(all, 'stand')).toMatchObject({ title: 'Leave it in the bath overnight', atLeastMinutes: 660 })
  })

  test('not when the dye is long enough, nor on the plant route', () => {
    expect(steps([synthetic], powder, { dyeMinutes: figure(60) }).map(one => one.key)).not.toContain('stand')
    expect(steps([synthetic], powder).map(one => one.key)).not.toContain('stand')
    expect(steps([aDye({ bath: habit(60, 90) })], {}, { dyeMinutes: figure(720) }).map(one => one.key)).not.toContain(
      'stand',
    )
    const open = steps([aDye({ dyeClass: 'direct', bath: habit(null, 90) })], powder, { dyeMinutes: figure(720) })
    expect(step(open, 'stand').atLeastMinutes).toBe(720)
  })

  test('comes when the dye itself asks for it', () => {
    const all = steps([aDye({ bath: habit(60, 90, true) })])
    expect(step(all, 'stand')).toMatchObject({ minutes: 720, atLeastMinutes: 480, atMostMinutes: 1440 })
  })
})

describe('mordant baths', () => {
  const alum = aMordant({ name: 'alum', bath: habit(60, 88, true) })
  const tannin = aMordant({ id: 'tannin', name: 'tannin', bath: habit(180, 60) })
  const iron = aMordant({ id: 'iron', name: 'iron', metal: 'iron', bath: habit(30, 60) })

  test('each bath is a step, named by what is in it', () => {
    const all = steps([aDye({}), alum, tannin], {
      mordants: [mordanted('alum', null, 2), mordanted('tannin', null, 1)],
    })
    expect(all.slice(1, 3).map(one => [one.key, one.title, one.minutes, one.temperatureC, one.bathKey])).toEqual([
      ['mordant', 'Mordant with tannin', 180, 60, 'mordant-1'],
      ['mordant', 'Mordant with alum', 60, 88, 'mordant-2'],
    ])
    expect(all[2]).toMatchObject({
      mayStandOvernight: true,
      heat: true,
      place: 'pot',
      handsMinutes: 20,
      atLeastMinutes: 60,
    })
    const shared = steps([aDye({}), alum, tannin], { mordants: [mordanted('alum'), mordanted('tannin')] })
    expect(shared[1]).toMatchObject({ title: 'Mordant with alum and tannin', minutes: 180, temperatureC: 60 })
  })

  test('iron after the dye saddens; another mordant after the dye is a mordant step', () => {
    const onceDyed = (substanceId: string) => ({ substanceId, when: 'after dye', bath: 1, owfPercent: null }) as const
    const sad = steps([aDye({}), iron], { mordants: [onceDyed('iron')] })
    expect(sad.map(one => one.key)).toEqual(['soak', 'dye', 'iron', 'rinse', 'dry'])
    expect(step(sad, 'iron')).toMatchObject({ title: 'Sadden with iron', bathKey: 'after-1', minutes: 30 })
    expect(step(sad, 'iron').words).toContain('it darkens with heat')
    expect(step(sad, 'rinse').words).toContain('iron and acid left in')
    const fixed = steps([aDye({}), alum], { mordants: [onceDyed('alum')] })
    expect(fixed.map(one => one.key)).toEqual(['soak', 'dye', 'mordant', 'rinse', 'dry'])
    expect(step(fixed, 'mordant').words).toContain('Drain, do not wring')
    expect(step(fixed, 'rinse').words).not.toContain('iron')
  })

  test('a mordant in the dye bath adds no step', () => {
    const within = { substanceId: 'alum', when: 'in the dye bath', bath: 1, owfPercent: null } as const
    expect(steps([aDye({}), alum], { mordants: [within] }).map(one => one.key)).toEqual(['soak', 'dye', 'rinse', 'dry'])
  })
})

describe('iron alone', () => {
  test('is a bath of its own name', () => {
    const iron = aDye({ dyeClass: 'iron', kind: 'mordant', metal: 'iron', bath: habit(30, 60) })
    const all = steps([iron], { route: 'iron' })
    expect(all.map(one => one.key)).toEqual(['soak', 'iron', 'rinse', 'dry'])
    expect(step(all, 'iron')).toMatchObject({
      title: 'Turn in the iron bath',
      minutes: 30,
      temperatureC: 60,
      bathKey: 'dye',
    })
  })
})

describe('rinse and dry', () => {
  test('the rinse runs until clear and needs hands; its words follow the purpose', () => {
    const rinse = (given: Partial<RecipeJob>) => step(steps([aDye({})], given), 'rinse')
    expect(rinse({})).toMatchObject({
      title: 'Rinse until the water runs clear',
      minutes: null,
      atLeastMinutes: null,
      hands: true,
      handsMinutes: 45,
      heat: false,
      mayStandOvernight: false,
      cautions: [CARE.gloves],
    })
    expect(rinse({}).words).toBe('Rinse again and again in fresh water, until it runs clear or next to it.')
    expect(rinse({ purposes: ['class use'] }).words).toMatch(
      /next to it\. What still runs stains the hands of the class\.$/,
    )
    expect(rinse({ purposes: ['wet use'] }).words).toMatch(/next to it\. What still runs bleeds into the pattern/)
  })

  test('drying takes its hours from the fibre', () => {
    expect(step(steps([aDye({})], {}, { dryingHours: figure(24) }), 'dry')).toMatchObject({
      title: "Dry in the bundle's shape",
      minutes: 1440,
      atLeastMinutes: null,
      handsMinutes: 20,
      mayStandOvernight: true,
      cautions: [],
    })
    expect(step(steps([aDye({})]), 'dry').minutes).toBeNull()
  })
})

describe('the indigo vat', () => {
  const vat = {
    perGram: [{ substanceId: 'salt', ratio: figure(2), words: 'lime' }],
    stockLPerG: null,
    lowestPh: figure(10),
    highestPh: figure(11.5),
    lowestC: figure(20),
    highestC: figure(30),
    dips: figure(3),
    dipMinutes: figure(20),
    airingMinutes: figure(15),
  }
  const indigo = aDye({ dyeClass: 'indigo', vat, bath: habit(60, 50) })
  const job = { route: 'indigo' } as const
  const lime = anAssistant({ kind: 'alkali' })
  const dipsOf = (given: Partial<RecipeJob>, changed: Partial<typeof vat> = {}) =>
    steps([{ ...indigo, vat: { ...vat, ...changed } }, lime], { ...job, ...given }).filter(one => one.key === 'dip')
      .length

  test('stock, then dips and airings in turn', () => {
    const all = steps([indigo, lime], job)
    expect(all.map(one => one.key)).toEqual(['soak', 'vat', 'dip', 'air', 'dip', 'air', 'dip', 'air', 'rinse', 'dry'])
    expect(step(all, 'vat')).toMatchObject({
      title: 'Make the stock and the vat',
      minutes: 60,
      atLeastMinutes: 60,
      temperatureC: 50,
      heat: true,
      handsMinutes: 30,
      place: 'pot',
      mayStandOvernight: true,
      bathKey: 'stock',
    })
    expect(step(all, 'vat').words).toContain('Keep the vat: 20 to 30 °C. Its pH: 10 to 11.5.')
    expect(all[4]).toMatchObject({
      title: 'Dip 2',
      minutes: 20,
      atLeastMinutes: 20,
      temperatureC: 25,
      handsMinutes: 5,
      bathKey: 'vat',
      place: 'pot',
      heat: false,
    })
    expect(all[5]).toMatchObject({
      title: 'Air 2',
      minutes: 15,
      atLeastMinutes: 15,
      handsMinutes: 2,
      place: 'drying line',
      bathKey: null,
    })
  })

  test('the number of dips follows the depth, unless it is typed', () => {
    expect(dipsOf({})).toBe(3)
    expect(dipsOf({ depth: 2 })).toBe(6)
    expect(dipsOf({ depth: 0.05 })).toBe(1)
    expect(dipsOf({ depth: 0.5 })).toBe(2)
    expect(dipsOf({ depth: 4 }, { dips: figure(20) })).toBe(20)
    expect(dipsOf({ depth: 2, dips: 1 })).toBe(1)
  })

  test('what is not known of the vat is said or refused', () => {
    const open = { ...vat, lowestC: null, highestPh: null }
    const all = steps([{ ...indigo, vat: open }, lime], job)
    expect(step(all, 'vat').words).toContain('Keep the vat: not known: try a strip. Its pH: not known: try a strip.')
    expect(step(all, 'dip').temperatureC).toBeNull()
    expect(step(steps([{ ...indigo, vat: { ...vat, highestC: null } }, lime], job), 'dip').temperatureC).toBeNull()
    const noDips = { ...indigo, vat: { ...vat, dips: null } }
    expect(refusalOf(aJob(job), aCatalogue(noDips, lime))).toBe(
      'wrong dips: How many dips is not known: try a strip, then type the number.',
    )
    expect(refusalOf(aJob(job), aCatalogue({ ...indigo, vat: null }, lime))).toBe(
      'wrong dyes.0.substanceId: the dye has no vat in this catalogue: choose an indigo that says how its vat is made.',
    )
  })

  test('dips carry the cautions of the stock that is in the vat', () => {
    const all = steps([indigo, lime], job)
    expect(step(all, 'dip').cautions).toContain(CARE.alkali)
    expect(step(all, 'air').cautions).toEqual([])
    expect(step(all, 'soak').cautions).toEqual([])
    expect(step(all, 'rinse').cautions).toEqual([CARE.gloves])
    const iron = aMordant({ id: 'iron', name: 'iron', metal: 'iron' })
    const onIron = steps([indigo, lime, iron], { ...job, mordants: [mordanted('iron')] })
    expect(step(onIron, 'dip').cautions).not.toContain(CARE.iron)
    expect(step(onIron, 'vat').cautions).not.toContain(CARE.iron)
  })
})

describe('words', () => {
  test('every step says in words what to do', () => {
    const vat = { perGram: [], stockLPerG: null, lowestPh: null, highestPh: null, lowestC: null, highestC: null }
    const indigo = { vat: { ...vat, dips: figure(1), dipMinutes: figure(20), airingMinutes: figure(20) } }
    const all = [
      ...steps([aDye({ bath: habit(60, 90, true) }), aMordant({})], { mordants: [mordanted('alum')] }),
      ...steps([aDye({ dyeClass: 'indigo', ...indigo })], { route: 'indigo' }),
    ]
    expect(new Set(all.map(one => one.key))).toEqual(
      new Set(['soak', 'mordant', 'dye', 'stand', 'vat', 'dip', 'air', 'rinse', 'dry']),
    )
    for (const one of all) {
      expect(one.title, one.key).toMatch(/^[A-Z]/)
      expect(one.words, one.key).toMatch(/^[A-Z].*\.$/)
      expect(one.words, one.key).not.toMatch(/undefined|null| {2}/)
    }
  })

  test('a known time and temperature leave the words as they are', () => {
    expect(step(steps([aDye({ bath: habit(45, 80) })]), 'dye').words).toMatch(/keep it from felting together\.$/)
  })

  test('iron beside another mordant in one bath makes it an iron bath', () => {
    const both = [aDye({}), aMordant({}), aMordant({ id: 'iron', name: 'iron', metal: 'iron' })]
    const all = steps(both, { mordants: [mordanted('alum'), mordanted('iron')] })
    expect(step(all, 'iron').title).toBe('Sadden with alum and iron')
  })
})

describe('care at each step', () => {
  test('follows what is in the bath', () => {
    const cautions = (dye: Partial<Substance>, given: Partial<RecipeJob> = {}) =>
      step(steps([aDye({ form: 'raw', bath: habit(60, 30), ...dye })], given), 'dye').cautions
    expect(cautions({})).toEqual([CARE.gloves, CARE.foodPots, CARE.lifting])
    expect(cautions({ form: 'powder' })).toEqual([CARE.gloves, CARE.foodPots, CARE.dust, CARE.lifting])
    expect(cautions({ kind: 'alkali' })).toEqual([CARE.gloves, CARE.foodPots, CARE.alkali, CARE.lifting])
    expect(cautions({ kind: 'reducing agent' })).toEqual([CARE.gloves, CARE.foodPots, CARE.reducer, CARE.lifting])
    expect(cautions({ metal: 'iron' })).toEqual([CARE.gloves, CARE.foodPots, CARE.iron, CARE.ironPot, CARE.lifting])
    expect(cautions({ metal: 'copper' })).toEqual([CARE.gloves, CARE.foodPots, CARE.lifting])
    expect(cautions({ bath: habit(60, 80) })).toEqual([CARE.gloves, CARE.foodPots, CARE.air, CARE.hot, CARE.lifting])
    expect(cautions({}, { purposes: ['class use'] })).toEqual([CARE.gloves, CARE.foodPots, CARE.lifting, CARE.children])
    expect(cautions({}, { purposes: ['wet use'] })).toEqual([CARE.gloves, CARE.foodPots, CARE.lifting])
  })

  test('is about the bath of that very step', () => {
    const iron = aMordant({ id: 'iron', name: 'iron', metal: 'iron' })
    const all = steps([aDye({}), iron], {
      mordants: [{ substanceId: 'iron', when: 'after dye', bath: 1, owfPercent: 1 }],
      purposes: ['class use'],
    })
    expect(step(all, 'dye').cautions).not.toContain(CARE.iron)
    expect(step(all, 'iron').cautions).toContain(CARE.iron)
    expect(step(all, 'soak').cautions).toEqual([])
    expect(step(all, 'rinse').cautions).toEqual([CARE.gloves])
  })
})
