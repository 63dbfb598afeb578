/** Whatever forms are sent to the site, in whatever order and by whom, nothing goes back that does not add up. */
import type { Database } from 'better-sqlite3'
import { expect, test } from 'vitest'
import { buildApp } from '../../src/app.js'
import { walkChain } from '../../src/store/chain.js'
import { kyselyOn } from '../../src/store/db.js'
import { beginSession } from '../../src/store/sign-in.js'
import type { Action, ActionTo, Answer, BundleBrought, Press, Row } from '../custody/actions.js'
import { play, type Shed } from '../custody/play.js'
import { anyHistories, timeFor } from '../custody/run.js'
import { anotherShed, minutesLater, withNeighbours } from '../custody/shed.js'
import { type Browser, browserOf, config, START } from '../helper.js'

type Fields = Record<string, string | number>
type Form = { url: string; fields: Fields }

const lotFields = (bundles: BundleBrought[], l: number): [string, string | number][] => [
  [`lots.${l}.fibreId`, 'red-cedar-inner-bark'],
  [`lots.${l}.colour`, 'true black'],
  [`lots.${l}.dyeId`, 'all-purpose-bottled'],
  [`lots.${l}.tiesUndyed`, 'yes'],
  ...bundles.flatMap(({ ties, grams }, b): [string, string | number][] => [
    [`lots.${l}.bundles.${b}.ties`, ties],
    [`lots.${l}.bundles.${b}.weight`, `${grams} g`],
  ]),
]

const dropOffForm = ({ clientId, purpose, lots }: ActionTo<'take in'>): Form => ({
  url: '/drop-off',
  fields: {
    clientId,
    purpose,
    neededBy: 'in 9 days',
    do: 'take-in',
    ...Object.fromEntries(lots.flatMap(lotFields)),
  },
})

/** The form under a recipe that was worked out again, as its page sends it. */
async function recipeForm(browser: Browser, lotId: number): Promise<Form> {
  const asked = 'depth=medium&liquorRatioLPerKg=20&dyes.0.substanceId=all-purpose-bottled&dyes.0.share=1'
  const { text } = await browser.get(`/lots/${lotId}/recipe?${asked}`)
  const form = /<form method="post"[\s\S]*?<\/form>/.exec(text)?.[0] ?? ''
  const hidden = [...form.matchAll(/<input type="hidden" name="([^"]+)" value="([^"]*)">/g)]
  const fields = Object.fromEntries(hidden.map(([, name = '', value = '']) => [name, value]))
  return { url: `/lots/${lotId}/recipe`, fields }
}

function potsForm({ lotId, shares }: ActionTo<'put in pots'>): Form {
  const [only, ...others] = shares
  if (only && others.length === 0) {
    const ticks = Object.fromEntries(only.ns.map(n => [`bundles.${n}`, 'yes']))
    return { url: `/lots/${lotId}/load`, fields: { potId: only.potId, ...ticks } }
  }
  const rows = shares.flatMap(({ potId, ns }, at) => [
    [`loads.${at}.potId`, potId],
    [`loads.${at}.bundles`, ns.join()],
  ])
  return { url: `/lots/${lotId}/loads`, fields: Object.fromEntries(rows) }
}

function bathForm({ potId, lots: [first, ...others], toldApart }: ActionTo<'share a bath'>): Form {
  const ticks = (ns: number[], from = '') => ns.map(n => [`${from}bundles.${n}`, 'yes'])
  const rest = others.flatMap(({ lotId, ns }, at) => [[`others.${at}.lotId`, lotId], ...ticks(ns, `others.${at}.`)])
  const fields = { sent: 'yes', potId, toldApart, ...Object.fromEntries([...ticks(first?.ns ?? []), ...rest]) }
  return { url: `/lots/${first?.lotId}/load`, fields }
}

const tick = (name: string, isTicked: boolean): [string, string][] => (isTicked ? [[name, 'yes']] : [])

const rowFields = (row: Row, name: string): [string, string | number][] => [
  ...tick(`${name}.tiedAgain`, row.tiedAgain),
  ...tick(`${name}.missing`, !row.found),
  ...tick(`${name}.stays`, row.stays),
  [`${name}.tiesBack`, row.back],
  [`${name}.tiesReplaced`, row.replaced],
  [`${name}.weight`, row.grams === null ? '' : `${row.grams} g`],
  [`${name}.condition`, row.condition],
  [`${name}.explanation`, row.words],
]

/** The codes of tags that hang on the bundles, as a scanner types them. */
const codesOf = (bundleIds: number[], raw: Database): string =>
  bundleIds
    .map(id => raw.prepare('select code from tag where bundle_id = ? and void_at is null').pluck().get(id))
    .join('\n')

const handover = ({ toWhom, authority, restWords, scanned }: ActionTo<'hand back'>, raw: Database) => ({
  toWhom,
  authority,
  staysWords: restWords,
  scanned: codesOf(scanned, raw),
})

/** Rows go by the place of a bundle in its lot and of the lot in its commission, both as they were taken in. */
async function checklistForm(
  browser: Browser,
  action: ActionTo<'save the checklist'> | ActionTo<'hand back'>,
  raw: Database,
): Promise<Form> {
  const url = `/commissions/${action.commissionId}/hand-back`
  const { body } = await browser.json(url)
  const lots: { id: number; bundles: { id: number }[] }[] = body.lots ?? []
  const rows = action.rows.flatMap(row => {
    const l = lots.findIndex(({ id }) => id === row.lotId)
    return rowFields(row, `lots.${l}.bundles.${lots[l]?.bundles.findIndex(({ id }) => id === row.bundleId)}`)
  })
  const isForGood = action.does === 'hand back'
  const goes = lots.flatMap(({ id }, l) => tick(`lots.${l}.goes`, isForGood && action.lotIds.includes(id)))
  const head = { do: isForGood ? 'close' : 'save', version: action.version }
  return {
    url,
    fields: { ...head, ...(isForGood ? handover(action, raw) : {}), ...Object.fromEntries([...rows, ...goes]) },
  }
}

async function formOf(browser: Browser, action: Action, raw: Database): Promise<Form> {
  switch (action.does) {
    case 'take in':
      return dropOffForm(action)
    case 'keep a recipe':
      return recipeForm(browser, action.lotId)
    case 'put in pots':
      return potsForm(action)
    case 'share a bath':
      return bathForm(action)
    case 'next step': {
      const out = Object.fromEntries(action.out.map(({ bundles }, at) => [`out.${at}`, bundles]))
      return {
        url: `/loads/${action.loadId}/steps`,
        fields: { version: action.version, why: action.why, early: 'yes', ...out },
      }
    }
    case 'undo':
      return { url: `/loads/${action.loadId}/undo`, fields: { version: action.version, sure: 'yes' } }
    case 'rinse':
      return { url: `/loads/${action.loadId}/rinses`, fields: { 'rinse.water': action.water } }
    case 'add': {
      const fields = { 'added.substanceId': action.substanceId, 'added.amount': '5 mL', 'added.why': 'to see' }
      return { url: `/loads/${action.loadId}/additions`, fields }
    }
    case 'note':
      return { url: `/loads/${action.loadId}/notes`, fields: { 'note.words': action.words } }
    case 'find again': {
      const fields = { 'found.bundleId': action.bundleId, 'found.words': action.words }
      return { url: `/hand-backs/${action.slip}/found`, fields }
    }
    case 'did not go': {
      const fields = { do: 'ticked', [`stayed.b${action.bundleId}`]: 'yes', 'stayed.words': action.words }
      return { url: `/hand-backs/${action.slip}/stayed`, fields }
    }
    case 'put right': {
      const { lotId, version, why, n, ties, grams, isWithdrawn, overlooked } = action
      const line = overlooked ? `1 bundle of ${overlooked.ties} ties, ${overlooked.grams} g` : ''
      const typed = { [`bundles.${n}.ties`]: ties ?? '', [`bundles.${n}.weight`]: grams === null ? '' : `${grams} g` }
      const ticks = Object.fromEntries(tick(`bundles.${n}.withdrawn`, isWithdrawn))
      return { url: `/lots/${lotId}/put-right`, fields: { version, why, line, ...typed, ...ticks } }
    }
    case 'say of a tie': {
      const { bundleId, saying, words } = action
      const bundle =
        'select lot_id as lotId, n, (select coalesce(max(id), 0) from tie_event where bundle_id = bundle.id) as after'
      const row = raw
        .prepare<[number], { lotId: number; n: number; after: number }>(`${bundle} from bundle where id = ?`)
        .get(bundleId)
      return {
        url: `/lots/${row?.lotId ?? 999}/ties`,
        fields: { n: row?.n ?? 1, after: row?.after ?? 0, saying, words },
      }
    }
    case 'mark': {
      const fields = { held: action.held ? 'yes' : 'no', reason: action.reason }
      return { url: `/commissions/${action.commissionId}/release`, fields }
    }
    default:
      return checklistForm(browser, action, raw)
  }
}

/** Fields that no page of the site has: they are left out, and change nothing. */
const STRANGE = {
  closed: '1',
  place: 'handed back',
  'bundles.ties_lost': '3',
  ['__proto__']: 'x',
  'lots.7.bundles': 'abc',
}

/** The site with both workers signed in, each on a device of their own. */
async function webShed(): Promise<Shed & { close: () => Promise<void> }> {
  const { raw, db } = await withNeighbours(await anotherShed())
  let minutes = 0
  const now = () => new Date(minutesLater(minutes))
  const app = buildApp({ db, config: config(), now })
  await app.listen({ host: '127.0.0.1', port: 0 })
  const signedIn = async (workerId: number) => browserOf(app, `tie=${await beginSession(db, workerId, START)}`)
  const browsers = [await signedIn(1), await signedIn(2)] as const
  const opened = new Map<string, Form>()

  const open = async ({ action, key, who }: Press): Promise<void> => {
    if (!opened.has(key)) opened.set(key, await formOf(browsers[who], action, raw))
  }
  const press = async ({ action, key, who, otherWords }: Press): Promise<Answer> => {
    const browser = browsers[who]
    const form = opened.get(key)
    if (!form) throw new Error(`the page of ${action.does} was not opened`)
    const more = otherWords ? { note: 'a later thought' } : {}
    const answer = await browser.post(form.url, { ...form.fields, ...STRANGE, ...more, key })
    expect([303, 404, 409, 422], `${answer.status} for ${JSON.stringify(action)}`).toContain(answer.status)
    return answer.status === 303 ? { done: true, leadsTo: String(answer.headers.location) } : { done: false }
  }
  const pass = () => {
    minutes += 1
  }
  return { raw, open, press, pass, close: () => app.close() }
}

const USUAL = 40

test(
  'no sequence of requests closes a hand-back that does not add up, nor loses a bundle or a tie',
  async () => {
    const tally = await anyHistories('the site', { usual: USUAL, most: 10 }, async (moves, tally) => {
      const shed = await webShed()
      await play(shed, moves, tally)
      expect((await walkChain(kyselyOn(shed.raw))).broken).toEqual([])
      await shed.close()
      shed.raw.close()
    })
    for (const key of [
      'hand back: done',
      'hand back: refused',
      'put in pots: done',
      'share a bath: done',
      'next step: refused',
    ])
      expect(tally.of(key), key).toBeGreaterThan(0)
  },
  timeFor(USUAL),
)
