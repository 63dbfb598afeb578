/** Somebody at a browser: finds things by their labels, and notices whatever is not as it should be on any page. */
import type { Browser, BrowserContextOptions, Locator, Page } from 'playwright-core'
import { type Inspection, inspectionIn } from './inspection.js'

/** Where to look for a label: the whole page, or one group of it. */
type Place = Pick<Page, 'getByRole' | 'getByLabel' | 'getByText'>

export type Device = Required<Pick<BrowserContextOptions, 'javaScriptEnabled' | 'hasTouch' | 'isMobile'>> & {
  viewport: { width: number; height: number }
}

export class Visitor {
  readonly page: Page
  readonly device: Device
  /** What nobody should have to see: faults, scripts or styles refused, other hosts asked, sideways scroll, barriers. */
  readonly troubles: string[] = []
  /** The kinds of pages that were inspected. */
  readonly seen = new Set<string>()
  /** How the server answered for the page that is open. */
  status = 0
  readonly #inspect: Inspection

  private constructor(page: Page, device: Device, inspect: Inspection) {
    this.page = page
    this.device = device
    this.#inspect = inspect
  }

  static async arrive(browser: Browser, address: string, device: Device): Promise<Visitor> {
    const page = await (await browser.newContext(device)).newPage()
    const bench = await browser.newContext({ ...device, javaScriptEnabled: true, bypassCSP: true })
    const visitor = new Visitor(page, device, await inspectionIn(bench, device.viewport.width))
    visitor.#watch(address)
    await page.goto(address)
    await visitor.#look()
    return visitor
  }

  #watch(address: string): void {
    const { page, troubles } = this
    page.on('pageerror', fault => troubles.push(`fault of a script: ${fault.message}`))
    page.on('requestfailed', request => {
      // What a page had not fetched to the end when it was left is let go with it.
      const why = request.failure()?.errorText
      if (why !== 'net::ERR_ABORTED') troubles.push(`failed: ${request.url()} ${why}`)
    })
    page.on('request', request => {
      if (new URL(request.url()).origin !== address) troubles.push(`another host was asked: ${request.url()}`)
    })
    page.on('response', response => {
      if (response.request().isNavigationRequest()) this.status = response.status()
      else if (response.status() >= 400 && ![409, 422].includes(response.status()))
        troubles.push(`${response.status()}: ${response.url()}`)
    })
    page.on('console', message => {
      // A form that is shown again is no fault, although the browser notes its status. Refused styles come here too.
      const isFormAgain = /status of (409|422) /.test(message.text())
      if (['error', 'warning'].includes(message.type()) && !isFormAgain)
        troubles.push(`console on ${page.url()}: ${message.text()}`)
    })
  }

  /** Presses a button that leads to another page. */
  press = (name: string | RegExp, where: Place = this.page): Promise<void> =>
    this.#go(() => this.touch(where.getByRole('button', { name, exact: true })))

  /** Two presses with no time in between. */
  pressTwice = (name: string): Promise<void> =>
    this.#go(() => this.page.getByRole('button', { name, exact: true }).dblclick())

  follow = (name: string | RegExp, where: Place = this.page): Promise<void> =>
    this.#go(() => this.touch(where.getByRole('link', { name, exact: true })))

  back = (): Promise<void> => this.#go(() => this.page.goBack())

  again = (): Promise<void> => this.#go(() => this.page.reload())

  /** The page's own menu, with all of it in sight. */
  async menu(): Promise<Locator> {
    const menu = this.page.getByRole('navigation', { name: 'The workshop' })
    if (!(await menu.getByRole('link', { name: 'Settings' }).isVisible())) await this.open('More', menu)
    return menu
  }

  choose = async (name: string): Promise<void> => this.follow(name, await this.menu())

  /** Opens what is folded up. */
  open = (words: string, where: Place = this.page): Promise<void> => this.touch(where.getByText(words).first())

  fill = (label: string | RegExp, text: string, where: Place = this.page): Promise<void> =>
    where.getByLabel(label, { exact: true }).fill(text)

  async pick(label: string, option: string, where: Place = this.page): Promise<void> {
    await where.getByLabel(label, { exact: true }).selectOption(option)
  }

  /** One answer of a few, or a tick. */
  tick = (label: string | RegExp, where: Place = this.page): Promise<void> =>
    this.touch(where.getByLabel(label, { exact: true }))

  touch = (what: Locator): Promise<void> => (this.device.hasTouch ? what.tap() : what.click())

  async #go(act: () => Promise<unknown>): Promise<void> {
    const loaded = this.page.waitForEvent('load')
    await act()
    await loaded
    await this.#look()
  }

  /** What can be read on the page, or in a part of it, line breaks aside. */
  async words(where: Locator = this.page.locator('main')): Promise<string> {
    return (await where.innerText()).replace(/\s+/g, ' ').trim()
  }

  /** Every field of the page as it stands: its name, and what is typed or ticked. */
  fields = (): Promise<unknown> =>
    this.page.evaluate(`[...document.querySelectorAll('main :is(input, select, textarea):not([type=hidden])')]
      .map(field => [field.name, field.matches('[type=radio], [type=checkbox]') ? field.checked : field.value])`)

  /** The open page fits the screen; the first of its kind is inspected. */
  async #look(): Promise<void> {
    const wide: number = await this.page.evaluate('document.documentElement.scrollWidth')
    const { width } = this.device.viewport
    if (wide > width) this.troubles.push(`scrolls sideways, ${wide} px on ${width}: ${this.page.url()}`)
    const kind = `${new URL(this.page.url()).pathname}: ${await this.page.title()}`.replace(/\d+/g, 'N')
    if (!this.seen.has(kind)) await this.inspect(kind)
  }

  /** Inspects the open page, though one of its kind may have been seen before in another state. */
  async inspect(kind: string): Promise<void> {
    this.seen.add(kind)
    for (const trouble of await this.#inspect(this.page)) this.troubles.push(`${kind}: ${trouble}`)
  }
}
