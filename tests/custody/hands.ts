/**
 * Hands that do whole jobs over HTTP and do not give up: a press that got no answer is sent again, the same form with
 * the same key, as soon as the server is back.
 */
import supertest from 'supertest'

type Fields = Record<string, string | number>
export type Acknowledged = { key: string; leadsTo: string }

/** More in a row than a server that is killed again and again can explain. */
const MOST_TRIES = 200

export class Hands {
  /** Every press that was answered, with what it led to. */
  readonly acknowledged: Acknowledged[] = []
  /** Presses that had to be sent more than once. */
  resent = 0
  private readonly cookie: string
  private readonly serverIsBack: () => Promise<string>
  private readonly urls = new Map<string, string>()
  private isOver = false

  /** `serverIsBack` waits for a server that answers, and says where. */
  constructor(cookie: string, serverIsBack: () => Promise<string>) {
    this.cookie = cookie
    this.serverIsBack = serverIsBack
  }

  /** After the press that is on its way nothing more is begun. */
  stop(): void {
    this.isOver = true
  }

  /** Where the form with this key was sent. */
  urlOf(key: string): string {
    return this.urls.get(key) ?? ''
  }

  async press(url: string, fields: Fields): Promise<string> {
    const key = `press-${String(this.urls.size + 1).padStart(12, '0')}`
    this.urls.set(key, url)
    const { status, headers, text } = await this.untilAnswered(address =>
      supertest(address)
        .post(url)
        .set('cookie', this.cookie)
        .set('sec-fetch-site', 'same-origin')
        .type('form')
        .send({ ...fields, key }),
    )
    if (status !== 303) throw new Error(`${url} answered ${status}: ${JSON.stringify(fields)} ${text.slice(0, 4000)}`)
    const leadsTo = String(headers.location)
    this.acknowledged.push({ key, leadsTo })
    return leadsTo
  }

  private async untilAnswered(send: (address: string) => supertest.Test): Promise<supertest.Response> {
    for (let tries = 1; ; tries += 1) {
      const address = await this.serverIsBack()
      try {
        const answer = await send(address)
        if (tries > 1) this.resent += 1
        return answer
      } catch (fault) {
        // No answer: the server was killed under it, before or after it had done what was asked.
        if (tries > MOST_TRIES) throw fault
      }
    }
  }

  private async hiddenIn(url: string): Promise<Fields> {
    const { text } = await this.untilAnswered(address => supertest(address).get(url).set('cookie', this.cookie))
    const form = /<form method="post"[\s\S]*?<\/form>/.exec(text)?.[0] ?? ''
    const hidden = [...form.matchAll(/<input type="hidden" name="([^"]+)" value="([^"]*)">/g)]
    return Object.fromEntries(hidden.map(([, name = '', value = '']) => [name, value]))
  }

  /** Drop-off, recipe, pot, every step, hand-back with one tie missing and explained; and again, until told to stop. */
  async doWholeJobs(name: string, potId: number): Promise<void> {
    for (let job = 1; !this.isOver; job += 1) await this.doOneJob(`${name}, job ${job}`, potId)
  }

  private async doOneJob(purpose: string, potId: number): Promise<void> {
    const commission = await this.bring(purpose)
    const load = await this.takeToThePot(commission, potId)
    await this.press(`${load}/steps`, { version: 1, early: 'yes' })
    await this.press(`${load}/undo`, { version: 2 })
    for (const version of [3, 4, 5, 6, 7]) await this.press(`${load}/steps`, { version, early: 'yes' })
    await this.press(`${commission}/hand-back`, { ...goesBack, do: 'close', version: 0 })
  }

  bring(purpose: string): Promise<string> {
    return this.press('/drop-off', { ...broughtFor(purpose), do: 'take-in' })
  }

  /** The first lot of the commission, its recipe kept, in a pot; answers the address of the load. */
  async takeToThePot(commission: string, potId: number): Promise<string> {
    const lotId = await this.firstLotOf(commission)
    await this.press(`/lots/${lotId}/recipe`, await this.hiddenIn(`/lots/${lotId}/recipe`))
    return this.press(`/lots/${lotId}/load`, { potId, 'bundles.1': 'yes', 'bundles.2': 'yes' })
  }

  private async firstLotOf(commission: string): Promise<number> {
    const { body } = await this.untilAnswered(address =>
      supertest(address).get(commission).set('cookie', this.cookie).set('accept', 'application/json'),
    )
    return body.lots[0].id
  }

  async writeNotes(loadUrl: string): Promise<void> {
    for (let n = 1; !this.isOver; n += 1) await this.press(`${loadUrl}/notes`, { 'note.words': `note ${n}` })
  }
}

const lot = (n: number, line: string): Fields => ({
  [`lots.${n}.fibreId`]: 'red-cedar-inner-bark',
  [`lots.${n}.colour`]: 'true black',
  [`lots.${n}.dyeId`]: 'all-purpose-bottled',
  [`lots.${n}.line`]: line,
})

const broughtFor = (purpose: string): Fields => ({
  clientId: 1,
  purpose,
  neededBy: 'in 9 days',
  ...lot(0, '2 bundles of 3 ties, 150 g'),
  ...lot(1, '3 bundles of 2 ties, 60 g'),
})

const goesBack: Fields = {
  toWhom: 'Ilse Marram',
  'lots.0.goes': 'yes',
  'lots.0.bundles.0.tiedAgain': 'yes',
  'lots.0.bundles.0.tiesBack': 2,
  'lots.0.bundles.0.explanation': 'one snapped in the rinse',
  'lots.0.bundles.1.tiedAgain': 'yes',
  'lots.0.bundles.1.tiesBack': 3,
}
