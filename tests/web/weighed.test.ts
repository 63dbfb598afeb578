import { beforeEach, describe, expect, test } from 'vitest'
import { testApp } from '../helper.js'
import { lotReady, threePots } from '../pots-kit.js'

let site: Awaited<ReturnType<typeof testApp>>
let lotId: number
const load = '/loads/1'

beforeEach(async () => {
  site = await testApp()
  const [pot] = await threePots(site.db, site.by)
  lotId = await lotReady(site.db, site.by)
  const ticks = Object.fromEntries([1, 2, 3, 4].map(n => [`bundles.${n}`, 'yes']))
  expect((await site.browser.post(`/lots/${lotId}/load`, { ...ticks, potId: pot })).status).toBe(303)
})

type Line = { n: number; substanceId: string; amount: number; unit: string; asWritten: string; weighed: unknown }
const dataOf = async () => (await site.browser.json(load)).body
const linesOf = async (): Promise<Line[]> => (await dataOf()).weighOut
const asWritten = async (): Promise<Record<string, string>> =>
  Object.fromEntries((await linesOf()).map(({ n, asWritten }) => [`weighed.${n}`, asWritten]))
const weigh = (fields: Record<string, string>) => site.browser.post(`${load}/weighed`, fields)
const usedOf = async (substanceId: string) =>
  (await site.browser.json(`/lots/${lotId}`)).body.used.find(
    (one: { substanceId: string }) => one.substanceId === substanceId,
  )
const nextStep = async () =>
  site.browser.post(`${load}/steps`, { version: (await dataOf()).load.version, early: 'yes' })

describe('weighing out', () => {
  test('is still to do until it is said, on the page of the load and of the lot', async () => {
    expect((await site.browser.get(load)).text).toContain('To weigh out for this load')
    const lot = (await site.browser.get(`/lots/${lotId}`)).text
    expect(lot).toContain('To weigh out:')
    expect(lot).not.toContain('Weighed out:')
  })

  test('as written takes one press, and each amount is the computed one to the last digit', async () => {
    const before = await linesOf()
    expect((await weigh(await asWritten())).status).toBe(303)
    const after = await linesOf()
    expect(after.map(({ weighed }) => weighed)).toMatchObject(before.map(({ amount }) => ({ amount, who: 'Wren' })))
    const page = (await site.browser.get(load)).text
    expect(page).toContain('Written down by Wren')
    expect(page).not.toContain('Weighed out as written')
    expect((await site.browser.get(`/lots/${lotId}`)).text).toContain('Weighed out:')
  })

  test('that had to wait on a phone stands as of when it was pressed, and undoes no later one', async () => {
    const laidAt = site.clock.at
    const later = (minutes: number) => new Date(Date.parse(laidAt) + minutes * 60_000).toISOString()
    site.clock.at = later(30)
    const less = async (amount: string, minutes: number) => {
      const [dye] = await linesOf()
      return weigh({ ...(await asWritten()), [`weighed.${dye?.n}`]: amount, pressedAt: later(minutes) })
    }
    expect((await less('300 mL', 10)).status).toBe(303)
    expect((await linesOf())[0]?.weighed).toMatchObject({ amount: 300, at: later(10) })
    const old = await less('310 mL', 5)
    expect(old.status).toBe(422)
    expect(old.text).toContain('pressed before what was weighed out was last written down')
    expect((await less('320 mL', 20)).status).toBe(303)
    expect((await linesOf())[0]?.weighed).toMatchObject({ amount: 320, at: later(20) })
  })

  test('less than computed is recorded, shows beside what was computed, and counts as really used', async () => {
    const [dye, ...others] = await linesOf()
    const less = { ...(await asWritten()), [`weighed.${dye?.n}`]: '300 mL' }
    for (const { n } of others) Object.assign(less, { [`weighed.${n}`]: '0' })
    expect((await weigh(less)).status).toBe(303)
    expect((await linesOf())[0]?.weighed).toMatchObject({ amount: 300 })
    expect((await site.browser.get(load)).text).toContain(`computed: ${dye?.asWritten}`)
    const { history } = (await site.browser.json(`/lots/${lotId}`)).body
    expect(history.at(-1)).toMatchObject({ what: 'weighed out' })
    expect(history.at(-1).words).toContain('300 mL instead of')
    await nextStep()
    // By definition: 300 mL over 0.6 kg of dry fibre.
    expect(await usedOf('all-purpose-bottled')).toMatchObject({ asComputed: false })
    expect((await usedOf('all-purpose-bottled')).perKg).toBeCloseTo(500, 9)
    for (const { substanceId } of others) expect((await usedOf(substanceId)).perKg).toBe(0)
  })

  test('never said, the computed share counts, and says so', async () => {
    await nextStep()
    expect(await usedOf('all-purpose-bottled')).toMatchObject({
      asComputed: true,
      from: `really used for lot ${lotId}, taken as computed`,
    })
    const lot = (await site.browser.get(`/lots/${lotId}`)).text
    expect(lot).toContain('What was weighed out was not written down; taken as computed:')
    expect(lot).toContain('<span class="quiet">taken as computed</span>')
    expect((await site.browser.get(load)).text).toContain('it counts as computed')
  })

  test('may be corrected, and the last word counts; the same again is told', async () => {
    const written = await asWritten()
    await weigh(written)
    const again = await weigh(await asWritten())
    expect(again.status).toBe(409)
    expect(again.text).toContain('This is written down already')
    const [dye] = await linesOf()
    expect((await weigh({ ...written, [`weighed.${dye?.n}`]: '310 mL' })).status).toBe(303)
    expect((await linesOf())[0]).toMatchObject({ weighed: { amount: 310 }, asWritten: '310 mL' })
  })

  test.each(['', 'a splash', 'x'.repeat(10_000)])(
    '%#: an amount that cannot be read comes back as typed',
    async typed => {
      const [dye] = await linesOf()
      const page = await weigh({ ...(await asWritten()), [`weighed.${dye?.n}`]: typed })
      expect(page.status).toBe(422)
      expect(page.text).toContain(`href="#weighed.${dye?.n}"`)
      expect(page.text).toContain(`value="${typed}"`)
      expect((await linesOf()).every(({ weighed }) => weighed === null)).toBe(true)
    },
  )

  test('sent without any amount is asked about, line by line', async () => {
    const page = await weigh({})
    expect(page.status).toBe(422)
    for (const { n } of await linesOf()) expect(page.text).toContain(`href="#weighed.${n}"`)
  })

  test('a load that was taken out again has nothing to weigh', async () => {
    await site.browser.post(`${load}/undo`, { version: 1 })
    expect((await weigh(await asWritten())).status).toBe(409)
    expect((await site.browser.get(load)).text).not.toContain('Weighed out as written')
  })
})
