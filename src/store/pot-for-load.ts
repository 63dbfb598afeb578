/** Whether a pot takes a bath: it is free and in use, kept for nothing else, and large enough. */
import type { Catalogue } from '../domain/catalogue.js'
import { dayOf, sayTime } from '../domain/day.js'
import { bathLPerKg } from '../domain/load-share.js'
import { keptFrom, type PotTraits, traitsOf } from '../domain/plan-traits.js'
import { fit as howItFits } from '../domain/pots.js'
import type { Recipe } from '../domain/recipe.js'
import { Refusal } from '../domain/refusal.js'
import { sayWeight } from '../domain/say-quantity.js'
import type { Trx } from './db.js'
import { potRests } from './otherwise.js'
import { findPot, type KnownPot } from './pots.js'
import type { Workshop } from './workshop.js'

/** `bath` is the recipe of all that goes into it; `at` when it goes in, and `now` when that is said: ISO 8601 UTC. */
type Asked = { potId: number; bath: Recipe; at: string; now: string }

/** The pot, if it takes this bath; a sentence that says why not otherwise. */
export async function potFor(
  trx: Trx,
  { potId, bath, at, now }: Asked,
  { workshop, catalogue }: { workshop: Workshop; catalogue: Catalogue },
): Promise<KnownPot> {
  const pot = await freePot(trx, potId)
  refuseKept(pot, traitsOf(bath, catalogue))
  await refuseAtRest(trx, now, pot, at, workshop)
  refuseTooMuch(pot, bath.job.dryWeightG, bathLPerKg(bath), workshop)
  return pot
}

async function freePot(trx: Trx, potId: number): Promise<KnownPot> {
  const pot = await findPot(trx, potId)
  if (!pot) throw new Refusal('wrong', 'Choose a pot.', 'potId')
  if (pot.outOfUse) throw new Refusal('wrong', `${pot.name} is out of use: choose another pot.`, 'potId')
  if (pot.loadId !== null)
    throw new Refusal('conflict', `${pot.name} is in use by load ${pot.loadId}: choose another pot.`, 'potId')
  return pot
}

/** What the dyer has said of the pot holds for whoever puts something in. */
function refuseKept(pot: KnownPot, traits: PotTraits): void {
  const why = keptFrom(traits, pot)
  if (why !== null)
    throw new Refusal(
      'wrong',
      `${pot.name} ${why}: choose another pot, or change first what is written of this one under Pots.`,
      'potId',
    )
}

/** Nothing goes into a pot from the time on at which it was put out of use for a while. */
async function refuseAtRest(trx: Trx, now: string, pot: KnownPot, at: string, { timeZone }: Workshop): Promise<void> {
  const rest = (await potRests(trx, now)).find(({ potId }) => potId === pot.id)
  if (!rest || at < rest.at) return
  const until = sayTime(rest.untilAt, timeZone, dayOf(now, timeZone))
  const why = rest.words === '' ? '' : ` (${rest.words})`
  throw new Refusal(
    'wrong',
    `${pot.name} is out of use until ${until}${why}: choose another pot, or say under “The day goes otherwise” that it is back in use.`,
    'potId',
  )
}

function refuseTooMuch(pot: KnownPot, dryWeightG: number, lPerKg: number, { weightUnit }: Workshop): void {
  const weight = (grams: number) => sayWeight(grams, { weight: weightUnit })
  const fits = howItFits(dryWeightG, { name: pot.name, usableVolumeMl: pot.usableMl }, lPerKg, weight)
  if (!fits.fits) throw new Refusal('wrong', `${fits.sentence} Take bundles out, or share them over pots.`, 'potId')
}
