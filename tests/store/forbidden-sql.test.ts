/** Past the program, straight on the tables: what must not be, the database itself refuses. */
import type { Database } from 'better-sqlite3'
import { beforeAll, describe, expect, test } from 'vitest'
import { type Another, byCheck, byTrigger, byUnique, type Case } from '../custody/forbidden.js'
import { recordsOf } from '../custody/records.js'
import { wholeWorkshop } from '../custody/whole-workshop.js'

let raw: Database
beforeAll(async () => {
  raw = await wholeWorkshop()
})

const columnsOf = (table: string) =>
  raw.prepare<[string], { name: string; pk: number; type: string }>('select * from pragma_table_info(?)').all(table)

/** As SQL; the number of a new row is the next one. */
function written(statement: string | Another): string {
  if (typeof statement === 'string') return statement
  const { another: table, but, like = 'true' } = statement
  const columns = columnsOf(table).filter(({ name }) => name !== 'id' || 'id' in but || table === 'catalogue')
  const values = columns.map(({ name }) => but[name] ?? name)
  const names = columns.map(({ name }) => name)
  return `insert into ${table} (${names}) select ${values} from ${table} where ${like} limit 1`
}

/** Tries something, answers what was said to it, and leaves everything as it was. */
function tried(statements: Case, before = ''): string {
  raw.exec('savepoint trial')
  raw.pragma('defer_foreign_keys = ON')
  try {
    raw.exec(before)
    const all = statements.map(written)
    for (const sql of all.slice(0, -1)) raw.exec(sql)
    try {
      raw.exec(all.at(-1) ?? '')
      return 'it went through'
    } catch (fault) {
      return fault instanceof Error ? fault.message : String(fault)
    }
  } finally {
    raw.exec('rollback to trial; release trial')
  }
}

const cases = <T>(by: Record<string, T[]>): [string, T][] =>
  Object.entries(by).flatMap(([rule, list]) => list.map((one): [string, T] => [rule, one]))
const isEvery = (kind: string) =>
  raw.prepare('select name from sqlite_master where type = ?').pluck().all(kind).map(String)

const ACTING = [
  'bundle_leaves_spot',
  'move_leaves_spot',
  'tie_event_counts',
  'correction_puts_right',
  'correction_lifts',
  'correction_puts_whole_right',
]

describe('triggers', () => {
  const messageOf = (trigger: string): string => {
    const sql = String(
      raw.prepare("select sql from sqlite_master where type = 'trigger' and name = ?").pluck().get(trigger),
    )
    return /RAISE\(ABORT, '([^']+)'\)/.exec(sql)?.[1] ?? `${trigger} is not there`
  }

  /** The others do something themselves; they are tried where what they do is. */
  const refusing = () => isEvery('trigger').filter(name => !ACTING.includes(name))

  test('all have a case', () => {
    expect(Object.keys(byTrigger).sort()).toEqual(refusing().sort())
  })

  test.each(cases(byTrigger))('%s refuses %j, and nothing else does', (trigger, statements) => {
    expect(tried(statements)).toBe(messageOf(trigger))
    expect(tried(statements, `drop trigger ${trigger}`)).toBe('it went through')
  })
})

/** The words between the brackets of each CHECK in a table's definition. */
function checksIn(sql: string): string[] {
  return [...sql.matchAll(/CHECK \(/g)].map(({ index }) => {
    const from = index + 'CHECK ('.length
    let [to, depth] = [from, 1]
    for (; depth > 0; to += 1) depth += { '(': 1, ')': -1 }[sql[to] ?? ''] ?? 0
    return sql.slice(from, to - 1)
  })
}

const oneLine = (words: string): string => words.replace(/\s+/g, ' ')

describe('checks', () => {
  const all = Object.entries(byCheck).flatMap(([table, checks]) =>
    cases(checks).map(([check, statements]): [string, string, Case] => [table, check, statements]),
  )

  test('all have a case', () => {
    const tables = raw
      .prepare<[], { name: string; sql: string }>("select name, sql from sqlite_master where type = 'table'")
      .all()
    const there = tables.flatMap(({ name, sql }) => checksIn(sql).map(check => `${name}: ${oneLine(check)}`))
    const tried = Object.entries(byCheck).flatMap(([table, checks]) =>
      Object.keys(checks).map(check => `${table}: ${check}`),
    )
    expect(there.length).toBeGreaterThan(70)
    expect(tried.sort()).toEqual(there.sort())
  })

  test.each(all)('of %s: %s', (_table, check, statements) => {
    expect(oneLine(tried(statements))).toBe(`CHECK constraint failed: ${check}`)
    raw.pragma('ignore_check_constraints = ON')
    const without = tried(statements)
    raw.pragma('ignore_check_constraints = OFF')
    expect(without).toBe('it went through')
  })
})

describe('what is there once only', () => {
  test('all have a case', () => {
    const indexes = raw
      .prepare<[], { tableName: string; columns: string }>(
        `select m.name as tableName, (select group_concat(i.name, ', ') from pragma_index_info(l.name) i) as columns
          from sqlite_master m, pragma_index_list(m.name) l where m.type = 'table' and l."unique" and m.sql like 'CREATE TABLE%'
          and (l.origin <> 'pk' or m.name = 'catalogue')`,
      )
      .all()
      .filter(({ tableName }) => !tableName.startsWith('lot_text'))
    expect(Object.keys(byUnique).sort()).toEqual(
      indexes.map(({ tableName, columns }) => `${tableName}(${columns})`).sort(),
    )
  })

  test.each(cases(byUnique))('%s: %j', (_rule, statements) => {
    expect(tried(statements)).toContain('UNIQUE constraint failed')
  })
})

describe('references', () => {
  type Reference = { table: string; from: string; type: string }
  const all = (): Reference[] =>
    raw
      .prepare<[], Reference>(
        `select m.name as "table", f."from", c.type from sqlite_master m, pragma_foreign_key_list(m.name) f,
          pragma_table_info(m.name) c where m.type = 'table' and c.name = f."from"`,
      )
      .all()

  test('never lead nowhere', () => {
    expect(all().length).toBeGreaterThan(40)
    for (const { table, from, type } of all()) {
      const own = raw
        .prepare("select name from sqlite_master where type = 'trigger' and tbl_name = ?")
        .pluck()
        .all(table)
      raw.exec('savepoint trial')
      for (const trigger of own) raw.exec(`drop trigger ${trigger}`)
      raw.pragma('ignore_check_constraints = ON')
      const nowhere = type === 'TEXT' ? "'nowhere'" : '987654'
      const some = `${from} is (select ${from} from ${table} order by ${from} desc limit 1)`
      const lead = () => raw.exec(`update ${table} set ${from} = ${nowhere} where ${some}`)
      expect(lead, `${table}.${from}`).toThrow('FOREIGN KEY constraint failed')
      raw.pragma('ignore_check_constraints = OFF')
      raw.exec('rollback to trial; release trial')
    }
  })
})

describe('the other ways round', () => {
  test('a row that is kept is not replaced by another under its number', () => {
    const kept = isEvery('trigger').filter(name => name.endsWith('_kept'))
    expect(kept.length).toBeGreaterThan(12)
    for (const trigger of kept) {
      const table = trigger.replace(/_kept$/, '')
      expect(tried([`replace into ${table} select * from ${table}`]), table).not.toBe('it went through')
    }
    const forged = "replace into history (id, at, worker_id, what, words) values (1, '', 1, 'nothing happened', '')"
    expect(tried([forged])).toBe('history is append-only')
  })

  test('every table takes only what its columns are for', () => {
    const loose = raw.prepare(
      "select name from pragma_table_list where type = 'table' and not strict and schema = 'main'",
    )
    expect(loose.pluck().all()).toEqual(['sqlite_schema', 'sqlite_sequence'])
    expect(tried(["update bundle set ties_on = 'three' where id = 8"])).toContain(
      'cannot store TEXT value in INTEGER column',
    )
  })

  test('all of these were tried, and nothing has changed by it', async () => {
    expect(recordsOf(raw)).toEqual(recordsOf(await wholeWorkshop()))
  })
})
