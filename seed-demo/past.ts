/** Two years of lots that came, were dyed and went back. All invented, and the same at every start but for the days. */
import { clients, type Who } from './cast.js'
import { type Asked, alike, DAY, type Doing, HOUR } from './doing.js'

type Habit = { who: Who; purpose: string; ask: Omit<Asked, 'bundles'>; got: string; words: string }

const habit = (who: Who, purpose: string, ask: Omit<Asked, 'bundles'>, got: string, words: string): Habit => ({
  who,
  purpose,
  ask,
  got,
  words,
})

/** Why an iron lot goes ahead: the catalogue asks, since iron weakens plant fibre. */
const IRON = 'The client knows that iron weakens it; it will hang on a wall.'

const habits: readonly Habit[] = [
  habit(
    'guild',
    'lidded baskets',
    {
      fibreId: 'red-cedar-inner-bark',
      colour: 'deep red',
      swatch: '#8e2f2a',
      route: 'label',
      dyeId: 'all-purpose-bottled',
      tiesUndyed: true,
    },
    '#8a342c',
    'took well after a full night',
  ),
  habit(
    'chairs',
    'chair seats',
    { fibreId: 'soft-rush', colour: 'old gold', swatch: '#b8902f', route: 'plant', dyeId: 'weld' },
    '#b99a3e',
    'a little paler at the tips',
  ),
  habit(
    'masks',
    'heron mask',
    { fibreId: 'raffia', colour: 'night blue', swatch: '#27324d', route: 'label', dyeId: 'all-purpose-bottled' },
    '#2a3552',
    'even, and did not rub off',
  ),
  habit(
    'paper',
    'speckled sheets',
    { fibreId: 'paper-mulberry-bast', colour: 'madder pink', swatch: '#c0685c', route: 'plant', dyeId: 'madder-root' },
    '#bb6e62',
    'soft and warm; the class liked it',
  ),
  habit(
    'quill',
    'a long hanging',
    {
      fibreId: 'willow-rods-buff',
      colour: 'silver grey',
      swatch: '#8b8b87',
      route: 'iron',
      dyeId: 'ferrous-sulfate',
      against: IRON,
    },
    '#868883',
    'greyed in the first half hour',
  ),
  habit(
    'tarn',
    'eel trap for a show',
    { fibreId: 'willow-rods-white', colour: 'walnut', swatch: '#5f4634', route: 'plant', dyeId: 'black-walnut-hulls' },
    '#634a37',
    'one brown from end to end',
  ),
  habit(
    'anaOne',
    'bracelets',
    {
      fibreId: 'red-cedar-inner-bark',
      colour: 'plum',
      swatch: '#5b2f4c',
      route: 'plant',
      dyeId: 'logwood-chips',
      tiesUndyed: true,
    },
    '#5e3450',
    'plum, browner when dry',
  ),
  habit(
    'anaTwo',
    'rush hats',
    { fibreId: 'soft-rush', colour: 'bottle green', swatch: '#2f4a37', route: 'label', dyeId: 'all-purpose-bottled' },
    '#2d4936',
    'clear after five rinses',
  ),
  habit(
    'guild',
    'market trays',
    { fibreId: 'lime-inner-bark', colour: 'rust', swatch: '#9a5230', route: 'label', dyeId: 'all-purpose-bottled' },
    '#96512f',
    'even, also under the ties',
  ),
]

/** Tells the past up to `until` (ms); answers the numbers of the lots, oldest first. */
export async function tellThePast(
  doing: Doing,
  ids: Record<Who, number>,
  potIds: number[],
  until: number,
): Promise<number[]> {
  const told: number[] = []
  doing.pace = loadId => 0.8 + ((loadId * 5) % 7) / 10
  const visits = 64
  for (let n = 0; n < visits; n += 1) {
    const at = Math.floor((until - 2 * 365 * DAY + n * 10.9 * DAY) / DAY) * DAY + 10 * HOUR
    const one = habits[n % habits.length]
    if (!one || at > until - 16 * DAY) break
    const other = n % 4 === 0 ? habits[(n + 4) % habits.length] : undefined
    const asks = [one, ...(other ? [other] : [])].map(({ ask }, k) => ({
      ...ask,
      bundles: alike(3 + ((n + k) % 5), 2 + (n % 3), 110 + ((n * 17) % 80), 0.8),
    }))
    const lots = await doing.dropOff(at, ids[one.who], one.purpose, 15, asks)
    let ready = at
    for (const [k, lot] of lots.entries()) {
      const came = (k === 0 ? one : other) ?? one
      await doing.keepRecipe(at + HOUR, lot.id, { depth: n % 5 === 0 ? 1.5 : 1 })
      const loadId = await doing.lay(at + (22 + k) * HOUR, lot.id, potIds[k] ?? 0)
      if (n % 7 === 3 && lot.route === 'label')
        await doing.add((await doing.runTo(loadId, 'dye')) + HOUR / 2, loadId, lot.dyeId, 20, 'mL')
      ready = Math.max(ready, await doing.runTo(loadId, ''))
      const off = n % 6 === 5
      const words = off ? `a shade off; ${came.words}` : came.words
      await doing.outcome(ready + HOUR, lot.id, came.got, off ? 'nearly as asked' : 'as asked', words)
      told.push(lot.id)
    }
    const replaced = n % 8 === 2
    await doing.handBack(ready + DAY, lots, clients[one.who].name, (bundle, check) =>
      replaced && bundle === 1 ? { ...check, tiesBack: check.tiesBack - 1, tiesReplaced: 1 } : check,
    )
  }
  doing.pace = () => 1
  return told
}
