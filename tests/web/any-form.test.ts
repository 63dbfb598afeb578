/**
 * Any form of any page of a workshop with a row of every kind, filled in by chance and sent by two hands, fresh, stale,
 * twice and side by side: whatever is answered, the records add up, only grow where they only may, and lead on from link
 * to link. `CUSTODY_HISTORIES=3000 CUSTODY_SEED=17` asks for more, or for the same again.
 */
import BetterSqlite3, { type Database } from 'better-sqlite3'
import fc from 'fast-check'
import { type HTMLElement, parse } from 'node-html-parser'
import { expect, test } from 'vitest'
import { buildApp } from '../../src/app.js'
import { walkChain } from '../../src/store/chain.js'
import { kyselyOn, prepare } from '../../src/store/db.js'
import { beginSession } from '../../src/store/sign-in.js'
import { wrongSums } from '../../src/store/sums.js'
import { brokenRules, isWhole } from '../custody/invariants.js'
import { recordsOf, rewritten } from '../custody/records.js'
import { chanceOf, timeFor } from '../custody/run.js'
import { minutesLater } from '../custody/shed.js'
import { wholeWorkshop } from '../custody/whole-workshop.js'
import { type Browser, browserOf, config, newKey } from '../helper.js'
import { drawn } from '../picture-files.js'

/** Pages that hold forms, with the highest number of each kind that the workshop begins with. */
const PAGES: [pattern: string, most: number][] = [
  ['/', 1],
  ['/pots', 1],
  ['/places', 1],
  ['/places/spots/N', 2],
  ['/places/counts', 1],
  ['/places/counts/N', 2],
  ['/pots/N', 3],
  ['/pots/N/now', 3],
  ['/loads/N', 3],
  ['/loads/N/lay', 2],
  ['/lots/N', 7],
  ['/lots/N/load', 7],
  ['/lots/N/recipe', 7],
  ['/lots/N/ties', 7],
  ['/lots/N/put-right', 7],
  ['/lots/N/photographs', 7],
  ['/lots/N/wet-cloth', 7],
  ['/lots/N/incidents/new', 7],
  ['/lots/N/one-bath', 7],
  ['/lots/N/undyed', 7],
  ['/lots/N/outcome', 7],
  ['/incidents/N', 4],
  ['/bundles/N', 15],
  ['/bundles/N/photographs', 15],
  ['/commissions/N', 6],
  ['/commissions/N/hand-back', 6],
  ['/commissions/N/tags', 6],
  ['/commissions/N/release', 6],
  ['/commissions/N/arrival', 6],
  ['/hand-backs/N', 3],
  ['/tag-sheets/N', 1],
  ['/clients/N', 4],
  ['/clients/N/page', 4],
  ['/clients/N/days', 4],
  ['/plan', 1],
  ['/plan/otherwise', 1],
  ['/drop-off', 1],
]

/** What somebody may type where words or figures are asked for. */
const TYPED = [
  '',
  '0',
  '1',
  '2',
  '3',
  '7',
  '40 g',
  '1 lb',
  'nowhere',
  'behind the tub',
  'Ilka Fenn',
  'today',
  'in 3 days',
]

/** A form of which each field is left as it stands, or filled in as chance has it. */
type Deed = { page: number; form: number; how: 'sent' | 'twice' | 'by both' | 'an old one'; chances: number[] }
const deed: fc.Arbitrary<Deed> = fc.record({
  page: fc.nat(10_000),
  form: fc.nat(10_000),
  how: fc.constantFrom('sent', 'sent', 'sent', 'twice', 'by both', 'an old one'),
  chances: fc.array(fc.nat(10_000), { minLength: 12, maxLength: 60 }),
})

type Fields = Record<string, string | Buffer>
type Form = { url: string; fields: Fields }

/** Signing out, and whoever may sign in, are no part of what happens to fibre. */
const isAboutFibre = (url: string): boolean => !/^\/(sign-|set-up|settings)/.test(url)

const pictures = [await drawn(40, 30).jpeg().toBuffer(), Buffer.from('no picture at all')]

class Chances {
  private at = 0
  private readonly from: number[]
  constructor(from: number[]) {
    this.from = from
  }
  next(): number {
    this.at += 1
    return (this.from[this.at % this.from.length] ?? 0) + Math.floor(this.at / this.from.length)
  }
  of<T>(list: readonly T[]): T | undefined {
    return list[this.next() % Math.max(1, list.length)]
  }
  isSo(outOfTen: number): boolean {
    return this.next() % 10 < outOfTen
  }
}

const textOf = (field: HTMLElement): string =>
  (field.tagName === 'TEXTAREA' ? field.text : (field.getAttribute('value') ?? '')).replaceAll('&amp;', '&')

function filledIn(form: HTMLElement, chances: Chances, codes: string[]): Fields {
  const fields: Fields = {}
  const radios = new Map<string, string[]>()
  for (const field of form.querySelectorAll('input, select, textarea')) {
    const name = field.getAttribute('name') ?? ''
    const kind = field.getAttribute('type') ?? field.tagName.toLowerCase()
    if (name === '' || kind === 'submit') continue
    if (kind === 'hidden') fields[name] = textOf(field)
    else if (kind === 'radio') radios.set(name, [...(radios.get(name) ?? []), textOf(field)])
    else if (kind === 'checkbox') {
      if (chances.isSo(5)) fields[name] = field.getAttribute('value') ?? 'on'
    } else if (kind === 'select')
      fields[name] = chances.of(field.querySelectorAll('option'))?.getAttribute('value') ?? ''
    else if (kind === 'file') {
      if (chances.isSo(7)) fields[name] = chances.of(pictures) ?? Buffer.alloc(0)
    } else fields[name] = chances.isSo(4) ? textOf(field) : (chances.of(chances.isSo(3) ? codes : TYPED) ?? '')
  }
  for (const [name, values] of radios) fields[name] = chances.of(values) ?? ''
  const button = chances.of(form.querySelectorAll('button[name]'))
  if (button) fields[button.getAttribute('name') ?? ''] = button.getAttribute('value') ?? ''
  return fields
}

async function formFrom(browser: Browser, deed: Deed, codes: string[]): Promise<Form | undefined> {
  const chances = new Chances(deed.chances)
  const [pattern, most] = PAGES[deed.page % PAGES.length] ?? ['/', 1]
  const page = pattern.replace('N', String(1 + (chances.next() % most)))
  const answer = await browser.get(page)
  expect([200, 303, 404, 409, 410], `${answer.status} for ${page}`).toContain(answer.status)
  const forms = parse(answer.text)
    .querySelectorAll('form')
    .filter(form => form.getAttribute('method')?.toLowerCase() === 'post')
  const form = forms[deed.form % Math.max(1, forms.length)]
  if (!form) return undefined
  const url = (form.getAttribute('action') || page).replaceAll('&amp;', '&')
  return isAboutFibre(url) ? { url, fields: filledIn(form, chances, codes) } : undefined
}

const ANSWERS = [200, 303, 404, 409, 410, 413, 415, 422]

/** What was left open at drop-off is said later, and told in the history. */
const IS_SAID_LATER = /^(lot_)?arrival: /

class Hands {
  readonly done = new Map<string, number>()
  private readonly raw: Database
  private readonly browsers: readonly Browser[]
  private readonly kept: Form[] = []
  /** Some rows of the workshop were written past the program, and tell less than a rule asks. */
  private readonly begunWith: readonly string[]

  constructor(raw: Database, browsers: readonly Browser[]) {
    this.raw = raw
    this.browsers = browsers
    this.begunWith = brokenRules(raw)
  }

  private async send(form: Form, who: 0 | 1): Promise<void> {
    const browser = this.browsers[who]
    if (!browser) throw new Error('there are two browsers')
    const answer = await browser.post(form.url, form.fields)
    expect(ANSWERS, `${answer.status} for ${form.url} with ${JSON.stringify(form.fields)}`).toContain(answer.status)
    const kind = form.url.replace(/\?.*/, '').replace(/\d+/g, 'N')
    if (answer.status === 303) this.done.set(kind, (this.done.get(kind) ?? 0) + 1)
  }

  async carryOut(deed: Deed): Promise<void> {
    const codes = this.raw.prepare<[], string>('select code from tag where void_at is null').pluck().all()
    const fresh = await formFrom(this.browsers[0] as Browser, deed, codes)
    const form = deed.how === 'an old one' ? this.kept[deed.page % Math.max(1, this.kept.length)] : fresh
    if (!form) return
    this.kept.push(form)
    const before = recordsOf(this.raw)
    const other = { ...form, fields: { ...form.fields, key: newKey() } }
    const second = deed.how === 'twice' ? form : deed.how === 'by both' ? other : undefined
    await Promise.all([this.send(form, 0), second && this.send(second, 1)])
    const what = `${deed.how}: ${form.url} with ${JSON.stringify(form.fields)}`
    expect(
      brokenRules(this.raw).filter(rule => !this.begunWith.includes(rule)),
      what,
    ).toEqual([])
    expect(
      rewritten(before, recordsOf(this.raw)).filter(row => !IS_SAID_LATER.test(row)),
      what,
    ).toEqual([])
  }
}

const USUAL = 20

test(
  'no form, however it is filled in and by whom it is sent, breaks a rule of custody or rewrites what was written',
  async () => {
    const begun = await wholeWorkshop()
    const unlinked = (await walkChain(kyselyOn(begun))).broken
    const whole = begun.serialize()
    const done = new Map<string, number>()
    const { seed, numRuns } = chanceOf('any form', USUAL)
    const property = fc.asyncProperty(fc.array(deed, { minLength: 5, maxLength: 12 }), async deeds => {
      const raw = prepare(new BetterSqlite3(whole))
      const db = kyselyOn(raw)
      let minutes = 2 * 24 * 60
      const app = buildApp({ db, config: config(), now: () => new Date(minutesLater(minutes)) })
      await app.listen({ host: '127.0.0.1', port: 0 })
      const now = minutesLater(minutes)
      const browsers = [1, 2].map(async id => browserOf(app, `tie=${await beginSession(db, id, now)}`))
      const hands = new Hands(raw, await Promise.all(browsers))
      for (const one of deeds) {
        minutes += 7
        await hands.carryOut(one)
      }
      for (const [kind, times] of hands.done) done.set(kind, (done.get(kind) ?? 0) + times)
      expect(await wrongSums(db)).toEqual([])
      expect((await walkChain(db)).broken).toEqual(unlinked)
      expect(isWhole(raw)).toBe(true)
      await app.close()
      raw.close()
    })
    await fc.assert(property, { seed, numRuns, endOnFailure: true })
    console.log(`any form: ${[...done].map(([kind, times]) => `${times} x ${kind}`).join(', ')}`)
    expect(done.size).toBeGreaterThan(10)
  },
  timeFor(USUAL),
)
