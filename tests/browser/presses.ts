/**
 * How often somebody has to press, counted by the browser itself: every finger or mouse button that goes down, every
 * answer chosen from a list (which opens over the page) and Enter. Moving to a field is a press; typing in it is none.
 */
import type { Browser, Page } from 'playwright-core'
import type { testApp } from '../helper.js'
import { PHONE } from './chromium.js'

/** Enter in a field of several lines is what a scanner ends a code with: no finger does it. */
const COUNTER = `{
  const count = () => sessionStorage.setItem('presses', String(Number(sessionStorage.getItem('presses')) + 1))
  addEventListener('pointerdown', count, { capture: true })
  addEventListener('change', ({ target }) => target.matches('select') && count(), { capture: true })
  addEventListener('keydown', ({ key, target }) => key === 'Enter' && !target.matches('textarea') && count(), { capture: true })
}`

/** A phone, signed in, that counts on every page it opens. */
export async function countingPhone(
  chromium: Browser,
  { cookie }: Pick<Awaited<ReturnType<typeof testApp>>, 'cookie'>,
  address: string,
): Promise<Page> {
  const context = await chromium.newContext({ viewport: PHONE, hasTouch: true, isMobile: true })
  const [name = '', value = ''] = cookie.split('=')
  await context.addCookies([{ name, value, url: address }])
  await context.addInitScript(COUNTER)
  return context.newPage()
}

export const presses = (page: Page): Promise<number> => page.evaluate("Number(sessionStorage.getItem('presses'))")
