import { beforeEach, expect, test } from 'vitest'
import { sayTagCode } from '../../src/domain/tag-code.js'
import { WrongTag } from '../../src/domain/wrong-tag.js'
import { bundleByTag, findTag, noteWrongTag, tagUntagged } from '../../src/store/tags.js'
import { recordsOf } from '../custody/records.js'
import { anotherShed } from '../custody/shed.js'
import { aLot, alike, bring } from '../hand-back-helper.js'
import { START } from '../helper.js'

const by = { workerId: 1, at: START }
let shed: Awaited<ReturnType<typeof anotherShed>>
let codes: string[]
beforeEach(async () => {
  shed = await anotherShed()
  await bring(shed.db, by, [aLot(alike(2)), aLot(alike(1))])
  await bring(shed.db, by, [aLot(alike(40))], { name: 'Ode Reed' })
  codes = shed.raw.prepare('select code from tag order by bundle_id').pluck().all().map(String)
})

const refusal = (asked: Promise<unknown>) =>
  asked.then(
    () => undefined,
    (fault: unknown) => (fault instanceof Error ? fault : undefined),
  )

test('every bundle that is taken in has one tag, in the order of the sequence', () => {
  const rows = shed.raw
    .prepare(
      'select tag.id, tag.bundle_id, bundle.id from bundle left join tag on tag.bundle_id = bundle.id order by bundle.id',
    )
    .raw()
    .all() as number[][]
  expect(rows).toHaveLength(43)
  expect(rows.every(([, tagged, bundle]) => tagged === bundle)).toBe(true)
  const numbers = rows.map(([id]) => id ?? Number.NaN)
  expect(numbers).toEqual([...numbers].sort((a, b) => a - b))
  expect(new Set(codes).size).toBe(43)
})

test('a tag names its bundle, however it is typed', async () => {
  const [code = ''] = codes
  const bundle = { bundleId: 1, n: 1, lotId: 1, commissionId: 1, place: 'arrivals shelf', loadId: null, code }
  for (const typed of [code, code.toLowerCase(), sayTagCode(code), `https://old.example/t/${code}`])
    expect(await bundleByTag(shed.db, typed, { commissionId: 1 })).toEqual(bundle)
  expect(await bundleByTag(shed.db, code)).toEqual(bundle)
  expect(await bundleByTag(shed.db, code, { lotId: 1 })).toEqual(bundle)
})

test('a tag of something else is refused, says nothing of the other client, and writes nothing', async () => {
  const before = recordsOf(shed.raw)
  const [first = '', , third = '', other = ''] = codes
  for (const [code, expected, hand] of [
    [other, { commissionId: 1 }, 'to commission 1'],
    [third, { lotId: 1 }, 'to lot 1'],
    [first, { lotId: 2, commissionId: 1 }, 'to lot 2'],
    [first, { loadId: 7 }, 'into this pot'],
  ] as const) {
    const fault = await refusal(bundleByTag(shed.db, code, expected, 'scanned'))
    expect(fault).toBeInstanceOf(WrongTag)
    expect(fault).toMatchObject({ code: 'conflict', field: 'scanned', expected, tagCode: code })
    expect(fault?.message).toContain(`${sayTagCode(code)} does not belong ${hand}`)
    expect(fault?.message).not.toMatch(/Ode|Reed|Marta|MQ/)
  }
  expect(recordsOf(shed.raw)).toEqual(before)
})

test('what was shown in the wrong place stands in the history of what was in hand, once', async () => {
  const [, , , other = ''] = codes
  const count = () => Number(shed.raw.prepare('select count(*) from history').pluck().get())
  const before = count()
  await noteWrongTag(shed.db, by, new WrongTag(other, { lotId: 2 }))
  await noteWrongTag(shed.db, by, new WrongTag(other, { commissionId: 1 }))
  await noteWrongTag(shed.db, by, new WrongTag(other, {}))
  expect(count()).toBe(before + 2)
  const told = shed.raw
    .prepare('select lot_id, commission_id, became from history where id > ? order by id')
    .raw()
    .all(before)
  expect(told).toEqual([
    [2, 1, JSON.stringify({ tag: sayTagCode(other) })],
    [null, 1, JSON.stringify({ tag: sayTagCode(other) })],
  ])
})

test('a slip in the code and a code that was never given are refused each in its own words', async () => {
  const [code = ''] = codes
  const wrong = code.slice(0, 5) + (code.endsWith('K') ? 'H' : 'K')
  expect((await refusal(bundleByTag(shed.db, wrong)))?.message).toContain('cannot be right')
  expect((await refusal(bundleByTag(shed.db, '')))?.message).toBe('Type or scan the code on the tag.')
  const last = shed.raw.prepare('select code from tag order by id desc limit 1').pluck().get()
  shed.raw.exec('drop trigger tag_kept; delete from tag where id = (select max(id) from tag)')
  expect((await refusal(bundleByTag(shed.db, String(last))))?.message).toContain('was ever made here')
  expect(await findTag(shed.db, String(last))).toBeUndefined()
})

test('bundles from before there were tags get theirs at start, and only once', async () => {
  shed.raw.exec('drop trigger tag_kept; delete from tag')
  expect(await tagUntagged(shed.db, START)).toBe(43)
  const tags = recordsOf(shed.raw).get('tag')
  expect(await tagUntagged(shed.db, START)).toBe(0)
  expect(recordsOf(shed.raw).get('tag')).toEqual(tags)
})
