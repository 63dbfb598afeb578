/** Fifty of the same form on their way at once: one thing is done, and all fifty are led to it. */
import type { FastifyInstance } from 'fastify'
import { afterAll, beforeAll, describe, expect, test } from 'vitest'
import { buildApp } from '../../src/app.js'
import { STEP_KEYS } from '../../src/domain/recipe.js'
import { beginSession } from '../../src/store/sign-in.js'
import { differences, type Records, recordsOf } from '../custody/records.js'
import { anotherShed } from '../custody/shed.js'
import { type Browser, bareApp, browserOf, config, PASSPHRASE, START } from '../helper.js'
import { drawn } from '../picture-files.js'

const AT_ONCE = 50

/** Posts that carry no one-time key: whoever signs in twice is signed in. */
const WITHOUT_KEY = ['/set-up', '/sign-in', '/sign-out', '/settings/passphrase']

/** What may well be done twice by two forms, since nothing tells the second from the first; or changes nothing then. */
const MAY_BE_REPEATED = [
  '/clients/new',
  '/drop-off',
  '/lots/:id/recipe',
  '/lots/:id/outcome',
  '/commissions/:id/returnables',
  '/commissions/:id/unmet-wishes',
  '/lots/:id/faults',
  '/lots/:id/descriptions',
  '/loads/:id/notes',
  '/tag-sheets/:id',
  '/places/spots/:id',
  '/clients/:id/on-tags',
  '/clients/:id/days',
  '/plan/otherwise/keep',
  '/plan/otherwise/loads/:id',
  '/plan/otherwise/pots',
  '/loads/:id/additions',
  '/loads/:id/rinses',
  '/hand-backs/:id/notes',
  '/lots/:id/incidents/new',
  '/lots/:id/wet-cloth',
  '/incidents/:id/told',
  '/incidents/:id/not-told',
  '/incidents/:id/done',
  '/catalogue/:id/edit/:group',
  '/catalogue/:id/edit',
]

const fifty = <T>(each: (n: number) => T): T[] => Array.from({ length: AT_ONCE }, (_, n) => each(n))

type Site = { app: FastifyInstance; browser: Browser; records: () => Records; forms: Set<string> }

/** A site that listens, so that requests really arrive side by side; `forms` are the addresses that take one. */
async function site(): Promise<Site> {
  const { raw, db } = await anotherShed()
  const app = buildApp({ db, config: config(), now: () => new Date(START) })
  const forms = new Set<string>()
  app.addHook('onRoute', ({ method, url }) => {
    if (method === 'POST') forms.add(url)
  })
  await app.listen({ host: '127.0.0.1', port: 0 })
  const browser = browserOf(app, `tie=${await beginSession(db, 1, START)}`)
  return { app, browser, records: () => recordsOf(raw), forms }
}

/** Three workshops that are alike: a form is pressed once, or fifty times, or fifty hands press one each. */
let once: Site
let often: Site
let byMany: Site
beforeAll(async () => {
  ;[once, often, byMany] = [await site(), await site(), await site()]
})
afterAll(() => Promise.all([once, often, byMany].map(({ app }) => app.close())))

type Fields = Record<string, string | number | Buffer>
type Form = [route: string, url: string, fields: Fields | ((browser: Browser) => Promise<Fields>)]

const hiddenOf =
  (url: string) =>
  async (browser: Browser): Promise<Fields> => {
    const { text } = await browser.get(url)
    const form = /<form method="post"[\s\S]*?<\/form>/.exec(text)?.[0] ?? ''
    const hidden = [...form.matchAll(/<input type="hidden" name="([^"]+)" value="([^"]*)">/g)]
    return Object.fromEntries(hidden.map(([, name = '', value = '']) => [name, value]))
  }

const photograph = await drawn(120, 90).jpeg().toBuffer()
const of = (bundleId: number) => ({ bundleId, moment: 'as it came', words: '' })

/** Every field of the weigh-out as it stands there. */
const weighedAsWritten = async (browser: Browser): Promise<Fields> => {
  const { text } = await browser.get('/loads/1')
  const fields = [...text.matchAll(/name="(weighed\.\d+)" type="text" value="([^"]*)"/g)]
  return Object.fromEntries(fields.map(([, name = '', value = '']) => [name, value]))
}

const client = { name: 'Ilse Marram', contact: 'the net loft', settles: 'trade', photographs: 'no' }
const pot = { name: 'Long trough', usable: '500 L', metal: 'steel' }
const lot = (n: number, line: string): Fields => ({
  [`lots.${n}.fibreId`]: 'red-cedar-inner-bark',
  [`lots.${n}.colour`]: 'true black',
  [`lots.${n}.dyeId`]: 'all-purpose-bottled',
  [`lots.${n}.line`]: line,
})
const asked = { ...lot(0, '4 bundles of 3 ties, 150 g'), ...lot(1, '2 bundles of 1 tie, 60 g') }
const workingDaysForms: Form[] = [
  [
    '/settings/working-days',
    '/settings/working-days',
    {
      'hours.monday': '8:00-18:00',
      'hours.tuesday': '8:00-18:00',
      'hours.wednesday': '8:00-18:00',
      soakTubs: 3,
      sinks: 1,
      lineUnit: 'bundles',
      lineRoom: 60,
      metresPerBundle: 0.2,
      hands: 1,
      scour: '20 min',
      ...Object.fromEntries(STEP_KEYS.map(key => [`habits.${key}.overnight`, ''])),
      version: 1,
    },
  ],
  ['/settings/days-away', '/settings/days-away', { awayFrom: '9 Mar', awayTo: '', awayWords: 'a fair' }],
  ['/settings/days-away/:id/undo', '/settings/days-away/1/undo', {}],
]

const next = (version: number): Form => ['/loads/:id/steps', '/loads/1/steps', { version, early: 'yes' }]
const settings = {
  name: 'The Weir Shed',
  weightUnit: 'pounds',
  volumeUnit: 'us',
  timeZone: 'UTC',
  dryBasis: 'conditioned',
  scaleStepG: '1',
  slipPaper: 'A5',
}
const why = { why: 'so it was found' }
const entry = { words: 'from the river bank', ...why }
const tied = (...bundles: number[]): Fields =>
  Object.fromEntries(
    bundles.flatMap(n => [
      [`lots.0.bundles.${n}.tiedAgain`, 'yes'],
      [`lots.0.bundles.${n}.tiesBack`, 3],
    ]),
  )
const lost = (n: number): Fields => ({
  [`lots.0.bundles.${n}.missing`]: 'yes',
  [`lots.0.bundles.${n}.tiesBack`]: 0,
  [`lots.0.bundles.${n}.explanation`]: 'nowhere',
})
const handBack = (fields: Fields): Form => ['/commissions/:id/hand-back', '/commissions/1/hand-back', fields]

const tagForms: Form[] = [
  ['/clients/:id/on-tags', '/clients/1/on-tags', { onTags: 'mark' }],
  ['/commissions/:id/tags', '/commissions/1/tags', { do: 'new' }],
  ['/tag-sheets/:id', '/tag-sheets/1', {}],
  [
    '/bundles/:id/tag',
    '/bundles/1/tag',
    async browser => ({ ...(await hiddenOf('/bundles/1')(browser)), became: 'lost' }),
  ],
  ['/untagged', '/untagged', hiddenOf('/untagged?weight=60+g&ties=1')],
  [
    '/settings/tags',
    '/settings/tags',
    { paper: 'labels', size: '50 x 30', dotsPerInch: 203, dotSize: 'small', address: '', version: 1 },
  ],
]

/** One lot on its way through the workshop, and everything else that is written down beside it. */
/** Before any bath all bundles lie on the arrivals shelf: one is put at a spot, not seen there, and found. */
const placeForms: Form[] = [
  ['/places/spots', '/places/spots', { name: 'top board', place: 'arrivals shelf' }],
  ['/places/spots/:id/use', '/places/spots/1/use', { use: 'no' }],
  ['/places/spots/:id/use', '/places/spots/1/use', { use: 'yes' }],
  [
    '/places/spots/:id',
    '/places/spots/1',
    async browser => ({ codes: (await browser.json('/bundles/1')).body.tags.at(-1).code, do: 'put' }),
  ],
  ['/places/counts', '/places/counts', { where: 'spot 1' }],
  ['/places/counts/:id', '/places/counts/1', { do: 'end' }],
  [
    '/places/counts/:id/answers',
    '/places/counts/1/answers',
    { findingId: 1, 'answer.f1': 'found', 'words.f1': 'on the board below' },
  ],
]

async function whomToTell(browser: Browser): Promise<Fields> {
  const { text } = await browser.get('/plan/otherwise')
  const to = /told\/1"[\s\S]*?name="to" value="([^"]*)"/.exec(text)?.[1] ?? 'nobody is to be told'
  return { to, how: 'by phone' }
}

/** A step that takes a day longer, and whoever waits for it is told. */
const otherwiseForms: Form[] = [
  ['/plan/otherwise/keep', '/plan/otherwise/keep', { do: 'keep' }],
  ['/plan/otherwise/loads/:id', '/plan/otherwise/loads/1', { still: 1440 }],
  ['/plan/otherwise/pots', '/plan/otherwise/pots', { potId: 2, backOn: 'in 5 days' }],
  ['/plan/otherwise/pots/:id', '/plan/otherwise/pots/1', { do: 'back' }],
  ['/pots/new', '/pots/new', { ...pot, name: 'Spare kettle' }],
  ['/plan/otherwise/lifted/:id', '/plan/otherwise/lifted/1', { from: 1, potId: 6 }],
  ['/plan/otherwise/away', '/plan/otherwise/away', { away: 'until', until: 'in 30 days' }],
  ['/plan/otherwise/told/:id', '/plan/otherwise/told/1', whomToTell],
  ['/plan/otherwise/away/:id', '/plan/otherwise/away/2', { do: 'undo' }],
]

const story: Form[] = [
  ['/clients/new', '/clients/new', { ...client, name: 'Ode Reed' }],
  ['/clients/:id/edit', '/clients/1/edit', { ...client, note: 'rings twice', version: 1 }],
  ['/clients/:id/erase', '/clients/2/erase', { name: 'Ode Reed' }],
  ['/clients/:id/page', '/clients/1/page', { do: 'make' }],
  ['/clients/:id/page', '/clients/1/page', { do: 'end' }],
  ['/pots/new', '/pots/new', pot],
  ['/pots/:id/edit', '/pots/1/edit', { ...pot, name: 'Pot 1', note: 'the lid is bent', version: 1 }],
  ['/drop-off', '/drop-off', { clientId: 1, purpose: 'hats', neededBy: 'in 9 days', ...asked, do: 'take-in' }],
  [
    '/commissions/:id/edit',
    '/commissions/1/edit',
    { purpose: 'masks', neededBy: 'in 8 days', arrangement: 'gift', version: 1 },
  ],
  [
    '/drop-off',
    '/drop-off',
    { clientId: 1, purpose: 'seats', neededBy: 'in 9 days', ...lot(0, '1 bundle of 2 ties, 90 g'), do: 'take-in' },
  ],
  ['/lots/:id/undyed', '/lots/3/undyed', { why: 'taken in twice' }],
  [
    '/lots/:id/colour-ask',
    '/lots/1/colour-ask',
    { 'ask.colour': 'soot', 'ask.dyeId': 'all-purpose-bottled', version: 1 },
  ],
  ['/lots/:id/photographs/answer', '/lots/1/photographs/answer', { photographs: 'yes', version: 2 }],
  ['/lots/:id/photographs', '/lots/1/photographs', { ...of(0), chosen: photograph }],
  ['/lots/:id/photographs', '/lots/1/photographs', { ...of(1), camera: photograph }],
  [
    '/lots/:id/photographs/:photographId/withdrawal',
    '/lots/1/photographs/2/withdrawal',
    { why: 'it shows the wrong bundle' },
  ],
  [
    '/lots/:id/descriptions',
    '/lots/1/descriptions',
    { 'described.bundleId': 2, 'described.moment': 'as it came', 'described.words': 'pale' },
  ],
  ['/commissions/:id/agreements', '/commissions/1/agreements', { 'agreed.how': 'message' }],
  ['/commissions/:id/returnables', '/commissions/1/returnables', { cameAlong: 'the wrapper' }],
  ['/commissions/:id/returnables/:one', '/commissions/1/returnables/1', { do: 'gone back' }],
  ['/commissions/:id/unmet-wishes', '/commissions/1/unmet-wishes', { unmet: 'dry it by the lake' }],
  [
    '/commissions/:id/unmet-wishes/:one',
    '/commissions/1/unmet-wishes/1',
    { decision: 'in the shed', decidedBy: 'Ilse' },
  ],
  [
    '/commissions/:id/arrival',
    '/commissions/1/arrival',
    { 'came.broughtBy': 'Ode', 'came.authority': 'her sister', 'came.offcuts': 'composted', version: 1 },
  ],
  ['/lots/:id/put-right', '/lots/2/put-right', { 'bundles.1.thickness': '0.9 mm', why: 'measured', version: 1 }],
  [
    '/commissions/:id/client',
    '/commissions/2/client',
    {
      client: 'Tove Rush',
      'newClient.contact': 'the weir',
      'newClient.settles': 'gift',
      'newClient.photographs': 'no',
      agreed: 'spoken',
      why: 'two of one name',
      version: 1,
    },
  ],
  ['/lots/:id/apart', '/lots/2/apart', { do: 'keep', why: 'a moth flew out' }],
  ['/lots/:id/faults', '/lots/2/faults', { why: 'limed once' }],
  ['/commissions/:id/receipt', '/commissions/1/receipt', {}],
  ['/settings/calendar', '/settings/calendar', { do: 'make', version: 0 }],
  ['/settings/photographs', '/settings/photographs', { wanted: 'none', version: 1 }],
  ...placeForms,
  ...workingDaysForms,
  ['/lots/:id/recipe', '/lots/1/recipe', hiddenOf('/lots/1/recipe')],
  ['/plan/lots/:id/:part/steps/:n', '/plan/lots/1/1/steps/1', { day: 'tomorrow', clock: '10:00', potId: '' }],
  ['/plan/lots/:id/:part/steps/:n/undo', '/plan/lots/1/1/steps/1/undo', {}],
  [
    '/lots/:id/load',
    '/lots/1/load',
    { potId: 1, 'bundles.1': 'yes', 'bundles.2': 'yes', 'bundles.3': 'yes', 'bundles.4': 'yes' },
  ],
  ['/lots/:id/recipe', '/lots/2/recipe', hiddenOf('/lots/2/recipe')],
  [
    '/lots/:id/loads',
    '/lots/2/loads',
    { 'loads.0.potId': 2, 'loads.0.bundles': 1, 'loads.1.potId': 5, 'loads.1.bundles': 2 },
  ],
  ['/plan/loads/:id/steps/:n', '/plan/loads/1/steps/2', { day: 'tomorrow', clock: '8:30', potId: '' }],
  ['/plan/loads/:id/steps/:n/undo', '/plan/loads/1/steps/2/undo', {}],
  ['/loads/:id/weighed', '/loads/1/weighed', weighedAsWritten],
  ...tagForms,
  next(1),
  ['/loads/:id/notes', '/loads/1/notes', { 'note.words': 'a little slow' }],
  ...otherwiseForms,
  [
    '/loads/:id/additions',
    '/loads/1/additions',
    { 'added.substanceId': 'all-purpose-bottled', 'added.amount': '5 mL' },
  ],
  ['/loads/:id/undo', '/loads/1/undo', { version: 4 }],
  next(5),
  next(6),
  ['/loads/:id/rinses', '/loads/1/rinses', { 'rinse.water': 'clear' }],
  next(8),
  next(9),
  [
    '/lots/:id/incidents/new',
    '/lots/1/incidents/new',
    { kind: 'strip torn', 'bundles.2': 'yes', whatHappened: 'caught on the rail' },
  ],
  ['/incidents/:id/not-told', '/incidents/1/not-told', { 'notTold.words': 'away until May' }],
  ['/incidents/:id/told', '/incidents/1/told', { 'told.how': 'by telephone' }],
  ['/incidents/:id/done', '/incidents/1/done', { 'done.words': 'mended' }],
  ['/incidents/:id/close', '/incidents/1/close', { outcome: 'taken as it is', version: 1 }],
  ['/lots/:id/wet-cloth', '/lots/1/wet-cloth', { grade: '4-5' }],
  ['/clients/:id/days', '/clients/1/days', { 'weekdays.sun': 'yes', each: 'year' }],
  ['/clients/:id/days/:wish/end', '/clients/1/days/1/end', {}],
  ['/settings/clients', '/settings/clients', { years: '7', version: 1 }],
  ['/settings/wet-cloth', '/settings/wet-cloth', { least: '3-4', version: 1 }],
  ['/lots/:id/outcome', '/lots/1/outcome', { 'outcome.nearness': 'nearly as asked', 'outcome.words': 'a little blue' }],
  handBack({ do: 'save', version: 0, ...tied(0) }),
  ['/commissions/:id/told', '/commissions/1/told', { how: 'by phone' }],
  ['/commissions/:id/release', '/commissions/1/release', { held: 'yes', reason: 'whose is it?' }],
  ['/commissions/:id/release', '/commissions/1/release', { held: 'no', reason: 'Ilse rang' }],
  handBack({ do: 'close', version: 1, toWhom: 'Ilse Marram', 'lots.0.goes': 'yes', ...tied(0, 1, 2), ...lost(3) }),
  ['/hand-backs/:id/notes', '/hand-backs/1/notes', { 'note.words': 'the shelf was searched' }],
  ['/hand-backs/:id/found', '/hand-backs/1/found', { 'found.bundleId': 4, 'found.words': 'behind the tub' }],
  [
    '/hand-backs/:id/stayed',
    '/hand-backs/1/stayed',
    { do: 'ticked', 'stayed.b1': 'yes', 'stayed.words': 'on the table' },
  ],
  ['/lots/:id/ties', '/lots/2/ties', { n: 1, saying: 'replaced', after: 0, words: 'it split' }],
  [
    '/catalogue/new/:kind',
    '/catalogue/new/fibre?from=flax',
    { name: 'pond reed', part: 'stem', figures: 'taken over', ...entry },
  ],
  [
    '/catalogue/:id/edit/:group',
    '/catalogue/pond-reed/edit/words',
    { name: 'pond reed', latin: '', part: 'stem', ...entry, words: 'brittle', version: 1 },
  ],
  [
    '/catalogue/:id/edit',
    '/catalogue/pond-reed/edit?figure=dryingHours',
    { value: 30, kind: 'own experience', source: 'a trial', ...why, version: 2 },
  ],
  ['/catalogue/:id/withdrawal', '/catalogue/weld/withdrawal', { ...why, version: 1 }],
  [
    '/settings/drop-off',
    '/settings/drop-off',
    {
      receiptWords: 'A year at most.',
      weeksWithoutDay: 4,
      tiePlace: 'in the middle',
      tieKind: 'a knot',
      thickEnd: 'ends in turn',
      version: 1,
    },
  ],
  ['/settings', '/settings', { ...settings, slipWords: 'Mind the dog.', version: 1 }],
]

describe('fifty at once', () => {
  test('every form is among these', () => {
    const pressed = new Set([...story.map(([route]) => route), ...WITHOUT_KEY])
    expect([...often.forms].filter(route => !pressed.has(route))).toEqual([])
  })

  test.each(story.map((form, n) => [n + 1, form] as const))('%i: %j', async (n, [route, url, fields]) => {
    const key = `pressed-at-once-${n}`
    const sent = { ...(typeof fields === 'function' ? await fields(once.browser) : fields), key }
    const before = once.records()
    const answer = await once.browser.post(url, sent)
    expect(answer.status, answer.text).toBe(303)
    expect(differences(before, once.records())).not.toEqual([])

    const answers = await Promise.all(fifty(() => often.browser.post(url, sent)))
    expect([...new Set(answers.map(({ status }) => status))]).toEqual([303])
    expect([...new Set(answers.map(({ headers }) => headers.location))]).toEqual([answer.headers.location])
    expect(differences(once.records(), often.records())).toEqual([])

    // Fifty forms of their own, where only one can be right: the others are told.
    const hands = MAY_BE_REPEATED.includes(route) ? [0] : fifty(hand => hand)
    const told = await Promise.all(hands.map(hand => byMany.browser.post(url, { ...sent, key: `${key}-hand-${hand}` })))
    expect(told.filter(({ status }) => status === 303)).toHaveLength(1)
    expect(told.every(({ status }) => [303, 409, 422].includes(status))).toBe(true)
    expect(differences(once.records(), byMany.records())).toEqual([])
  })
})

test('five set-ups at once make one workshop with one worker', async () => {
  const code = 'a1b2c3d4-00000000-00000000-00000000'
  const { app, raw } = await bareApp('loopback', code)
  await app.listen({ host: '127.0.0.1', port: 0 })
  const units = { weightUnit: 'metric', volumeUnit: 'metric', slipPaper: 'A5', timeZone: 'UTC' }
  const setUp = { code, name: 'Wren', workshopName: 'The Weir Shed', ...units, passphrase: PASSPHRASE }
  const stranger = browserOf(app)
  const answers = await Promise.all([1, 2, 3, 4, 5].map(n => stranger.post('/set-up', { ...setUp, name: `Wren ${n}` })))
  expect(answers.filter(({ headers }) => headers.location === '/pots/new')).toHaveLength(1)
  expect(raw.prepare('select (select count(*) from worker), (select count(*) from workshop)').raw().get()).toEqual([
    1, 1,
  ])
  expect(raw.prepare('select count(*) from session').pluck().get()).toBe(1)
  await app.close()
})
