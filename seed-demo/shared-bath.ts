/** Two clients who let their fibre share a bath: what came out of the long trough this morning hangs on the line. */
import type { PotName, Who } from './cast.js'
import { type Asked, alike, DAY, type Doing, HOUR } from './doing.js'

const oldGold = (bundles: Asked['bundles']): Asked => ({
  fibreId: 'soft-rush',
  colour: 'old gold',
  swatch: '#b8902f',
  route: 'plant',
  dyeId: 'weld',
  bundles,
})

export async function tellSharedBath(
  doing: Doing,
  ids: Record<Who, number>,
  pots: Record<PotName, number>,
  now: number,
): Promise<void> {
  const [stools] = await doing.dropOff(now - 3 * DAY, ids.chairs, 'two stools for the porch', 8, [
    oldGold(alike(4, 2, 190, 3)),
  ])
  const [mat] = await doing.dropOff(now - 2 * DAY, ids.tarn, 'a mat for the ferry', 10, [oldGold(alike(3, 3, 160, 3))])
  if (!stools || !mat) return
  for (const lot of [stools, mat]) await doing.keepRecipe(now - 1.5 * DAY, lot.id)
  const toldApart = 'All tags stay on; the bundles of the ferry mat have a blue knot besides.'
  await doing.runTo(await doing.layTogether(now - 6 * HOUR, [stools, mat], pots.trough, toldApart), 'dry')
}
