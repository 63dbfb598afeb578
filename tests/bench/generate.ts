/**
 * A generated workshop of any number of lots, six bundles each, written straight into a new database: for measuring only.
 * The work in hand is the same at every size (OPEN lots, three of them in pots); all older lots have gone back.
 */
import type { Database } from 'better-sqlite3'
import { lateAfter } from '../../src/domain/load.js'
import type { Recipe } from '../../src/domain/recipe.js'

export const OPEN = 30
const BUNDLES = 6
const DAY_MS = 86_400_000
const NOW = Date.parse('2026-03-02T09:00:00.000Z')

const COLOURS = [
  'madder red',
  'walnut brown',
  'weld yellow',
  'silver grey',
  'plum',
  'moss',
  'rust',
  'night blue',
  'straw',
  'true black',
]
const PURPOSES = [
  'spring class',
  'lidded basket',
  'chair seats',
  'mask of a heron',
  'paper vessels',
  'rush hat',
  'market trays',
]
const WORDS = [
  'a little browner than asked',
  'duller where it lay on top',
  'deeper at the thick ends',
  'even all over',
  'paler than the sample, the client liked it',
  'a shade greener by daylight',
  '',
]
const NAMES = [
  'Alder',
  'Birch',
  'Cedar',
  'Dove',
  'Elm',
  'Fern',
  'Gorse',
  'Heron',
  'Ivy',
  'Juniper',
  'Kelp',
  'Larch',
  'Moss',
  'Nettle',
]

export type Sample = { fibreId: string; dyeId: string; route: string; recipe: Recipe }

const pick = <T>(list: readonly T[], n: number): T => list[n % list.length] as T
const iso = (ms: number): string => new Date(ms).toISOString()

/** Writes the workshop; `samples` are real recipes whose answers the lots share. */
export function generate(raw: Database, lots: number, samples: readonly Sample[], workerId: number): void {
  const put = (table: string, row: Record<string, unknown>): number => {
    const names = Object.keys(row)
    const key = `${table}:${names.join()}`
    let statement = statements.get(key)
    if (!statement) {
      statement = raw.prepare(`insert into ${table} (${names.join()}) values (${names.map(() => '?').join()})`)
      statements.set(key, statement)
    }
    return Number(statement.run(Object.values(row)).lastInsertRowid)
  }
  const statements = new Map<string, ReturnType<Database['prepare']>>()

  const clients = Array.from({ length: Math.max(20, Math.floor(lots / 20)) }, (_, n) => {
    const name = `${pick(NAMES, n)} ${pick(NAMES, Math.floor(n / 14) + 3)} ${n}`
    return put('client', {
      name,
      name_folded: name.toLowerCase(),
      mark: '',
      contact: 'by the gate',
      settles: 'paid',
      wishes: n % 9 === 0 ? 'keep apart from wool' : '',
      photographs: 'not asked',
      note: '',
      made_at: iso(NOW),
    })
  })
  const pots = ['Big kettle', 'Long trough', 'Small pan'].map(name =>
    put('pot', { name, usable_ml: 60_000, usable_typed: '60 L', metal: 'steel', note: '', out_of_use: 0 }),
  )

  const leave = raw.prepare(
    `update bundle set place = 'handed back', load_id = null, ties_on = ties_in, ties_off = 0 where id = ?`,
  )
  const ready = raw.prepare(`update bundle set place = 'ready shelf' where lot_id = ?`)
  const move = (bundleId: number, from: string | null, to: string, loadId: number | null, at: string) =>
    put('move', {
      bundle_id: bundleId,
      from_place: from,
      to_place: to,
      load_id: loadId,
      at,
      worker_id: workerId,
      why: '',
    })

  const write = (n: number): void => {
    const open = n > lots - OPEN
    const pot = n > lots - 3 ? pots[lots - n] : undefined
    const sample = pick(samples, n)
    const start = NOW - (lots - n) * (open ? 0.3 : 0.05) * DAY_MS - (open ? 0 : 12 * DAY_MS)
    const at = iso(start)
    const commissionId = put('commission', {
      client_id: pick(clients, n * 7),
      purpose: pick(PURPOSES, n),
      needed_by: iso(start + 14 * DAY_MS).slice(0, 10),
      arrangement: 'paid',
      note: '',
      taken_in_at: at,
      taken_in_by: workerId,
    })
    const lotId = put('lot', {
      commission_id: commissionId,
      fibre_id: sample.fibreId,
      colour: pick(COLOURS, n),
      swatch: '#a5482f',
      route: sample.route,
      dye_id: sample.dyeId,
      ties_undyed: n % 2,
      against: '',
      repeats_lot_id: null,
      closed_at: null,
    })
    const history = (what: string, loadId: number | null = null) =>
      put('history', {
        at,
        worker_id: workerId,
        commission_id: commissionId,
        lot_id: lotId,
        load_id: loadId,
        what,
        was: null,
        became: null,
        words: '',
      })
    history('taken in')
    put('arrival', {
      commission_id: commissionId,
      brought_by: '',
      authority: '',
      offcuts: 'back to the client',
      gathered: '',
      terms: '',
    })
    put('lot_arrival', { lot_id: lotId, faults: 'not asked', faults_words: '' })
    const agreed = { how: 'spoken', agreed_on: at.slice(0, 10), words: '', at, worker_id: workerId }
    const plan = { colour: pick(COLOURS, n), dye_id: sample.dyeId, route: sample.route, ties_undyed: n % 2 }
    put('agreed_lot', {
      agreement_id: put('agreement', { commission_id: commissionId, ...agreed }),
      lot_id: lotId,
      ...plan,
    })
    const bundles = Array.from({ length: BUNDLES }, (_, b) => {
      const id = put('bundle', {
        lot_id: lotId,
        n: b + 1,
        ties_in: 3,
        ties_on: 3,
        ties_off: 0,
        ties_lost: 0,
        dry_weight_g: 150,
        weight_typed: '150 g',
        thickness_mm: 0.8,
        thickness_typed: '0.8 mm',
        condition: 'as expected',
        how_tied: 'thick end first',
        place: 'arrivals shelf',
        load_id: null,
      })
      move(id, null, 'arrivals shelf', null, at)
      put('bundle_arrival', {
        bundle_id: id,
        at,
        worker_id: workerId,
        found: '[]',
        words: 'as expected',
        tie_place: 'in the middle',
        tie_kind: 'wrapped and tucked',
        thick_end: 'thick end first',
      })
      return id
    })
    if (open && pot === undefined) return

    const job = JSON.stringify(sample.recipe.job)
    const answer = JSON.stringify(sample.recipe)
    const recipe = { lot_id: lotId, dry_weight_g: 900, job, answer, made_at: at, made_by: workerId }
    const kept = put('recipe', { ...recipe, part_of: null })
    const share = put('recipe', { ...recipe, part_of: kept })
    history('recipe kept')
    const steps = sample.recipe.steps
    const inPot = Math.max(1, steps.findIndex(step => step.place === 'pot') + 1)
    const loadId = put('load', {
      pot_id: pot ?? pick(pots, n),
      recipe_id: share,
      dry_weight_g: 900,
      laid_at: at,
      laid_by: workerId,
      step_n: pot === undefined ? steps.length : inPot,
      step_since: at,
      pot_free_at: pot === undefined ? at : null,
      done_at: pot === undefined ? at : null,
    })
    put('load_lot', { load_id: loadId, lot_id: lotId, recipe_id: kept, dry_weight_g: 900 })
    for (const id of bundles) put('load_bundle', { load_id: loadId, bundle_id: id, ties_on: 3 })
    for (const step of steps) {
      put('load_step', {
        load_id: loadId,
        n: step.index + 1,
        key: step.key,
        title: step.title,
        place: step.place,
        minutes: step.minutes,
        late_after_minutes: lateAfter(step),
        temperature_c: step.temperatureC,
        heat: Number(step.heat),
        ties_come_off: Number(step.tiesComeOff),
      })
      const log = { load_id: loadId, at, entered_at: at, worker_id: workerId }
      if (pot === undefined || step.index < inPot) put('bath_log', { ...log, kind: 'step', step_n: step.index + 1 })
      if (pot === undefined && step.key === 'rinse') put('bath_log', { ...log, kind: 'rinsed', water: 'clear' })
      if (pot === undefined) history(`step: ${step.title}`, loadId)
    }
    for (const [k, line] of sample.recipe.lines.entries()) {
      const { key, substanceId, bathKey, amount, unit } = line
      put('load_line', { load_id: loadId, n: k + 1, key, substance_id: substanceId, bath_key: bathKey, amount, unit })
    }
    for (const id of bundles) {
      move(id, 'arrivals shelf', 'pot', loadId, at)
    }
    if (pot !== undefined) {
      raw.prepare(`update bundle set place = 'pot', load_id = ? where lot_id = ?`).run(loadId, lotId)
      for (const id of bundles) {
        const off = { kind: 'taken off', count: 3, tied: 0, ties_on: 0, ties_off: 3, ties_lost: 0, ties_replaced: 0 }
        put('tie_event', { bundle_id: id, ...off, load_id: loadId, at, worker_id: workerId, words: '' })
      }
      return
    }
    ready.run(lotId)
    put('outcome', {
      lot_id: lotId,
      at,
      worker_id: workerId,
      swatch: '#9c4a35',
      nearness: 'nearly as asked',
      words: pick(WORDS, n * 3),
    })
    const handBackId = put('hand_back', {
      commission_id: commissionId,
      words: '',
      worker_id: workerId,
      at,
      closed: 0,
    })
    put('hand_back_person', {
      hand_back_id: handBackId,
      to_whom: 'the client',
      authority: '',
      client_name: 'the client',
      client_mark: '',
      wishes: '',
      signature: '',
    })
    put('hand_back_lot', { hand_back_id: handBackId, lot_id: lotId })
    for (const id of bundles) {
      put('hand_back_bundle', {
        hand_back_id: handBackId,
        bundle_id: id,
        found: 1,
        tied_again: 1,
        ties_in: 3,
        ties_back: 3,
        ties_replaced: 0,
        weight_g: 148,
        weight_typed: '148 g',
        condition: 'as it came',
        explanation: '',
      })
      move(id, 'drying line', 'ready shelf', loadId, at)
      move(id, 'ready shelf', 'handed back', null, at)
    }
    raw.prepare('update hand_back set closed = 1 where id = ?').run(handBackId)
    for (const id of bundles) leave.run(id)
    raw.prepare('update lot set closed_at = ? where id = ?').run(at, lotId)
    history('handed back')
  }

  raw.transaction(() => {
    for (let n = 1; n <= lots; n += 1) write(n)
    raw.exec(`insert into lot_text (rowid, client, colour, fibre, dye, words)
      select lot.id, client.name, lot.colour, fibre.name, dye.name, 'lot ' || lot.id || ' ' || commission.purpose || ' ' ||
        coalesce((select group_concat(nearness || ' ' || words, ' ') from outcome where lot_id = lot.id), '')
      from lot join commission on commission.id = lot.commission_id join client on client.id = commission.client_id
      join catalogue fibre on fibre.id = lot.fibre_id join catalogue dye on dye.id = lot.dye_id`)
  })()
  raw.exec('analyze')
}
