/** From the set-up code to what is taken in: the first hour of the job, page by page. */
import type { Locator } from 'playwright-core'
import { expect } from 'vitest'
import type { ServedWorkshop } from './served-workshop.js'
import { BARK, DYE, FLAX, FLAX_ROWS, PASSPHRASE, PURPOSE, type Shed } from './sheds.js'
import type { Visitor } from './visitor.js'

export async function setUp(dyer: Visitor, workshop: ServedWorkshop, { weights, volumes, paper }: Shed): Promise<void> {
  await dyer.fill('Set-up code', workshop.setUpCode)
  await dyer.fill('Your name', 'Wren')
  await dyer.fill('Name of the workshop', 'The Weir Shed')
  for (const words of [weights, volumes, paper]) await dyer.tick(words)
  await dyer.fill('Time zone', 'Europe/Lisbon')
  await dyer.fill('Passphrase', PASSPHRASE)
  await dyer.press('Set up the workshop')
}

/** One that holds the bark with room to spare, and one that is a little too small for it but holds the flax. */
export const POT_1 = { name: 'Pot 1', litres: 40 }
export const POT_2 = { name: 'Pot 2', litres: 35.5 }

export async function writePotsDown(dyer: Visitor): Promise<void> {
  for (const { name, litres } of [POT_1, POT_2]) {
    if (!dyer.page.url().endsWith('/new')) await dyer.follow('Write down a new pot')
    await dyer.fill('Name', name)
    await dyer.fill('Usable volume', `${litres} L`)
    await dyer.press('Write this pot down')
  }
  expect(await dyer.words()).toMatch(/Pot 1,.*empty.*Pot 2,.*empty/)
}

export async function writeClientDown(dyer: Visitor): Promise<void> {
  await dyer.choose('Clients')
  await dyer.follow('Write down a new client')
  await dyer.fill('Full name', 'Ansa Reed')
  await dyer.fill('How to reach them', 'the boat house, after noon')
  await dyer.tick('trade')
  await dyer.fill('Handling wishes (optional)', 'Not to be hung by the thin ends.')
  await dyer.press('Write this client down')
  expect(await dyer.words()).toContain('Ansa Reed is written down.')
}

const lotOf = (dyer: Visitor, n: number): Locator => dyer.page.getByRole('group', { name: `Lot ${n} of 2` })
const rowOf = (lot: Locator, n: number): Locator => lot.getByRole('group', { name: `Bundle ${n}`, exact: true })

export async function fillInDropOff(dyer: Visitor): Promise<void> {
  await dyer.follow('Drop-off for this client')
  await dyer.fill('Purpose', PURPOSE)
  await dyer.fill('Needed by', '20 Mar')
  await dyer.press('Add a lot')
  const [bark, flax] = [lotOf(dyer, 1), lotOf(dyer, 2)]
  await dyer.pick('Fibre', 'red cedar inner bark', bark)
  await dyer.fill('Colour in words', 'barn black', bark)
  await dyer.fill('Swatch (optional)', '#2a2523', bark)
  await dyer.pick('Dye', DYE, bark)
  await dyer.tick('The ties stay undyed', bark)
  await dyer.fill('Alike bundles, in one line', BARK.line, bark)
  await dyer.pick('Fibre', 'flax', flax)
  await dyer.fill('Colour in words', 'straw yellow', flax)
  await dyer.pick('Dye', 'weld, dried plant', flax)
  await dyer.press('Lay out the rows', bark)
  expect(await bark.getByRole('group', { name: /^Bundle/ }).count()).toBe(BARK.bundles)
  for (const [at, { ties, weight }] of FLAX_ROWS.entries()) {
    await dyer.press('Add a bundle', flax)
    await dyer.fill('Ties', String(ties), rowOf(flax, at + 1))
    await dyer.fill(/^Dry weight/, weight, rowOf(flax, at + 1))
  }
}

/** A weight that is none: the page comes back with all that was typed, and leads to the one field. */
export async function mistakeAndMend(dyer: Visitor): Promise<void> {
  const weight = rowOf(lotOf(dyer, 2), 2).getByLabel(/^Dry weight/)
  await weight.fill('an armful')
  const typed = await dyer.fields()
  await dyer.press('Read it back')
  expect(dyer.status).toBe(422)
  expect(await dyer.fields()).toEqual(typed)
  const summary = dyer.page.getByRole('alert').getByRole('link')
  expect(await summary.allInnerTexts()).toEqual([
    expect.stringMatching(/^Lot 2, bundle 2: “an armful” cannot be read\./),
  ])
  await dyer.touch(summary)
  expect(await dyer.page.evaluate('document.activeElement.id')).toBe(await weight.getAttribute('id'))
  await weight.fill(FLAX_ROWS[1]?.weight ?? '')
}

export async function readBack(dyer: Visitor, { say }: Shed): Promise<void> {
  await dyer.press('Read it back')
  const words = await dyer.words()
  expect(words).toContain(`15 bundles, ${BARK.ties + FLAX.ties} ties, ${say(BARK.grams + FLAX.grams)} dry`)
  expect(words).toContain(`12 bundles, ${BARK.ties} ties, ${say(BARK.grams)} dry`)
  expect(words).toContain(`3 bundles, ${FLAX.ties} ties, ${say(FLAX.grams)} dry`)
  for (const { grams } of FLAX_ROWS) expect(words).toContain(say(grams))
  expect(words).toContain('1½ lb')
}

/** Pressed twice, as impatience does: at once where a script looks after it, else by going back. */
export async function takeInTwice(dyer: Visitor): Promise<void> {
  const button = 'Take in 15 bundles'
  if (dyer.device.javaScriptEnabled) await dyer.pressTwice(button)
  else {
    await dyer.press(button)
    await dyer.back()
    await dyer.press(button)
    expect(await dyer.words()).toContain('This was already done.')
  }
  expect(await dyer.words()).toMatch(/Commission 1 .*12 on the arrivals shelf.*3 on the arrivals shelf/)
}
