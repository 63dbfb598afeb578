/** What a plan is made from: the workshop, the loads that are still to be done, and what they are called. */
import type { Catalogue } from '../domain/catalogue.js'
import { waysToCut } from '../domain/foreseen-loads.js'
import { isForDyeAsked, jobForLot } from '../domain/job-for-lot.js'
import { bathLPerKg } from '../domain/load-share.js'
import { sayLotsFirst } from '../domain/lot.js'
import { withOverruns, withPotRests } from '../domain/otherwise.js'
import { minuteAt, type PlanLoad, type PlanPin, type PlanPot, type PlanWorkshop } from '../domain/plan-input.js'
import { endOfDay } from '../domain/plan-promise.js'
import { planStepsOf, type TimedStep } from '../domain/plan-steps.js'
import { potsTaking, traitsOf } from '../domain/plan-traits.js'
import type { Recipe, Route } from '../domain/recipe.js'
import { reckon } from '../domain/reckon.js'
import { Refusal } from '../domain/refusal.js'
import { withHabits } from '../domain/step-habit.js'
import { warmed } from '../domain/warm-up.js'
import { readCatalogue } from './catalogue.js'
import type { Db } from './db.js'
import { learntByLog } from './learnt.js'
import { asOne, type OpenLot } from './lots-in-load.js'
import { type OpenLoad, openLoads, type WaitingLot, waitingLots } from './open-work.js'
import { openOverruns, potRests } from './otherwise.js'
import { type KnownPin, openPins } from './plan-pins.js'
import { type WishOfClient, wishesOf } from './plan-wishes.js'
import { planWorkshop } from './plan-workshop.js'
import { findWorkingDays, type KnownWorkingDays } from './working-days.js'
import { findWorkshop } from './workshop.js'

/** What the pages call a load of the plan, by its id there; several lots that share a bath read as one line. */
export type LoadWords = OpenLot & {
  /** Each of them by itself. */
  lots: OpenLot[]
  /** "Lot 7", "Lot 7, part 2 of 3"; in a pot "Lot 7, load 12", "Lots 7 and 9, load 13". */
  name: string
  /** Once it lies in a pot. */
  loadId: number | null
  /** Which of how many loads that its lot still waits for; 1 of 1 for a load. */
  part: number
  parts: number
  /** How many loads would do, if the largest pot were waited for: more is the choice of the plan. */
  fewestParts: number
  bundles: number
  dryWeightG: number
  /** "laid": its own share; "kept": the lot's recipe; "usual": none is kept yet, so that it is planned by the usual one. */
  recipe: 'laid' | 'kept' | 'usual'
  href: string
}

/** A lot that waits and cannot be planned, with the reason as a sentence. */
export type NotPlanned = OpenLot & { sentence: string; href: string }

export type PlanFacts = {
  workshop: PlanWorkshop
  loads: PlanLoad[]
  words: { loads: Record<string, LoadWords>; pots: Record<string, string> }
  notPlanned: NotPlanned[]
  pins: (KnownPin & { planLoadId: string })[]
  /** Nobody has said yet when they work: the hours are our guess. */
  hoursAreGuessed: boolean
}

/** A load of the plan and what it is called. */
export type Item = { load: PlanLoad; words: LoadWords }

/** The same while nothing is chosen yet of how the lots that wait are cut into loads. */
export type OpenFacts = Omit<PlanFacts, 'loads' | 'words'> & {
  /** What lies in a pot already. */
  laid: Item[]
  /** Of each lot that waits, the ways to cut it, fewest loads first. */
  waiting: Item[][][]
}

/** With a way chosen for each lot that waits, from 0. */
export function factsCut({ laid, waiting, ...facts }: OpenFacts, chosen: readonly number[]): PlanFacts {
  const items = [...laid, ...waiting.flatMap((ways, lot) => ways[chosen[lot] ?? 0] ?? [])]
  return {
    ...facts,
    loads: items.map(({ load }) => load),
    words: {
      loads: Object.fromEntries(items.map(({ load, words }) => [load.id, words])),
      pots: Object.fromEntries(facts.workshop.pots.map(pot => [pot.id, pot.name])),
    },
  }
}

/** Minutes that the workshop's own log says of a step; null = nothing yet. */
export type Learnt = (step: TimedStep, fibreId: string, route: Route) => number | null

export const planIdOfLoad = (loadId: number): string => `load:${loadId}`
export const planIdOfLot = (lotId: number, part: number): string => `lot:${lotId}:${part}`

/** Everything as it stands at `at` (ISO 8601 UTC). */
export async function openFacts(db: Db, at: string, learnt?: Learnt): Promise<OpenFacts> {
  const shed = await findWorkshop(db)
  if (shed === undefined) throw new Error('there is no workshop')
  const days = await findWorkingDays(db)
  const [loads, lots, pins] = [await openLoads(db), await waitingLots(db), await openPins(db)]
  const clientIds = [...new Set([...loads.flatMap(load => load.lots), ...lots].map(({ clientId }) => clientId))]
  const workshop = await planWorkshop(db, at, shed.timeZone, days, loads)
  const catalogue = await readCatalogue(db)
  const wishes = await wishesOf(db, clientIds, { at, timeZone: shed.timeZone })
  const site: Site = {
    catalogue,
    workshop,
    days,
    dryBasis: shed.dryBasis,
    wishes,
    pins,
    learnt: learnt ?? (await learntByLog(db)),
  }
  const waiting = lots.filter(lot => lot.bundles.length > 0).map(lot => ofLot(lot, site))
  const rests = (await potRests(db, at)).map(rest => ({ ...rest, potId: String(rest.potId), fromAt: rest.at }))
  const overruns = (await openOverruns(db)).map(over => ({ ...over, loadId: planIdOfLoad(over.loadId) }))
  return {
    workshop: withPotRests(workshop, rests),
    laid: loads.map(open => {
      const { load, words } = ofLoad(open, site)
      return { load: withOverruns(load, overruns), words }
    }),
    waiting: waiting.flatMap(({ ways }) => (ways.length === 0 ? [] : [ways])),
    notPlanned: waiting.flatMap(one => one.notPlanned),
    pins: pins.map(pin => ({ ...pin, planLoadId: planIdOfPin(pin) })),
    hoursAreGuessed: days.version === 1,
  }
}

const planIdOfPin = ({ loadId, lotId, part }: KnownPin): string =>
  loadId === null ? planIdOfLot(lotId, part ?? 1) : planIdOfLoad(loadId)

type Site = {
  catalogue: Catalogue
  workshop: PlanWorkshop
  days: KnownWorkingDays
  dryBasis: 'oven-dry' | 'conditioned'
  wishes: WishOfClient[]
  pins: KnownPin[]
  learnt: Learnt
}

function ofLoad(open: OpenLoad, site: Site): Item {
  const { loadId, lots, laidAt, begunAt, steps, recipe, potId } = open
  const name = `${sayLotsFirst(lots.map(({ lotId }) => lotId))}, load ${loadId}`
  const id = planIdOfLoad(loadId)
  const load = planLoad(site, { id, name, lots, recipe, steps, share: open, releasedAt: laidAt })
  const own = site.pins.filter(pin => pin.loadId === loadId && pin.stepN > begunAt.length)
  // Once it lies in a pot it stays there: only times are settled then.
  const pins = own.flatMap(pin => pinOf({ ...pin, potId: null }, site.workshop))
  return {
    load: { ...load, begunMin: begunAt.map(minuteAt), potId: String(potId), heated: isStillHeated(open), pins },
    words: {
      ...lotWords(asOne(lots)),
      lots: lots.map(lotWords),
      name,
      loadId,
      part: 1,
      parts: 1,
      fewestParts: 1,
      bundles: open.bundles,
      dryWeightG: open.dryWeightG,
      recipe: 'laid',
      href: `/loads/${loadId}`,
    },
  }
}

/** Its step under way, or one after that. */
const isStillHeated = ({ steps, begunAt }: OpenLoad): boolean =>
  steps.slice(begunAt.length - 1).some(({ heat, place }) => heat && place === 'pot')

function ofLot(lot: WaitingLot, site: Site): { ways: Item[][]; notPlanned: NotPlanned[] } {
  const kept = lot.recipe !== null && isForDyeAsked(lot.recipe.job, lot) ? lot.recipe : null
  const usual = kept ?? usualRecipe(lot, site)
  if (typeof usual === 'string') return { ways: [], notPlanned: [notPlanned(lot, usual)] }
  const pins = site.pins.filter(pin => pin.loadId === null && pin.lotId === lot.lotId)
  const taking = potsTaking(usual, site.catalogue, site.workshop.pots)
  const cuts = waysToCut(
    lot.bundles,
    usual,
    taking.map(({ usableMl }) => usableMl),
  )
  const fewestParts = cuts[0]?.length ?? 0
  const ways = withPinnedParts(cuts, pins).map(parts =>
    parts.map((bundles, index): Item => {
      const part = index + 1
      const id = planIdOfLot(lot.lotId, part)
      const name = parts.length === 1 ? `Lot ${lot.lotId}` : `Lot ${lot.lotId}, part ${part} of ${parts.length}`
      const dryWeightG = bundles.reduce((sum, bundle) => sum + bundle.dryWeightG, 0)
      const share = { dryWeightG, bundles: bundles.length }
      const own = pins.filter(pin => (pin.part ?? 1) === part)
      const steps = stepsFor(usual, dryWeightG, own, taking)
      const load = planLoad(site, { id, name, lots: [lot], recipe: usual, steps, share, releasedAt: lot.takenInAt })
      return {
        load: { ...load, pins: own.flatMap(pin => pinOf(pin, site.workshop)) },
        words: {
          ...lotWords(lot),
          lots: [lotWords(lot)],
          ...share,
          name,
          loadId: null,
          part,
          parts: parts.length,
          fewestParts,
          recipe: kept === null ? 'usual' : 'kept',
          href: `/lots/${lot.lotId}`,
        },
      }
    }),
  )
  return { ways, notPlanned: [] }
}

/** What the dyer has settled of a part keeps it: only ways that have so many. */
function withPinnedParts<Cut extends unknown[]>(ways: Cut[], pins: readonly KnownPin[]): Cut[] {
  const highest = Math.max(1, ...pins.map(pin => pin.part ?? 1))
  const enough = ways.filter(parts => parts.length >= highest)
  return enough.length > 0 ? enough : ways
}

/** A pot that is not there any more, or out of use, settles nothing. */
function pinOf({ stepN, startsAt, potId, agreed }: KnownPin, { pots }: PlanWorkshop): PlanPin[] {
  const pot = potId !== null && pots.some(({ id }) => id === String(potId)) ? String(potId) : null
  const startMin = startsAt === null ? null : minuteAt(startsAt)
  return pot === null && startMin === null ? [] : [{ stepN, startMin, potId: pot, againstWish: agreed !== '' }]
}

/** The recipe that the lot would start from, or a sentence that says why there is none. */
function usualRecipe(lot: WaitingLot, { catalogue, dryBasis }: Site): Recipe | string {
  try {
    return reckon(jobForLot(lot, dryBasis, catalogue, null), catalogue)
  } catch (fault) {
    if (!(fault instanceof Refusal)) throw fault
    return `It has no recipe yet, and the usual one cannot be reckoned: ${fault.message}`
  }
}

/** With the time that its baths take to get hot: in the pot that is settled, else in the slowest that it may come into. */
function stepsFor(recipe: Recipe, dryWeightG: number, pins: readonly KnownPin[], taking: readonly PlanPot[]) {
  const bathMl = dryWeightG * bathLPerKg(recipe)
  const settled = taking.filter(({ id }) => pins.some(({ potId }) => String(potId) === id))
  const pots = settled.length > 0 ? settled : taking.filter(({ usableMl }) => usableMl >= Math.floor(bathMl))
  return recipe.steps.map(step => warmed(step, bathMl, pots))
}

type Told = {
  id: string
  name: string
  lots: readonly OpenLot[]
  recipe: Recipe
  steps: readonly TimedStep[]
  share: { dryWeightG: number; bundles: number }
  releasedAt: string
}

function planLoad(site: Site, { id, name, lots, recipe, steps, share, releasedAt }: Told): PlanLoad {
  const lot = asOne(lots)
  const { days, workshop, wishes, learnt, catalogue } = site
  const timed = steps.map(step => withHabits(step, days.habits))
  return {
    id,
    name: `${name}, ${lot.colour}`,
    lot: lots.length === 1 ? String(lot.lotId) : null,
    releaseMin: minuteAt(releasedAt),
    neededByMin: endOfDay(lot.countedOn, workshop.timeZone),
    steps: planStepsOf(timed, step => learnt(step, lot.fibreId, recipe.job.route)),
    potIds: null,
    // Less than a mL over is no more than the last digit of an ounce.
    bathMl: Math.floor(share.dryWeightG * bathLPerKg(recipe)),
    ...traitsOf(recipe, catalogue),
    lineNeed: share.bundles * (days.lineUnit === 'bundles' ? 1 : days.metresPerBundle),
    wishes: wishes.filter(one => lots.some(({ clientId }) => clientId === one.clientId)).map(({ wish }) => wish),
    begunMin: [],
    potId: null,
    pins: [],
  }
}

const lotWords = (lot: OpenLot): OpenLot => ({
  lotId: lot.lotId,
  commissionId: lot.commissionId,
  clientId: lot.clientId,
  clientName: lot.clientName,
  clientMark: lot.clientMark,
  wishes: lot.wishes,
  purpose: lot.purpose,
  neededBy: lot.neededBy,
  countedOn: lot.countedOn,
  fibreId: lot.fibreId,
  fibreName: lot.fibreName,
  colour: lot.colour,
  swatch: lot.swatch,
})

const notPlanned = (lot: OpenLot, sentence: string): NotPlanned => ({
  ...lotWords(lot),
  sentence,
  href: `/lots/${lot.lotId}/recipe`,
})
