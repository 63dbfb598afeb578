/** What is in hand on the day the demo is opened: three pots in use, one lot drying, one ready, one late, some waiting. */

import { readReturnables } from '../src/domain/arrival.js'
import { unchecked } from '../src/domain/bundle-check.js'
import { saveChecks } from '../src/store/bundle-check.js'
import { tellClient } from '../src/store/client-told.js'
import { inOneStep } from '../src/store/db.js'
import type { Came } from '../src/store/drop-off.js'
import { addHandBackNote } from '../src/store/hand-back-note.js'
import type { PotName, Who } from './cast.js'
import { clients } from './cast.js'
import { type Asked, alike, DAY, type Doing, HOUR, iso } from './doing.js'
import { tellSharedBath } from './shared-bath.js'
import { tellTheUnusual } from './unusual.js'

export async function tellToday(
  doing: Doing,
  ids: Record<Who, number>,
  pots: Record<PotName, number>,
  past: number[],
  now: number,
): Promise<void> {
  await aMissingTie(doing, ids, pots, now)
  await readyWithAChecklist(doing, ids, pots, now)
  await drying(doing, ids, pots, now)
  await threePots(doing, ids, pots, now)
  await tellSharedBath(doing, ids, pots, now)
  await waiting(doing, ids, past, now)
  await tellTheUnusual(doing, ids, now)
}

/** Handed back last week with a tie that the rinse took: explained on the slip. */
async function aMissingTie(
  doing: Doing,
  ids: Record<Who, number>,
  pots: Record<PotName, number>,
  now: number,
): Promise<void> {
  const at = now - 15 * DAY
  const lots = await doing.dropOff(at, ids.guild, 'a twined bag', 10, [
    {
      fibreId: 'red-cedar-inner-bark',
      colour: 'deep red',
      swatch: '#8e2f2a',
      route: 'label',
      dyeId: 'all-purpose-bottled',
      tiesUndyed: true,
      bundles: alike(5, 3, 140, 0.8),
    },
  ])
  const [lot] = lots
  if (!lot) return
  await doing.keepRecipe(at + HOUR, lot.id)
  const ready = await doing.runTo(await doing.lay(at + DAY, lot.id, pots.kettle), '')
  await doing.outcome(ready + HOUR, lot.id, '#8a312b', 'as asked', 'even to the thick ends')
  const slip = await doing.handBack(ready + 2 * DAY, lots, clients.guild.name, (n, check) =>
    n === 4
      ? {
          ...check,
          tiesBack: check.tiesBack - 1,
          explanation:
            'One tie went down the drain in the third rinse. The client was told at the table and ties it with her own.',
        }
      : check,
  )
  const note = 'She wrote: the new tie holds, and the bag is begun.'
  await inOneStep(doing.db, trx => addHandBackNote(trx, doing.by(now - DAY), slip, note))
}

async function readyWithAChecklist(
  doing: Doing,
  ids: Record<Who, number>,
  pots: Record<PotName, number>,
  now: number,
): Promise<void> {
  const at = now - 9 * DAY
  const [lot] = await doing.dropOff(at, ids.anaOne, 'bracelets, second half', 8, [
    {
      fibreId: 'red-cedar-inner-bark',
      colour: 'plum',
      swatch: '#5b2f4c',
      route: 'plant',
      dyeId: 'logwood-chips',
      tiesUndyed: true,
      bundles: alike(4, 3, 95, 0.5),
    },
  ])
  if (!lot) return
  await doing.keepRecipe(at + HOUR, lot.id)
  const ready = await doing.runTo(await doing.lay(at + DAY, lot.id, pots.pan), '')
  await doing.outcome(ready + HOUR, lot.id, '#5d3350', 'nearly as asked', 'a shade browner than the first half')
  const checks = new Map(
    lot.bundles
      .filter(({ n }) => n <= 2)
      .map(bundle => [bundle.id, { ...unchecked(bundle), tiedAgain: true, tiesBack: bundle.n === 2 ? 2 : 3 }] as const),
  )
  await inOneStep(doing.db, trx => saveChecks(trx, doing.by(now - 3 * HOUR), lot.commissionId, checks))
  const told = { commissionId: lot.commissionId, onDay: iso(now - DAY).slice(0, 10), how: 'by message' as const }
  await inOneStep(doing.db, trx =>
    tellClient(trx, doing.by(now - DAY), { ...told, words: 'she fetches them on Friday' }),
  )
}

async function drying(
  doing: Doing,
  ids: Record<Who, number>,
  pots: Record<PotName, number>,
  now: number,
): Promise<void> {
  const at = now - 5 * DAY
  const [lot] = await doing.dropOff(at, ids.chairs, 'six seats for the hall', 9, [
    {
      fibreId: 'soft-rush',
      colour: 'old gold',
      swatch: '#b8902f',
      route: 'plant',
      dyeId: 'weld',
      bundles: alike(6, 2, 210, 3),
    },
  ])
  if (!lot) return
  await doing.keepRecipe(at + HOUR, lot.id)
  await doing.runTo(await doing.lay(now - 2.2 * DAY, lot.id, pots.trough), 'dry')
}

async function threePots(
  doing: Doing,
  ids: Record<Who, number>,
  pots: Record<PotName, number>,
  now: number,
): Promise<void> {
  const came = { returnables: readReturnables('the wrapper, waxed cloth\na strip of last year’s red, as a sample') }
  const asked: Asked[] = [
    {
      fibreId: 'red-cedar-inner-bark',
      colour: 'deep red',
      swatch: '#8e2f2a',
      route: 'label',
      dyeId: 'all-purpose-bottled',
      tiesUndyed: true,
      bundles: alike(12, 3, 90, 0.8),
    },
    {
      fibreId: 'raffia',
      colour: 'moss',
      swatch: '#5d6b3a',
      route: 'label',
      dyeId: 'all-purpose-bottled',
      came: { faults: { faults: 'client says no faults', words: '' } },
      bundles: alike(3, 1, 150, 0.3, 'two strips split at the end'),
    },
  ]
  const [red, blue] = await doing.dropOff(now - 3 * DAY, ids.guild, 'spring class of twelve', 6, asked, came)
  const [grey] = await doing.dropOff(now - 6 * DAY, ids.masks, 'crow masks', 5, [
    {
      fibreId: 'willow-rods-buff',
      colour: 'dark grey',
      swatch: '#4a4a48',
      route: 'iron',
      dyeId: 'ferrous-sulfate',
      against: 'The masks are worn for one season.',
      bundles: alike(5, 2, 160, 4),
    },
  ])
  if (!red || !blue || !grey) return
  for (const lot of [red, blue, grey]) await doing.keepRecipe(now - 2 * DAY, lot.id)
  await doing.runTo(await doing.lay(now - 11 * HOUR, red.id, pots.kettle), 'stand')
  await doing.sayOfTie(now - 2 * HOUR, red.id, 4, 'lost', 'it went down the drain of the sink')
  await doing.sayOfTie(now - HOUR, red.id, 7, 'replaced', 'it split when it came off')
  await doing.runTo(await doing.lay(now - 1.6 * HOUR, blue.id, pots.pan), 'dye')
  await doing.runTo(await doing.lay(now - 2.4 * HOUR, grey.id, pots.black), 'iron')
}

async function waiting(doing: Doing, ids: Record<Who, number>, past: number[], now: number): Promise<void> {
  const sheets: Asked[] = [
    {
      fibreId: 'paper-mulberry-bast',
      colour: 'madder pink',
      swatch: '#c0685c',
      route: 'plant',
      dyeId: 'madder-root',
      repeatsLotId: past[3] ?? null,
      bundles: alike(7, 2, 180, 0.2),
    },
    {
      fibreId: 'nettle-bast',
      colour: 'weld yellow',
      swatch: '#d2b83c',
      route: 'plant',
      dyeId: 'weld',
      came: {
        found: ['damp', 'mould seen'],
        faults: { faults: 'told', words: 'It lay in a wet boat for two days.' },
      },
      bundles: alike(2, 2, 120, 0.2),
    },
  ]
  const came: Came = {
    broughtBy: 'the caretaker of the vat room',
    authority: 'sent by the teacher, who rang in the morning',
    gathered: 'The nettle is from the teacher’s own garden.',
    agreed: { how: 'message', agreedOn: iso(now - 2 * DAY).slice(0, 10), words: 'the teacher wrote back the same day' },
  }
  const [madder] = await doing.dropOff(now - 2 * DAY, ids.paper, 'term of coloured sheets', 12, sheets, came)
  // Its recipe is kept, and it waits for a pot.
  if (madder) await doing.keepRecipe(now - DAY, madder.id)
  // The phone was charging: photographs of these stand among what is still open.
  doing.camera = undefined
  await doing.dropOff(now - 4 * HOUR, ids.anaTwo, 'hats for a fair', 3, [
    {
      fibreId: 'soft-rush',
      colour: 'bottle green',
      swatch: '#2f4a37',
      route: 'label',
      dyeId: 'all-purpose-bottled',
      bundles: alike(8, 2, 130, 3),
    },
  ])
}
