/** From the recipe to the ready shelf: two lots in two pots, over a night and a day. */
import type { Locator } from 'playwright-core'
import { expect } from 'vitest'
import { POT_2 } from './drop-off-steps.js'
import type { ServedWorkshop } from './served-workshop.js'
import { BARK, DYE, FLAX, POUND_G, type Shed, US_FLUID_OUNCE_ML } from './sheds.js'
import type { Visitor } from './visitor.js'

const region = (dyer: Visitor, name: string): Locator => dyer.page.getByRole('region', { name })
const waiting = (dyer: Visitor, lot: number): Locator =>
  region(dyer, 'Due to start')
    .getByRole('listitem')
    .filter({ hasText: `Lot ${lot},` })
const atWork = (dyer: Visitor, lot: number): Locator =>
  dyer.page.getByRole('article').filter({ hasText: `lot ${lot} for` })

/** Time goes by, for the open page too: what is pressed on it happens now. */
async function waitFor(dyer: Visitor, workshop: ServedWorkshop, minutes: number): Promise<void> {
  workshop.pass(minutes)
  await dyer.again()
}

const lineOf = (dyer: Visitor, name: string): Locator => dyer.page.getByRole('row').filter({ hasText: name })

/** What a weigh-out says of one substance: "939 mL". */
const amountOf = (dyer: Visitor, name: string): Promise<string> =>
  dyer.words(lineOf(dyer, name).getByRole('cell').first())

/** The millilitres of a line, to three figures: its amount, or what stands beside it where the workshop measures otherwise. */
export async function millilitresOf(dyer: Visitor, name: string): Promise<number> {
  const [, figure, unit] = /([\d.]+) (mL|L)\b/.exec(await dyer.words(lineOf(dyer, name))) ?? []
  return Math.round(Number(figure) * (unit === 'L' ? 1000 : 1))
}

export async function keepRecipes(dyer: Visitor): Promise<void> {
  for (const lot of [1, 2]) {
    await dyer.choose('Today')
    await dyer.follow('Work out the recipe', waiting(dyer, lot))
    if (lot === 1) await checkByHand(dyer)
    await dyer.press('Keep this recipe')
    expect(await dyer.words()).toContain('It does not change any more.')
  }
}

/** Common practice, no source: a whole bottle (8 US fl oz) and a US cup of salt, 292 g, to the pound of this bark, dry. */
async function checkByHand(dyer: Visitor): Promise<void> {
  const pounds = BARK.grams / POUND_G
  expect(await millilitresOf(dyer, DYE)).toBe(Math.round(pounds * 8 * US_FLUID_OUNCE_ML))
  expect(await amountOf(dyer, 'common salt')).toBe(`${Math.round(pounds * 292)} g`)
  expect(await dyer.words(lineOf(dyer, DYE))).toContain(`, ${pounds.toPrecision(3)} bottles`)
  await dyer.open(DYE, lineOf(dyer, DYE))
  expect(await dyer.words(lineOf(dyer, DYE))).toContain('common practice, no source')
}

/** 20 litres for each kilogram: Beech 1901, pp. 108-109, gives fifteen to twenty-five times the weight. */
const L_PER_KG = 20

export async function putInPots(dyer: Visitor, { say }: Shed): Promise<void> {
  await dyer.choose('Today')
  await dyer.follow('Put it in a pot', waiting(dyer, 1))
  await dyer.tick(/Pot 2,/)
  await dyer.press('Put it in this pot')
  expect(dyer.status).toBe(422)
  const over = say(BARK.grams - (POT_2.litres / L_PER_KG) * 1000)
  expect(await dyer.words(dyer.page.getByRole('alert'))).toContain(`this load is ${over} over.`)
  await dyer.tick(/Pot 1,/)
  await dyer.press('Put it in this pot')
  expect(await dyer.words()).toContain('Lot 1, bundles 1 to 12, begun: soaking, for Pot 1.')
  await dyer.choose('Today')
  await dyer.follow('Put it in a pot', waiting(dyer, 2))
  await dyer.tick(/Pot 2,/)
  await dyer.press('Put it in this pot')
  expect(await dyer.words()).toContain('Lot 2, bundles 1 to 3, begun: soaking, for Pot 2.')
}

async function goToLoad(dyer: Visitor, lot: number): Promise<void> {
  await dyer.choose('Today')
  await dyer.follow(/^(Pot|In the|On the)/, atWork(dyer, lot))
}

async function rinse(dyer: Visitor, ...waters: string[]): Promise<void> {
  await dyer.press('Lift into the rinse')
  for (const water of waters) {
    await dyer.press(new RegExp(`^${water}`))
    expect(await dyer.words()).toContain(`Written down: the rinse ran ${water.toLowerCase()}.`)
  }
}

/** Until the evening. Answers how much dye the pages say went onto the bark, in mL: weighed out, and added. */
export async function dyeInPots(dyer: Visitor, workshop: ServedWorkshop): Promise<number> {
  workshop.pass(60)
  await dyer.choose('Today')
  await dyer.press('Lower into Pot 1: Dye', atWork(dyer, 1))
  await dyer.press('Lower into Pot 2: Mordant with potassium alum', atWork(dyer, 2))
  expect(await dyer.words(atWork(dyer, 1))).toContain(`${BARK.ties} ties on the tie board`)
  expect(await dyer.words(atWork(dyer, 2))).toContain(`${FLAX.ties} ties on the tie board`)
  await goToLoad(dyer, 1)
  const board = region(dyer, `Tie board: ${BARK.ties} ties`)
  expect(await board.getByText('3 ties on the board').count()).toBe(BARK.bundles)
  const weighedOut = await millilitresOf(dyer, DYE)
  await waitFor(dyer, workshop, 40)
  await dyer.open('Something was added')
  await dyer.pick('What', `${DYE} (mL)`)
  await dyer.fill('How much', '50 mL')
  await dyer.press('Write the addition down')
  await waitFor(dyer, workshop, 20)
  await dyer.press('Leave it in the bath overnight')
  await goToLoad(dyer, 2)
  await dyer.press('Into the next bath: Dye')
  await waitFor(dyer, workshop, 60)
  await rinse(dyer, 'Tinted', 'Clear')
  await dyer.press('Hang up to dry')
  return weighedOut + 50
}

/** From the next morning on, until all of it lies on the ready shelf. */
export async function rinseAndDry(dyer: Visitor, workshop: ServedWorkshop): Promise<void> {
  workshop.pass(14 * 60)
  await dyer.choose('Today')
  expect(await dyer.words(atWork(dyer, 1))).toContain('Leave it in the bath overnight, for 15 h')
  await dyer.inspect('today, with loads in hand')
  await goToLoad(dyer, 1)
  await rinse(dyer, 'Dark', 'Coloured', 'Tinted', 'Clear')
  await dyer.inspect('a load in the rinse')
  await dyer.press('Hang up to dry')
  workshop.pass(24 * 60)
  for (const [lot, nearness, words] of [
    [2, 'as asked', ''],
    [1, 'nearly as asked', 'A shade browner than barn black.'],
  ] as const) {
    await goToLoad(dyer, lot)
    await dyer.press('Lay on the ready shelf')
    await dyer.follow('What came out')
    await dyer.tick(nearness)
    await dyer.fill('In words (optional)', words)
    await dyer.press('Write it down')
    expect(await dyer.words(region(dyer, 'Came out'))).toContain(words || nearness)
  }
}
