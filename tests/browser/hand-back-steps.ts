/** From the ready shelf to the signed slip, and the same colour again a year later. */
import { expect } from 'vitest'
import { millilitresOf } from './pot-steps.js'
import { printed } from './printed.js'
import type { ServedWorkshop } from './served-workshop.js'
import { BARK, DYE, FLAX, MORE_BARK, PASSPHRASE, PURPOSE, type Shed } from './sheds.js'
import type { Visitor } from './visitor.js'

const EXPLANATION = 'One tie tore when it was wet; Ansa Reed saw it and will twist another from the strip at home.'

export async function tieUpAgain(dyer: Visitor): Promise<void> {
  await dyer.choose('Today')
  await dyer.follow(PURPOSE, dyer.page.getByRole('region', { name: 'Ready: tell the client' }))
  await dyer.follow('Hand back')
  for (const [lot, { bundles }] of [BARK, FLAX].entries()) {
    for (let n = 1; n <= bundles; n += 1) await dyer.tick(`Tied up again as it came: lot ${lot + 1}, bundle ${n}`)
  }
}

/** The button names a number where a script lets it follow the ticks. */
const buttonOf = ({ device }: Visitor): string =>
  device.javaScriptEnabled ? 'Hand back 15 bundles' : 'Hand back what is ticked'

/** One tie is missing: refused without a word, closed with one. */
export async function handBack(dyer: Visitor): Promise<void> {
  const bundle = dyer.page.getByRole('listitem').filter({ hasText: 'Something differs on lot 1, bundle 5' })
  await dyer.open('Something differs', bundle)
  await dyer.fill('Ties back, of 3', '2', bundle)
  await dyer.press(buttonOf(dyer))
  expect(dyer.status).toBe(422)
  const summary = dyer.page.getByRole('alert').getByRole('link')
  expect(await summary.allInnerTexts()).toEqual([
    expect.stringContaining('Lot 1, bundle 5 came with 3 ties; 1 is missing'),
  ])
  await dyer.touch(summary)
  await dyer.fill('What happened (optional)', EXPLANATION, bundle)
  await dyer.press(buttonOf(dyer))
  expect(await dyer.words()).toContain(`15 bundles with ${BARK.ties + FLAX.ties - 1} ties`)
}

/** ISO 216 and US Letter, in points. */
const SIZES_PT = { A5: [(148 / 25.4) * 72, (210 / 25.4) * 72], Letter: [612, 792] } as const

export async function printSlip(dyer: Visitor, { paper, total }: Shed): Promise<void> {
  await dyer.follow(/^Return slip/)
  expect(await dyer.page.locator('.signed .line').count()).toBe(2)
  for (const size of [paper, paper === 'A5' ? 'Letter' : 'A5'] as const) {
    if (size !== paper) await dyer.follow(size)
    const { widthPt, heightPt, text } = await printed(dyer.page)
    const [width, height] = SIZES_PT[size]
    expect([Math.abs(widthPt - width) < 1, Math.abs(heightPt - height) < 1], `${widthPt} x ${heightPt}`).toEqual([
      true,
      true,
    ])
    // Bundles in and back, ties in and back, weight in.
    expect(text).toContain(`Lot 1 12 12 ${BARK.ties} ${BARK.ties - 1} (1 missing) ${total(BARK.grams)}`)
    expect(text).toContain(`Lot 2 3 3 ${FLAX.ties} ${FLAX.ties} ${total(FLAX.grams)}`)
    expect(text).toContain(`Lot 1, bundle 5: 1 of 3 ties missing. “${EXPLANATION}”`)
    expect(text).toMatch(
      /Lot 1: red cedar inner bark barn black came out nearly as asked: A shade browner than barn black\./,
    )
    expect(text).toMatch(/Lot 2: flax straw yellow came out as asked/)
    expect(text).toContain(`Treated with ${DYE}; dish soap; common salt`)
    expect(text).toContain('Soak again in warm water before working')
    expect(text).toMatch(/Handed back: Wren Received: Ansa Reed/)
  }
  await dyer.follow('Back')
}

const DAY = 24 * 60

/** Nearly a year on: nobody is signed in any more, and only a few words of the lot are remembered. */
export async function findPastLot(dyer: Visitor, workshop: ServedWorkshop): Promise<void> {
  workshop.pass(330 * DAY)
  await dyer.choose('Past lots')
  await dyer.fill('Passphrase', PASSPHRASE)
  await dyer.press('Sign in')
  const menu = await dyer.menu()
  await dyer.fill('Find a lot or a tag', 'ansa cedar browner', menu)
  await dyer.press('Find', menu)
  expect(await dyer.page.getByRole('link', { name: /^Lot \d+$/ }).allInnerTexts()).toEqual(['Lot 1'])
  await dyer.follow('Lot 1')
}

/** The same colour on 1.8 times the bark: its dye follows from what was really used, `usedMl`. */
export async function repeat(dyer: Visitor, usedMl: number): Promise<void> {
  await dyer.follow('Repeat this')
  await dyer.fill('Needed by', '1 June')
  await dyer.fill('Alike bundles, in one line', MORE_BARK.line)
  await dyer.press('Read it back')
  await dyer.press('Take in 12 bundles')
  await dyer.follow('Work out the recipe')
  expect(await dyer.words()).toContain('from what was really used for lot 1')
  expect(await millilitresOf(dyer, DYE)).toBe(Number(((usedMl / BARK.grams) * MORE_BARK.grams).toPrecision(3)))
  await dyer.press('Keep this recipe')
}
