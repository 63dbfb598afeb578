import fc from 'fast-check'
import type { CompiledQuery } from 'kysely'
import { beforeEach, describe, expect, test } from 'vitest'
import type { Substance } from '../../src/domain/catalogue.js'
import { firstCatalogue } from '../../src/domain/first-catalogue/index.js'
import { changeEntry, fillCatalogue, findEntry } from '../../src/store/catalogue.js'
import { type By, kyselyOn } from '../../src/store/db.js'
import { historyOfLot } from '../../src/store/history.js'
import {
  beginNextStep,
  findLoad,
  type Load,
  layLoad,
  loadsAtWork,
  noteAddition,
  noteRinse,
  noteWords,
  reallyUsed,
  undoLast,
} from '../../src/store/loads.js'
import { findLot } from '../../src/store/lots.js'
import { changePot, findPot } from '../../src/store/pots.js'
import { recipesOfLot } from '../../src/store/recipes.js'
import { addWorker } from '../../src/store/sign-in.js'
import { addWorkshop } from '../../src/store/workshop.js'
import { openMemory } from '../memory.js'
import { act, jobOf, keep, lotReady, potOf, takeInLot, threePots } from '../pots-kit.js'

const START = '2026-03-02T09:00:00.000Z'
const later = (minutes: number): string => new Date(Date.parse(START) + minutes * 60_000).toISOString()

async function workshop() {
  const opened = openMemory()
  const { db } = opened
  await fillCatalogue(db, firstCatalogue, START)
  await addWorkshop(db, {
    name: 'The Weir Shed',
    weightUnit: 'metric',
    volumeUnit: 'metric',
    timeZone: 'Europe/Lisbon',
    dryBasis: 'conditioned',
    scaleStepG: 1,
    slipPaper: 'A5',
    slipWords: '',
  })
  const workerId = await addWorker(db, 'Wren', 'not a hash', START)
  const by = (minutes = 0): By => ({ workerId, at: later(minutes) })
  return { ...opened, by, pots: await threePots(db, by()) }
}

let shed: Awaited<ReturnType<typeof workshop>>
beforeEach(async () => {
  shed = await workshop()
})

const bundlesOf = async (lotId: number) => (await findLot(shed.db, lotId))?.bundles ?? []
const lay = async (lotId: number, potId: number, ns?: number[], minutes = 0): Promise<number> => {
  const bundles = await bundlesOf(lotId)
  const bundleIds = bundles.filter(({ n }) => ns === undefined || ns.includes(n)).map(({ id }) => id)
  return act(shed.db, trx => layLoad(trx, shed.by(minutes), { potId, bundleIds }))
}
const loadOf = async (id: number): Promise<Load> => {
  const load = await findLoad(shed.db, id)
  if (!load) throw new Error(`no load ${id}`)
  return load
}
const next = async (id: number, minutes: number, more: { at?: string; why?: string } = {}): Promise<string> => {
  const { version } = await loadOf(id)
  return act(shed.db, trx => beginNextStep(trx, shed.by(minutes), { loadId: id, version, ...more }))
}
const undo = async (id: number, minutes = 500): Promise<string> => {
  const { version } = await loadOf(id)
  return act(shed.db, trx => undoLast(trx, shed.by(minutes), { loadId: id, version }))
}
const add = (loadId: number, amount: number, minutes = 60, at?: string, why?: string) =>
  act(shed.db, trx =>
    noteAddition(trx, shed.by(minutes), {
      loadId,
      substanceId: 'all-purpose-bottled',
      amount,
      unit: 'mL',
      typed: `${amount} mL`,
      at,
      why,
    }),
  )
const rinse = (loadId: number, water: 'dark' | 'coloured' | 'tinted' | 'clear', minutes: number) =>
  act(shed.db, trx => noteRinse(trx, shed.by(minutes), { loadId, water }))

/** Presses on until this place is reached. */
const carryTo = async (id: number, place: string): Promise<void> => {
  for (let minutes = 1; minutes < 20; minutes += 1) {
    const load = await loadOf(id)
    if (load.bundles[0]?.place === place) return
    await next(id, minutes)
  }
  throw new Error(`load ${id} never reached the ${place}`)
}

describe('laying a load', () => {
  test('moves the bundles to the first step, with a move for each, and tells the lot', async () => {
    const lotId = await lotReady(shed.db, shed.by())
    const id = await lay(lotId, shed.pots[0])
    const load = await loadOf(id)
    expect(load).toMatchObject({ potName: 'Pot 1', dryWeightG: 600, stepN: 1, stepSince: START, version: 1 })
    expect(load.lots).toMatchObject([{ lotId, clientName: 'Ilse Marram', dryWeightG: 600, bundleNs: [1, 2, 3, 4] }])
    expect(load.bundles.map(({ n, place, tiesOn, inLoad }) => ({ n, place, tiesOn, inLoad }))).toEqual(
      [1, 2, 3, 4].map(n => ({ n, place: 'soak tub', tiesOn: 3, inLoad: true })),
    )
    const moves = shed.raw.prepare('select from_place, to_place, load_id from move where load_id is not null').all()
    expect(moves).toEqual([1, 2, 3, 4].map(() => ({ from_place: 'arrivals shelf', to_place: 'soak tub', load_id: id })))
    expect((await historyOfLot(shed.db, lotId)).map(({ what }) => what)).toEqual([
      'taken in',
      'recipe kept',
      'begun: soaking, for Pot 1',
    ])
  })

  test("keeps its own share of the recipe, a part of the lot's", async () => {
    const lotId = await lotReady(shed.db, shed.by())
    await lay(lotId, shed.pots[0], [1, 2])
    const [whole, share] = await recipesOfLot(shed.db, lotId)
    expect(share).toMatchObject({ partOf: whole?.id, recipe: { job: { dryWeightG: 300 } } })
    expect(share?.recipe.lines[0]?.amount).toBeCloseTo((whole?.recipe.lines[0]?.amount ?? 0) / 2, 9)
  })

  test('what is weighed out for three loads adds up to the whole, on the scale', async () => {
    const lotId = await lotReady(
      shed.db,
      shed.by(),
      { bundles: 7, dryWeightG: 101 },
      {
        extras: [{ substanceId: 'common-salt', basis: '% owf', amount: 13.7 }],
      },
    )
    const loads = [
      await lay(lotId, shed.pots[0], [1, 2, 3]),
      await lay(lotId, shed.pots[1], [4, 5]),
      await lay(lotId, shed.pots[2], [6, 7]),
    ]
    const amounts = await Promise.all(
      loads.map(
        async id => (await loadOf(id)).lines.find(({ substanceId }) => substanceId === 'common-salt')?.amount ?? 0,
      ),
    )
    // 707 g of fibre at 13.7 % is 96.859 g of salt: 97 g on a scale of 1 g.
    expect(amounts.reduce((sum, amount) => sum + amount, 0)).toBe(97)
    for (const amount of amounts) expect(Number.isInteger(amount)).toBe(true)
  })

  test('what the scale is too coarse for is not rounded to nothing', async () => {
    const lotId = await lotReady(
      shed.db,
      shed.by(),
      { bundles: 1, dryWeightG: 40 },
      {
        extras: [{ substanceId: 'common-salt', basis: '% owf', amount: 1 }],
      },
    )
    const load = await loadOf(await lay(lotId, shed.pots[0]))
    expect(load.lines.find(({ substanceId }) => substanceId === 'common-salt')?.amount).toBe(0.4)
  })

  test('needs a kept recipe', async () => {
    const lotId = await takeInLot(shed.db, shed.by())
    await expect(lay(lotId, shed.pots[0])).rejects.toThrow('has no recipe yet')
  })

  test('refuses what is too much, saying by how much, and leaves everything where it was', async () => {
    const lotId = await lotReady(shed.db, shed.by(), { bundles: 6 })
    // 900 g of fibre; 15 L at 20 L for each kg hold 750 g.
    await expect(lay(lotId, shed.pots[0])).rejects.toThrow(
      'Pot 1 holds 750 g at a liquor ratio of 1 : 20; this load is 150 g over.',
    )
    expect((await bundlesOf(lotId)).every(({ place }) => place === 'arrivals shelf')).toBe(true)
    expect(await recipesOfLot(shed.db, lotId)).toHaveLength(1)
  })

  test('refuses a pot in use, a pot out of use, and a bundle that is under way', async () => {
    const [one, two] = [await lotReady(shed.db, shed.by()), await lotReady(shed.db, shed.by(), { dryWeightG: 80 })]
    const id = await lay(one, shed.pots[0], [1])
    await expect(lay(two, shed.pots[0])).rejects.toThrow(`Pot 1 is in use by load ${id}`)
    await expect(lay(one, shed.pots[1], [1, 2])).rejects.toThrow('Already under way: bundle 1 (soak tub)')
    const version = (await findPot(shed.db, shed.pots[1]))?.version ?? 0
    const away = { ...potOf('Pot 2', 9), outOfUse: true }
    await act(shed.db, trx => changePot(trx, shed.by(), shed.pots[1], version, away))
    await expect(lay(two, shed.pots[1])).rejects.toThrow('Pot 2 is out of use')
  })

  test('a pot in use does not go out of use', async () => {
    await lay(await lotReady(shed.db, shed.by()), shed.pots[0])
    const away = { ...potOf('Pot 1', 15), outOfUse: true }
    await expect(act(shed.db, trx => changePot(trx, shed.by(), shed.pots[0], 1, away))).rejects.toThrow(
      'empty it first',
    )
  })

  test('asks to look again when the catalogue was corrected since the recipe was kept', async () => {
    const lotId = await lotReady(shed.db, shed.by())
    const row = await findEntry(shed.db, 'all-purpose-bottled')
    const entry = structuredClone(row?.entry) as Substance
    if (entry.label?.containersPerKg) entry.label.containersPerKg.value *= 1.5
    await act(shed.db, trx => changeEntry(trx, shed.by(), entry.id, row?.version ?? 0, entry, 'the tin says more'))
    await expect(lay(lotId, shed.pots[0])).rejects.toThrow(`The catalogue was changed since the recipe of lot ${lotId}`)
    await keep(shed.db, shed.by(), lotId, jobOf(600))
    await expect(lay(lotId, shed.pots[0])).resolves.toBeGreaterThan(0)
  })
})

describe('step by step', () => {
  test('from the soak to the ready shelf, the ties on the board and back again, the pot freed on the way', async () => {
    const lotId = await lotReady(shed.db, shed.by())
    const id = await lay(lotId, shed.pots[0])
    await next(id, 60)
    const inPot = await loadOf(id)
    expect(inPot.bundles.map(({ place, tiesOn, tiesOff }) => [place, tiesOn, tiesOff])).toEqual(
      [1, 2, 3, 4].map(() => ['pot', 0, 3]),
    )
    await carryTo(id, 'rinse')
    expect((await findPot(shed.db, shed.pots[0]))?.loadId).toBeNull()
    await carryTo(id, 'ready shelf')
    const done = await loadOf(id)
    expect(done.doneAt).not.toBeNull()
    expect(done.bundles.every(({ inLoad, tiesOn, tiesOff }) => !inLoad && tiesOn === 3 && tiesOff === 0)).toBe(true)
    await expect(next(id, 30)).rejects.toThrow('This load is done')
  })

  test('a second press that saw the load as it was is refused, saying what happened', async () => {
    const id = await lay(await lotReady(shed.db, shed.by()), shed.pots[0])
    const press = () => act(shed.db, trx => beginNextStep(trx, shed.by(60), { loadId: id, version: 1 }))
    await press()
    await expect(press()).rejects.toThrow('Wren wrote down: Dye begun')
    expect((await loadOf(id)).stepN).toBe(2)
  })

  test('may be told later than it happened, but not before the step began nor as still to come', async () => {
    const id = await lay(await lotReady(shed.db, shed.by()), shed.pots[0])
    await expect(next(id, 60, { at: later(-1) })).rejects.toThrow('before this step began')
    await expect(next(id, 60, { at: later(61) })).rejects.toThrow('still to come')
    await next(id, 60, { at: later(45) })
    const load = await loadOf(id)
    expect(load.stepSince).toBe(later(45))
    expect(load.log.at(-1)).toMatchObject({ at: later(45), enteredAt: later(60), stepN: 2 })
  })

  test('hanging up what still runs with colour asks why, and keeps the answer', async () => {
    const id = await lay(await lotReady(shed.db, shed.by()), shed.pots[0])
    await carryTo(id, 'rinse')
    await rinse(id, 'dark', 20)
    await rinse(id, 'coloured', 30)
    await expect(next(id, 40)).rejects.toThrow('The last rinse ran coloured')
    await expect(next(id, 40, { why: '   ' })).rejects.toThrow('say why')
    await next(id, 40, { why: 'the client wants it to weather' })
    expect((await loadOf(id)).log.at(-1)).toMatchObject({ words: 'the client wants it to weather' })
  })

  test('after a clear rinse nothing is asked; the latest by the clock counts', async () => {
    const id = await lay(await lotReady(shed.db, shed.by()), shed.pots[0])
    await carryTo(id, 'rinse')
    await rinse(id, 'clear', 30)
    await act(shed.db, trx => noteRinse(trx, shed.by(35), { loadId: id, water: 'dark', at: later(20) }))
    await expect(next(id, 40)).resolves.toBe('Hang up to dry')
  })

  test('a rinse is of a load that is or was in the rinse at the time, and nothing goes into one that is done', async () => {
    const id = await lay(await lotReady(shed.db, shed.by()), shed.pots[0])
    await carryTo(id, 'pot')
    await next(id, 20)
    await expect(rinse(id, 'dark', 25)).rejects.toThrow('not in the rinse yet: lift it into the rinse first')
    await next(id, 100)
    await rinse(id, 'dark', 110)
    await next(id, 120, { why: 'so asked' })
    await expect(rinse(id, 'clear', 130)).rejects.toThrow('out of the rinse: say when it was rinsed')
    const told = (at: number) =>
      act(shed.db, trx => noteRinse(trx, shed.by(300), { loadId: id, water: 'clear', at: later(at) }))
    await expect(told(50)).rejects.toThrow('out of the rinse')
    await told(115)
    await add(id, 5, 130)
    await next(id, 200)
    await expect(add(id, 5, 210)).rejects.toThrow('done by then')
    await expect(rinse(id, 'clear', 210)).rejects.toThrow('out of the rinse')
    await told(120)
    await add(id, 5, 300, later(130))
    await expect(add(id, 5, 300, later(250))).rejects.toThrow('done by then')
  })

  test('a second bath starts from the ready shelf, with the ties where they are', async () => {
    const lotId = await lotReady(shed.db, shed.by())
    const first = await lay(lotId, shed.pots[0])
    await carryTo(first, 'ready shelf')
    const second = await lay(lotId, shed.pots[0], undefined, 100)
    await next(second, 110)
    await undo(second)
    const load = await loadOf(second)
    expect(load.bundles.every(({ tiesOn, tiesOff }) => tiesOn === 3 && tiesOff === 0)).toBe(true)
    await undo(second)
    expect((await bundlesOf(lotId)).every(({ place }) => place === 'ready shelf')).toBe(true)
  })
})

describe('undoing', () => {
  test('a step puts the bundles, the ties, the time and the pot back', async () => {
    const id = await lay(await lotReady(shed.db, shed.by()), shed.pots[0])
    const before = await loadOf(id)
    await next(id, 60)
    expect(await undo(id, 61)).toBe('Dye begun')
    const after = await loadOf(id)
    expect({ ...after, log: [], version: 0 }).toEqual({ ...before, log: [], version: 0 })
    expect(after.log.at(-1)).toMatchObject({ kind: 'step', stepN: 2, undoneAt: later(61) })
  })

  test('the first step takes the load out again and empties the pot', async () => {
    const lotId = await lotReady(shed.db, shed.by())
    const id = await lay(lotId, shed.pots[0])
    expect(await undo(id, 5)).toBe('begun: soaking, for Pot 1')
    expect(await loadOf(id)).toMatchObject({ takenOutAt: later(5), doneAt: later(5), potFreeAt: later(5) })
    expect((await bundlesOf(lotId)).every(({ place, loadId }) => place === 'arrivals shelf' && loadId === null)).toBe(
      true,
    )
    expect(await loadsAtWork(shed.db)).toEqual([])
    await expect(undo(id)).rejects.toThrow('taken out of the pot again')
    await lay(lotId, shed.pots[0], undefined, 10)
  })

  test('a log line goes first, and then the one before it', async () => {
    const id = await lay(await lotReady(shed.db, shed.by()), shed.pots[0])
    await next(id, 60)
    await add(id, 30)
    await act(shed.db, trx => noteWords(trx, shed.by(70), { loadId: id, words: 'a little slow' }))
    expect(await undo(id)).toBe('noted “a little slow”')
    expect(await undo(id)).toBe('added 30 mL of all-purpose dye, bottled')
    expect(await undo(id)).toBe('Dye begun')
  })

  test('a lift is not undone when the pot holds another load by then', async () => {
    const id = await lay(await lotReady(shed.db, shed.by()), shed.pots[0])
    await carryTo(id, 'rinse')
    const other = await lay(await lotReady(shed.db, shed.by()), shed.pots[0], undefined, 100)
    await expect(undo(id)).rejects.toThrow(`Pot 1 holds load ${other} now`)
    expect((await loadOf(id)).bundles[0]?.place).toBe('rinse')
  })

  test('the end is not undone when the bundles are in a second bath by then', async () => {
    const lotId = await lotReady(shed.db, shed.by())
    const id = await lay(lotId, shed.pots[0])
    await carryTo(id, 'ready shelf')
    const second = await lay(lotId, shed.pots[1], [1], 100)
    await expect(undo(id)).rejects.toThrow(`Load ${second} has its bundles since`)
    await undo(second)
    expect(await undo(id)).toContain('ready shelf')
  })
})

describe('what was really used', () => {
  test('weighed out and added over all loads, for each kilogram of dry fibre, without what was undone', async () => {
    const lotId = await lotReady(shed.db, shed.by())
    const loads = [await lay(lotId, shed.pots[0], [1, 2]), await lay(lotId, shed.pots[1], [3, 4])]
    expect(await reallyUsed(shed.db, lotId)).toEqual([])
    for (const id of loads) await next(id, 60)
    const weighed = await Promise.all(loads.map(async id => (await loadOf(id)).lines[0]?.amount ?? 0))
    await add(loads[0] ?? 0, 30)
    await add(loads[1] ?? 0, 12)
    await add(loads[1] ?? 0, 99, 60, undefined, 'it was not taking')
    await undo(loads[1] ?? 0)
    const [dye] = await reallyUsed(shed.db, lotId)
    expect(dye).toMatchObject({
      substanceId: 'all-purpose-bottled',
      unit: 'mL',
      from: `really used for lot ${lotId}, taken as computed`,
    })
    expect(dye?.perKg).toBeCloseTo(((weighed[0] ?? 0) + (weighed[1] ?? 0) + 42) / 0.6, 9)
  })

  test('a load that was taken out again counts for nothing, and fibre in two baths counts once', async () => {
    const lotId = await lotReady(shed.db, shed.by())
    await undo(await lay(lotId, shed.pots[1], [1]))
    const first = await lay(lotId, shed.pots[0])
    await carryTo(first, 'ready shelf')
    const second = await lay(lotId, shed.pots[0], undefined, 100)
    await next(second, 110)
    const amounts = await Promise.all([first, second].map(async id => (await loadOf(id)).lines[0]?.amount ?? 0))
    const [dye] = await reallyUsed(shed.db, lotId)
    expect(dye?.perKg).toBeCloseTo(((amounts[0] ?? 0) + (amounts[1] ?? 0)) / 0.6, 9)
  })
})

describe('the loads at work', () => {
  test('stand in one record each, with the step that runs and the one that comes next', async () => {
    const lotId = await lotReady(shed.db, shed.by())
    const id = await lay(lotId, shed.pots[0], [2, 3])
    await next(id, 60)
    const [load] = await loadsAtWork(shed.db)
    expect(load).toMatchObject({
      id,
      potName: 'Pot 1',
      lots: [{ clientName: 'Ilse Marram', bundleNs: [2, 3], bundlesOfLot: 4 }],
      countsOut: false,
      tiesIn: 6,
      tiesOff: 6,
      step: { n: 2, place: 'pot', tiesComeOff: false },
      next: { n: 3 },
    })
  })

  test('are found by their indexes, without reading what is done', async () => {
    await lay(await lotReady(shed.db, shed.by()), shed.pots[0])
    const queries: CompiledQuery[] = []
    await loadsAtWork(kyselyOn(shed.raw, ({ query }) => void queries.push(query)))
    const plans = queries.flatMap(({ sql, parameters }) =>
      (shed.raw.prepare(`explain query plan ${sql}`).all(...parameters) as { detail: string }[]).map(one => one.detail),
    )
    expect(queries).toHaveLength(4)
    const scans = plans.filter(line => line.startsWith('SCAN') && !line.includes('json_each'))
    expect(new Set(scans)).toEqual(new Set(['SCAN load USING INDEX load_open']))
  })
})

test('any sequence of actions keeps places and ties adding up, and undoing all of it brings everything back', async () => {
  const action = fc.oneof(
    fc.record({ does: fc.constant('next' as const), load: fc.nat(1) }),
    fc.record({ does: fc.constant('undo' as const), load: fc.nat(1) }),
    fc.record({ does: fc.constantFrom('add' as const, 'rinse' as const), load: fc.nat(1) }),
  )
  await fc.assert(
    fc.asyncProperty(fc.array(action, { maxLength: 25 }), async actions => {
      shed = await workshop()
      const lotId = await lotReady(shed.db, shed.by(), { bundles: 3, dryWeightG: 100 })
      const before = await bundlesOf(lotId)
      const loads = [await lay(lotId, shed.pots[0], [1, 2]), await lay(lotId, shed.pots[1], [3])]
      for (const [index, { does, load }] of actions.entries()) {
        const id = loads[load] ?? 0
        const { doneAt, takenOutAt, log, steps, stepN } = await loadOf(id)
        if (takenOutAt !== null) continue
        if (does === 'next' && doneAt === null) await next(id, index, { why: 'so asked' })
        if (does === 'undo' && log.filter(({ undoneAt }) => undoneAt === null).length > 1) await undo(id, index)
        if (does === 'add' && doneAt === null) await add(id, 5, index)
        const isInRinse = doneAt === null && steps[stepN - 1]?.place === 'rinse'
        if (does === 'rinse' && isInRinse) await rinse(id, 'dark', index)
        for (const bundle of await bundlesOf(lotId)) {
          expect(bundle.tiesOn + bundle.tiesOff).toBe(3)
          expect(bundle.loadId !== null).toBe(bundle.place !== 'arrivals shelf' && bundle.place !== 'ready shelf')
        }
      }
      for (const id of loads) while ((await loadOf(id)).takenOutAt === null) await undo(id)
      expect(await bundlesOf(lotId)).toEqual(before)
      await shed.close()
    }),
    { numRuns: 15 },
  )
})
