/** Readings and tag codes with the line cut: kept on the phone without names, sent once, and never lost when refused. */
import type { Browser, Page } from 'playwright-core'
import { afterAll, afterEach, beforeAll, beforeEach, describe, expect, test } from 'vitest'
import { openChromium } from './chromium.js'
import { board, loadInPot, POT, press, told, waits } from './phones.js'

let browser: Browser
let pot: Awaited<ReturnType<typeof loadInPot>>
beforeAll(async () => {
  browser = await openChromium()
})
afterAll(() => browser?.close())
beforeEach(async () => {
  pot = await loadInPot(browser)
})
afterEach(() => pot.stop())

const rows = (sql: string) => pot.site.raw.prepare(sql).all()
const codeOf = (n: number) => String(pot.site.raw.prepare('select code from tag where bundle_id = ?').pluck().get(n))

/** Everything that this browser has written down, whatever the place. */
const storedIn = async (page: Page): Promise<string> =>
  String(await page.evaluate('JSON.stringify([{ ...localStorage }, { ...sessionStorage }, document.cookie])'))
const NAMES = /Ilse|Marram|Wren|net loft|thin ends|hat class/

async function add(page: Page, amount: string) {
  await page.getByText('Something was added').click()
  await page.getByLabel('How much').fill(amount)
  await press(page, 'Write the addition down')
}

describe('with the line cut', () => {
  test('what was added and what was weighed out wait in their order, without names, and count once', async () => {
    const page = await pot.phone({}, '/loads/1')
    await page.context().setOffline(true)
    await press(page, 'Weighed out as written')
    await waits(page, 'Waiting to be sent (1)')
    expect(await page.getByRole('button', { name: 'Weighed out as written' }).isVisible()).toBe(false)
    await page.getByText('not sent yet: Lot 1, Pot 1: weighed out').waitFor()
    await add(page, '5 mL')
    await press(page, 'Lower into Pot 1: Dye')
    await waits(page, 'Waiting to be sent (3)')
    await waits(page, 'Lot 1, Pot 1: added 5 mL all-purpose dye, bottled (mL)')
    const stored = await storedIn(page)
    expect(stored).toContain('5 mL')
    expect(stored).not.toMatch(NAMES)
    expect(rows('select n from load_weighed')).toEqual([])
    await page.context().setOffline(false)
    await board(page).waitFor({ state: 'hidden' })
    expect(told(await pot.log())).toEqual(['step 1', 'added 5 mL', 'step 2'])
    const lines = rows('select n from load_line')
    expect(rows('select n from load_weighed')).toHaveLength(lines.length)
  })

  test('a wet cloth, tags put on a spot and tags of a shelf count wait as well', async () => {
    const { site } = pot
    site.raw.exec("update bundle set place = 'arrivals shelf' where id = 4")
    await site.browser.post('/places/spots', { name: 'by the door', place: 'arrivals shelf' })
    await site.browser.post('/places/counts', { where: 'arrivals shelf' })
    const phone = await pot.context()
    const open = async (url: string) => {
      const page = await phone.newPage()
      await page.goto(url)
      return page
    }
    const cloth = await open('/lots/1/wet-cloth')
    const spot = await open('/places/spots/1')
    const count = await open('/places/counts/1')
    await phone.setOffline(true)
    await cloth.getByRole('radio', { name: /^4-5/ }).check()
    await press(cloth, 'Write it down')
    await waits(cloth, 'Lot 1: wet cloth 4-5')
    await spot.getByLabel('Codes on the tags').fill(`${codeOf(4)}\n`)
    await press(spot, 'Put them here')
    await waits(spot, `by the door: put ${codeOf(4)}`)
    await count.getByLabel('Codes on the tags').fill(codeOf(4))
    await press(count, 'Keep what I have so far')
    await press(count, 'The count is done')
    await waits(count, 'Waiting to be sent (4)')
    const stored = await storedIn(count)
    expect(stored).toContain(codeOf(4))
    expect(stored).not.toMatch(NAMES)
    await phone.setOffline(false)
    for (const page of [cloth, spot, count]) await board(page).waitFor({ state: 'hidden' })
    expect(rows('select grade from wet_cloth')).toEqual([{ grade: '4-5' }])
    expect(rows('select bundle_id, to_spot_id from spot_move')).toEqual([{ bundle_id: 4, to_spot_id: 1 }])
    expect(rows('select bundle_id, finding from shelf_count_finding')).toEqual([{ bundle_id: 4, finding: 'fine' }])
  })

  test('two pages of one phone, pressed at the same time, lose nothing of each other', async () => {
    const page = await pot.phone()
    const other = await page.context().newPage()
    await other.goto(POT)
    await page.context().setOffline(true)
    const pressTwenty = (which: Page, who: string) =>
      which.evaluate(`new Promise(done => {
        const form = document.querySelector('main form[data-kind=note]:has(textarea)')
        let n = 0
        const pressing = setInterval(() => {
          if (form.dataset.sent) return
          if (n === 20) return done(clearInterval(pressing))
          form.querySelector('textarea').value = '${who} ' + n++
          form.requestSubmit()
        }, 1)
      })`)
    await Promise.all([pressTwenty(page, 'here'), pressTwenty(other, 'there')])
    for (const each of [page, other]) await waits(each, 'Waiting to be sent (40)')
    const kept = await storedIn(other)
    for (const who of ['here', 'there']) for (let n = 0; n < 20; n += 1) expect(kept).toContain(`“${who} ${n}”`)
  })
})

/** Every form that a page sends from now on, with how it was answered. */
function sentFrom(page: Page) {
  const sent: string[] = []
  page.on('response', answer => {
    const asked = answer.request()
    if (asked.method() === 'POST') sent.push(`${new URL(asked.url()).pathname} ${answer.status()}`)
  })
  return sent
}
const said = (page: Page): Promise<string> => page.locator('.said').innerText()

describe('what is refused while its page is open', () => {
  test('is sent once, shown with what was typed, and goes through with its own words once it is put right', async () => {
    const page = await pot.phone({}, '/loads/1')
    const sent = sentFrom(page)
    await add(page, '900 mL')
    const why = page.getByLabel('Why it went in all the same')
    await why.waitFor()
    expect(sent).toEqual(['/loads/1/additions 422'])
    expect(await page.title()).toMatch(/^Error: /)
    expect(await page.evaluate('document.activeElement.id')).toBe('trouble')
    expect(await page.getByLabel('How much').inputValue()).toBe('900 mL')
    expect(await board(page).isVisible()).toBe(false)
    await why.fill('a very deep black was wanted')
    await press(page, 'Write the addition down')
    await page.locator('.said').waitFor()
    expect(await said(page)).toBe('Written down: 900 mL of all-purpose dye, bottled added.')
    expect(sent).toEqual(['/loads/1/additions 422', '/loads/1/additions 204'])
    expect(told(await pot.log())).toEqual(['step 1', 'added 900 mL'])
  })

  test('on the page of a pot too: a time that cannot be read, then a right one', async () => {
    const page = await pot.phone()
    const sent = sentFrom(page)
    await page.getByText('Another note, in words').click()
    await page.getByRole('textbox', { name: 'Note', exact: true }).fill('floats no more')
    await page.getByLabel('When, if it was earlier').fill('the other day')
    await press(page, 'Keep the note')
    await page.locator('#trouble').waitFor()
    await page.getByLabel('When, if it was earlier').fill('10 min ago')
    await press(page, 'Keep the note')
    await page.locator('.said').waitFor()
    expect(await said(page)).toBe('Noted.')
    expect(sent).toEqual(['/loads/1/notes 422', '/loads/1/notes 204'])
  })
})

test('a press that is on its way is not sent again by another page that is open', async () => {
  const page = await pot.phone()
  const other = await page.context().newPage()
  await other.goto('/loads/1')
  const sent = [sentFrom(page), sentFrom(other)]
  // The answer takes a while, and in the meantime the other page hears that something was written down.
  await page.route('**/loads/1/notes', async route => {
    const answer = await route.fetch()
    await new Promise(resolve => setTimeout(resolve, 2_000))
    await route.fulfill({ response: answer })
  })
  await press(page, 'Wet through')
  await page.locator('.said').waitFor()
  expect(await said(page)).toContain('Noted.')
  expect(sent).toEqual([['/loads/1/notes 204'], []])
})

describe('what is refused when it is sent later', () => {
  test('is looked at with what was typed, completed, and sent from there', async () => {
    const page = await pot.phone({}, '/loads/1')
    await page.context().setOffline(true)
    await add(page, '900 mL')
    await waits(page, 'Waiting to be sent (1)')
    await press(page, 'Lower into Pot 1: Dye')
    pot.site.clock.at = '2026-03-02T10:20:00.000Z'
    await page.context().setOffline(false)
    await waits(page, 'Not done (1)')
    await press(page, 'Send it again')
    await page.getByLabel('Why it went in all the same').waitFor()
    expect(await page.getByLabel('How much').inputValue()).toBe('900 mL')
    // Looking alone loses nothing.
    await page.goto(POT)
    await waits(page, 'Not done (1)')
    await press(page, 'Send it again')
    await page.getByLabel('Why it went in all the same').fill('a very deep black was wanted')
    await press(page, 'Write the addition down')
    await board(page).waitFor({ state: 'hidden' })
    const lines = await pot.log()
    expect(told(lines)).toEqual(['step 1', 'added 900 mL', 'step 2'])
    // It went in when it was first pressed, at ten by the server's clock.
    for (const { at } of lines.slice(1)) expect(at < '2026-03-02T10:05:00.000Z', at).toBe(true)
  })

  test('because of a note from another phone, is pressed again on how it stands now', async () => {
    const page = await pot.phone()
    await page.context().setOffline(true)
    await press(page, 'Lower into Pot 1: Dye')
    await waits(page, 'Waiting to be sent (1)')
    await pot.site.browser.post('/loads/1/notes', { 'note.words': 'Wet through' })
    await page.context().setOffline(false)
    await waits(page, 'Not done (1)')
    await press(page, 'Send it again')
    await page.getByText('Wren wrote down: noted “Wet through”').first().waitFor()
    await press(page, 'Lower into Pot 1: Dye')
    await page.getByRole('heading', { name: /Step 2 of 5/ }).waitFor()
    await board(page).waitFor({ state: 'hidden' })
    expect(told(await pot.log())).toEqual(['step 1', 'noted Wet through', 'step 2'])
  })
})
