/** One record changed from two devices: nothing is overwritten unseen, both are shown, and sending again then works. */
import { beforeEach, expect, test } from 'vitest'
import { buildApp } from '../../src/app.js'
import { beginSession } from '../../src/store/sign-in.js'
import { differences, recordsOf } from '../custody/records.js'
import { anotherShed } from '../custody/shed.js'
import { aLot, alike, bring, plainText } from '../hand-back-helper.js'
import { type Browser, browserOf, config, START } from '../helper.js'

let site: Awaited<ReturnType<typeof anotherShed>>
let wren: Browser
let linnet: Browser
beforeEach(async () => {
  site = await anotherShed()
  const app = buildApp({ db: site.db, config: config(), now: () => new Date(START) })
  await app.ready()
  const signedIn = async (id: number) => browserOf(app, `tie=${await beginSession(site.db, id, START)}`)
  ;[wren, linnet] = [await signedIn(1), await signedIn(2)]
  await bring(site.db, { workerId: 1, at: START }, [aLot(alike(2))])
})

type Fields = Record<string, string>
type Edit = { url: string; typed: Fields; one: Fields; other: Fields; shows: [one: string, other: string] }

const both = (field: string, one: string, other: string) => ({
  one: { [field]: one },
  other: { [field]: other },
  shows: [one, other] as [string, string],
})
const settings = {
  name: 'The Weir Shed',
  weightUnit: 'metric',
  volumeUnit: 'metric',
  timeZone: 'Europe/Lisbon',
  dryBasis: 'conditioned',
  scaleStepG: '1',
  slipPaper: 'A5',
}
const why = { why: 'so it was found' }
const edits: Record<string, Edit> = {
  'a client': {
    url: '/clients/1/edit',
    typed: { name: 'Ilse Marram', contact: 'the net loft', settles: 'trade', photographs: 'no' },
    ...both('wishes', 'keep it cool', 'keep it damp'),
  },
  'a commission': {
    url: '/commissions/1/edit',
    typed: { neededBy: 'in 9 days', arrangement: 'trade', note: '' },
    ...both('purpose', 'seats for the hall', 'seats for the boat'),
  },
  'a colour ask': {
    url: '/lots/1/colour-ask',
    typed: { 'ask.dyeId': 'cochineal', 'ask.tiesUndyed': 'yes', 'ask.against': 'so asked' },
    ...both('ask.colour', 'fox red', 'brick red'),
  },
  'a pot': {
    url: '/pots/1/edit',
    typed: { name: 'Pot 1', usable: '500 L', metal: 'steel' },
    ...both('note', 'the lid is bent', 'the tap drips'),
  },
  'the settings': { url: '/settings', typed: settings, ...both('slipWords', 'Mind the dog.', 'Soak it again.') },
  'the words of an entry': {
    url: '/catalogue/flax/edit/words',
    typed: { name: 'flax', latin: 'Linum usitatissimum', part: 'bast', ...why },
    ...both('words', 'it likes to be soaked', 'it likes to be boiled'),
  },
  'a figure of an entry': {
    url: '/catalogue/flax/edit?figure=liquorRatioLPerKg',
    typed: { kind: 'own experience', source: 'a trial', ...why },
    one: { value: '31' },
    other: { value: '29' },
    shows: ['It stands as 31', 'value="29"'],
  },
  'whether an entry is withdrawn': {
    url: '/catalogue/weld/withdrawal',
    typed: {},
    one: { why: 'none is left' },
    other: { why: 'too dear' },
    shows: ['Bring it back', 'too dear'],
  },
}

const versionIn = (html: string): string => /name="version" value="(\d+)"/.exec(html)?.[1] ?? 'none'

test.each(Object.entries(edits))('%s', async (_, { url, typed, one, other, shows }) => {
  const version = versionIn((await wren.get(url)).text)
  expect((await wren.post(url, { ...typed, ...one, version })).status).toBe(303)

  const before = recordsOf(site.raw)
  const refused = await linnet.post(url, { ...typed, ...other, version })
  expect(refused.status).toBe(409)
  expect(differences(before, recordsOf(site.raw))).toEqual([])
  expect(refused.text).toContain('changed elsewhere while you were typing')
  const page = `${refused.text} ${plainText(refused.text)}`
  for (const words of shows) expect(page).toContain(words)

  // Both have been seen now: the same once more is meant, and stands.
  expect(versionIn(refused.text)).toBe(String(Number(version) + 1))
  const again = await linnet.post(url, { ...typed, ...other, version: versionIn(refused.text) })
  expect(again.status).toBe(303)
  expect(versionIn((await wren.get(url)).text)).toBe(String(Number(version) + 2))
})
