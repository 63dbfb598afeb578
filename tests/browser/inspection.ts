/** Looks a page over in a browser page of its own: the one that a visitor sees lets no foreign script in. */
import axe from 'axe-core'
import type { BrowserContext, Page } from 'playwright-core'

type Violation = { id: string; impact: string; help: string; nodes: { target: string[] }[] }

/** A line for each barrier that axe calls serious or critical, and one if the page scrolls sideways. */
export type Inspection = (page: Page) => Promise<string[]>

const GRAVE = ['serious', 'critical']
const UNFOLD = 'for (const part of document.querySelectorAll("details")) part.open = true'
const WIDTH = 'document.documentElement.scrollWidth'
const AXE = 'axe.run(document, { resultTypes: ["violations"] }).then(({ violations }) => violations)'

/** `context` bypasses the Content-Security-Policy and is as wide as the visitor's, `width` px. */
export async function inspectionIn(context: BrowserContext, width: number): Promise<Inspection> {
  const bench = await context.newPage()
  return async page => {
    const body = await page.content()
    const address = page.url().replace(/#.*/, '')
    await bench.route(address, route => route.fulfill({ body, contentType: 'text/html; charset=utf-8' }))
    await bench.goto(address)
    await bench.unroute(address)
    await bench.evaluate(UNFOLD)
    const wide: number = await bench.evaluate(WIDTH)
    await bench.evaluate(axe.source)
    const violations: Violation[] = await bench.evaluate(AXE)
    const barriers = violations
      .filter(({ impact }) => GRAVE.includes(impact))
      .map(({ id, help, nodes }) => `${id}: ${help} (${nodes.map(({ target }) => target.join(' ')).join(', ')})`)
    return wide > width ? [`scrolls sideways with all unfolded: ${wide} px on ${width}`, ...barriers] : barriers
  }
}
