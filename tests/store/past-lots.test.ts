import { beforeAll, describe, expect, test } from 'vitest'
import type { LotsAsk } from '../../src/domain/past-lots.js'
import { inOneStep, kyselyOn } from '../../src/store/db.js'
import { type LotIn, takeIn } from '../../src/store/drop-off.js'
import { noteOutcome } from '../../src/store/outcomes.js'
import { findPastLots, LOTS_A_PAGE } from '../../src/store/past-lots.js'
import { bundle } from '../a-lot.js'
import { testApp } from '../helper.js'

let site: Awaited<ReturnType<typeof testApp>>

const client = (name: string) => ({
  name,
  mark: '',
  contact: 'the mill',
  settles: 'gift' as const,
  wishes: '',
  photographs: 'no' as const,
  note: '',
})

const lot = (colour: string, more: Partial<LotIn> = {}): LotIn => ({
  fibreId: 'flax',
  colour,
  swatch: '#d8c060',
  route: 'plant',
  dyeId: 'weld',
  tiesUndyed: false,
  against: '',
  repeatsLotId: null,
  bundles: [bundle(500), bundle(250, 4)],
  ...more,
})

const bring = (name: string, purpose: string, lots: LotIn[]) =>
  inOneStep(site.db, trx =>
    takeIn(trx, site.by, {
      client: client(name),
      purpose,
      neededBy: '2026-04-01',
      arrangement: 'gift',
      note: '',
      lots,
    }),
  )

const ask = (asked: Partial<LotsAsk>): LotsAsk => ({ words: '', client: '', colour: '', fibre: '', dye: '', ...asked })
const found = async (asked: Partial<LotsAsk>): Promise<number[]> =>
  (await findPastLots(site.db, ask(asked), null)).lots.map(({ id }) => id)

// Lots 1 to 4 are told apart by everything; 5 to 54 are alike.
beforeAll(async () => {
  site = await testApp()
  await bring('Zoë Ástríður', 'chair seats', [lot('rusty red', { dyeId: 'madder-root' })])
  await bring('Oona Weld', 'masks', [
    lot('moss green', { fibreId: 'red-cedar-inner-bark', dyeId: 'all-purpose-bottled', route: 'label' }),
    lot('red-brown OR near it'),
  ])
  await bring('Bram Holt', 'a boat of reeds', [lot('slate')])
  for (let n = 0; n < 5; n += 1)
    await bring(
      'Many Folk',
      'twill',
      Array.from({ length: 10 }, () => lot('plain grey')),
    )
  await inOneStep(site.db, trx =>
    noteOutcome(trx, site.by, {
      lotId: 4,
      swatch: '#334455',
      nearness: 'nearly as asked',
      words: 'bluish at the butt end',
    }),
  )
})

describe('a lot is found', () => {
  test('by its client, without accents or case, and by the beginning of a word', async () => {
    expect(await found({ client: 'astri' })).toEqual([1])
    expect(await found({ client: 'ZOE' })).toEqual([1])
    expect(await found({ client: 'Zoe\u0308 ástr' })).toEqual([1])
  })

  test('by its colour, fibre and dye, each only in its own part', async () => {
    expect(await found({ colour: 'red' })).toEqual([3, 1])
    expect(await found({ fibre: 'cedar' })).toEqual([2])
    expect(await found({ dye: 'madder' })).toEqual([1])
    expect(await found({ client: 'weld' })).toEqual([3, 2])
    expect(await found({ dye: 'weld', client: 'bram' })).toEqual([4])
  })

  test('by words from anywhere, all of which must be there', async () => {
    expect(await found({ words: 'boat' })).toEqual([4])
    expect(await found({ words: 'bluish butt' })).toEqual([4])
    expect(await found({ words: 'bluish moss' })).toEqual([])
    expect(await found({ words: 'oona cedar masks' })).toEqual([2])
  })

  test('by words and parts together', async () => {
    expect(await found({ words: 'masks', colour: 'green' })).toEqual([2])
    expect(await found({ words: 'masks', colour: 'slate' })).toEqual([])
  })

  test('first of all by its number, alone or after "lot"', async () => {
    expect((await found({ words: '5' })).slice(0, 2)).toEqual([5, 54])
    for (const words of ['3', 'lot 3', ' LOT  3 ', '#3', 'lot #3', '0003'])
      expect((await found({ words }))[0], words).toBe(3)
    expect((await found({ words: 'red 3' }))[0]).toBe(3)
    expect(await found({ words: '9999' })).toEqual([])
    expect(await found({ words: '999999999' })).toEqual([])
  })

  test('by its number only where the other fields agree', async () => {
    expect(await found({ words: '4', client: 'bram' })).toEqual([4])
    expect(await found({ words: '4', client: 'zoe' })).toEqual([])
  })
})

describe('what is typed stays words', () => {
  test.each([
    ['red-brown', [3]],
    ['"moss green"', [2]],
    ['moss*', [2]],
    ['moss AND', []],
    ['OR', [3]],
    ['slate OR moss', []],
    ['NOT slate', []],
    ['NEAR(red it)', [3]],
    ['near it', [3]],
    ['colour:slate', []],
    ['{client colour}: slate', []],
    ['^slate', [4]],
    ['slate)', [4]],
    ["slate'--; drop table lot", []],
    ['"', []],
    ['***', []],
    ['\u0000slate', [4]],
    ['\u0301', []],
    ['🧺', []],
  ])('%s', async (words, lots) => expect(await found({ words })).toEqual(lots))

  test('10,000 characters of a word, of words and of signs find nothing and break nothing', async () => {
    expect(await found({ words: 'a'.repeat(10_000) })).toEqual([])
    expect(await found({ words: 'slate '.repeat(2000) })).toEqual([4])
    expect(await found({ colour: '"*-'.repeat(3333), client: '('.repeat(10_000) })).toEqual([])
  })
})

describe('the pages', () => {
  const pagesOf = async (asked: Partial<LotsAsk>): Promise<number[][]> => {
    const pages: number[][] = []
    let before: number | null = null
    do {
      const page = await findPastLots(site.db, ask(asked), before)
      pages.push(page.lots.map(({ id }) => id))
      before = page.before
    } while (before !== null && pages.length < 20)
    return pages
  }
  const down = (from: number, to: number) => Array.from({ length: from - to + 1 }, (_, n) => from - n)

  test('together hold every lot once, newest first', async () => {
    const pages = await pagesOf({})
    expect(pages.map(page => page.length)).toEqual([LOTS_A_PAGE, LOTS_A_PAGE, 14])
    expect(pages.flat()).toEqual(down(54, 1))
    expect((await pagesOf({ colour: 'grey' })).flat()).toEqual(down(54, 5))
  })

  test('end without an empty one when the last is just full', async () => {
    const older = await findPastLots(site.db, ask({}), LOTS_A_PAGE + 1)
    expect(older.lots.map(({ id }) => id)).toEqual(down(LOTS_A_PAGE, 1))
    expect(older.before).toBeNull()
  })

  test('hold a lot that was found by its number once, on top of the first', async () => {
    const pages = await pagesOf({ words: 'lot 1' })
    expect(pages[0]?.[0]).toBe(1)
    expect(pages.flat().slice(1)).toEqual(down(19, 10))
    const alike = (await pagesOf({ words: '2' })).flat()
    expect(alike).toEqual([2, ...down(29, 20)])
  })

  test('are not shaken by a lot that comes in between', async () => {
    const first = await findPastLots(site.db, ask({ words: 'many' }), null)
    await bring('Late Comer', 'many things', [lot('late')])
    const second = await findPastLots(site.db, ask({ words: 'many' }), first.before)
    expect(second.lots[0]?.id).toBe((first.lots.at(-1)?.id ?? 0) - 1)
  })
})

test('a line tells what was asked, what came out, and the sums of its bundles', async () => {
  const [line] = (await findPastLots(site.db, ask({ words: 'lot 4' }), null)).lots
  expect(line).toEqual({
    id: 4,
    clientId: expect.any(Number),
    clientName: 'Bram Holt',
    clientMark: '',
    purpose: 'a boat of reeds',
    neededBy: '2026-04-01',
    fibreName: expect.stringContaining('flax'),
    dyeName: expect.stringContaining('weld'),
    colour: 'slate',
    swatch: '#d8c060',
    outcome: { swatch: '#334455', nearness: 'nearly as asked', words: 'bluish at the butt end' },
    bundles: 2,
    ties: 7,
    dryWeightG: 750,
    takenInAt: site.by.at,
    closedAt: null,
  })
})

test('a later word on what came out is the one that is shown, and both are found', async () => {
  await inOneStep(site.db, trx =>
    noteOutcome(trx, site.by, { lotId: 1, swatch: null, nearness: 'as asked', words: 'glowing' }),
  )
  await inOneStep(site.db, trx =>
    noteOutcome(trx, site.by, { lotId: 1, swatch: null, nearness: 'not as asked', words: 'faded within weeks' }),
  )
  const { lots } = await findPastLots(site.db, ask({ words: 'glowing faded' }), null)
  expect(lots.map(({ id, outcome }) => [id, outcome?.nearness])).toEqual([[1, 'not as asked']])
})

describe('only one page of lots is read', () => {
  const plansOf = async (asked: Partial<LotsAsk>): Promise<string[][]> => {
    const queries: { sql: string; parameters: readonly unknown[] }[] = []
    const db = kyselyOn(site.raw, ({ query }) => {
      queries.push(query)
    })
    await findPastLots(db, ask(asked), 50)
    return queries.map(({ sql, parameters }) =>
      site.raw
        .prepare<unknown[], { detail: string }>(`explain query plan ${sql}`)
        .all(...parameters)
        .map(({ detail }) => detail),
    )
  }

  test('by the index of words, in its own order', async () => {
    const [numbers, lines] = await plansOf({ words: 'many', colour: 'grey' })
    expect(numbers).toEqual([expect.stringMatching(/^SCAN lot_text VIRTUAL TABLE INDEX \d+:M\d+<$/)])
    expect(lines?.filter(step => /SCAN (?!json_each)|TEMP B-TREE/.test(step))).toEqual([])
  })

  test('by the numbers of the lots when nothing is asked for', async () => {
    const [numbers, lines] = await plansOf({})
    expect(numbers).toEqual(['SEARCH lot USING INTEGER PRIMARY KEY (rowid<?)'])
    expect(lines?.filter(step => /SCAN (?!json_each)|TEMP B-TREE/.test(step))).toEqual([])
  })
})
