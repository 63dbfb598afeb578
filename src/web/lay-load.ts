import type { FastifyInstance, FastifyReply, FastifyRequest } from 'fastify'
import { z } from 'zod'
import { bathLPerKg } from '../domain/load-share.js'
import { begunWords } from '../domain/load-words.js'
import { sayLots } from '../domain/lot.js'
import { sayRuns } from '../domain/number-runs.js'
import { changedBy, keptFrom, type PotTraits, traitsOf } from '../domain/plan-traits.js'
import { type Fit, fit as howItFits, potHoldsG } from '../domain/pots.js'
import { sayWeight } from '../domain/quantity.js'
import { readMoment } from '../domain/read-moment.js'
import type { Recipe } from '../domain/recipe.js'
import { Refusal } from '../domain/refusal.js'
import { splitIntoPots } from '../domain/split-into-pots.js'
import { lotsNotAgreed, whyNotBegun } from '../store/agreements.js'
import { readCatalogue } from '../store/catalogue.js'
import type { Trx } from '../store/db.js'
import { findLoad, isWaiting, layLoad, whyNotByThisRecipe } from '../store/loads.js'
import { type Bundle, findLot, type Lot } from '../store/lots.js'
import { wishesNow } from '../store/plan-wishes.js'
import { type PotNow, potsNow } from '../store/pots.js'
import { keptRecipe } from '../store/recipes.js'
import { openWishes } from '../store/unmet-wishes.js'
import type { Workshop } from '../store/workshop.js'
import { id, optionalText, readBy, readIfTyped } from './kit/fields.js'
import { check, Form } from './kit/form.js'
import { byOf, found, idIn, onPost } from './kit/post.js'
import { sayWishNow } from './next-step.js'
import { unitsOf } from './pots.js'

const TICK = /^bundles\.(\d+)$/
const OTHER_LOT = /^others\.(\d{1,3})\.lotId$/

/** The numbers of the bundles that are ticked: as sent, or at first all that wait on the arrivals shelf. */
function tickedIn(form: Form, lot: Lot): number[] {
  const ticks = ticksIn(form, TICK)
  const split = [...form.typed].flatMap(([name, value]) => (SPLIT_BUNDLES.test(name) ? numbersIn(value) : []))
  if (ticks.length + split.length > 0 || form.has('sent')) return [...ticks, ...split]
  return allThatWait(lot)
}

const ticksIn = (form: Form, tick: RegExp): number[] =>
  [...form.typed.keys()].flatMap(name => tick.exec(name)?.slice(1).map(Number) ?? [])

function allThatWait({ bundles }: Lot): number[] {
  const shelved = bundles.filter(({ place }) => place === 'arrivals shelf')
  return (shelved.length > 0 ? shelved : bundles.filter(isWaiting)).map(({ n }) => n)
}

const SPLIT_BUNDLES = /^loads\.\d+\.bundles$/
const numbersIn = (list: string): number[] =>
  /^\d{1,4}(,\d{1,4}){0,299}$/.test(list) ? list.split(',').map(Number) : []

/** The other lots that are to share the bath, each with the numbers of its bundles that are ticked; null: none was sent. */
function othersIn(form: Form): { lotId: number; ns: number[] | null }[] {
  const rows = [...form.typed].flatMap(([name, value]) => {
    const [, at] = OTHER_LOT.exec(name) ?? []
    return at !== undefined && /^\d{1,15}$/.test(value) ? [{ at, lotId: Number(value) }] : []
  })
  return rows.map(({ at, lotId }) => {
    const ns = ticksIn(form, new RegExp(`^others\\.${at}\\.bundles\\.(\\d+)$`))
    return { lotId, ns: ns.length > 0 || form.has('sent') ? ns : null }
  })
}

type TickedBundle = Bundle & { waits: boolean; ticked: boolean }

const withTicks = ({ bundles }: Lot, ticked: readonly number[]): TickedBundle[] =>
  bundles.map(bundle => ({
    ...bundle,
    waits: isWaiting(bundle),
    ticked: isWaiting(bundle) && ticked.includes(bundle.n),
  }))

async function showLay(request: FastifyRequest, reply: FastifyReply, form: Form, status: number) {
  const { db, workshop } = { db: request.server.db, workshop: request.workshop }
  const lot = found(await findLot(db, idIn(request)), 'lot')
  const clock = { at: byOf(request).at, timeZone: workshop.timeZone }
  const kept = await keptRecipe(db, lot.id)
  const bundles = withTicks(lot, tickedIn(form, lot))
  const others: Lot[] = []
  for (const { lotId, ns } of othersIn(form).filter(one => one.lotId !== lot.id)) {
    const other = found(await findLot(db, lotId), 'lot')
    others.push({ ...other, bundles: withTicks(other, ns ?? allThatWait(other)) })
  }
  const all = [...bundles, ...others.flatMap(other => other.bundles as TickedBundle[])]
  const chosen = all.filter(bundle => bundle.ticked)
  const catalogue = await readCatalogue(db)
  const room =
    kept && roomFor(kept.recipe, traitsOf(kept.recipe, catalogue), chosen, await potsNow(db, clock.at), workshop)
  const names = sayLots([lot, ...others].map(({ id }) => id))
  return reply.page('loads/lay', {
    title: others.length === 0 ? `Put ${names} in a pot` : `Put ${names} in one bath`,
    form,
    status,
    data: {
      lot: { ...lot, bundles },
      others,
      leaveAlone: (
        await wishesNow(
          db,
          [lot, ...others].map(({ id }) => id),
          clock,
        )
      ).map(wish => sayWishNow(wish, clock)),
      recipe: kept ? { id: kept.id, dyeWords: kept.recipe.dyeWords, depthWords: kept.recipe.depthWords } : null,
      notBegun: (await whyNotBegun(db, lot)) ?? '',
      notAgreed:
        (await openWishes(db, lot.commissionId)).length === 0 &&
        (await lotsNotAgreed(db, lot.commissionId)).includes(lot.id),
      notByThisRecipe: (kept && (await whyNotByThisRecipe(db, lot, kept.recipe))) ?? '',
      chosenG: weightOf(chosen),
      lPerKg: room?.lPerKg ?? null,
      pots: room?.pots ?? [],
      split: others.length === 0 ? (room?.split ?? null) : null,
    },
  })
}

const weightOf = (bundles: readonly Bundle[]): number => bundles.reduce((sum, { dryWeightG }) => sum + dryWeightG, 0)

/** `keptFrom`: why the dyer keeps it from this bath; `changes`: what it is made of, where that changes the colour. */
type PotRoom = PotNow & { holdsG: number; isFree: boolean; keptFrom: string | null; changes: string | null; fit: Fit }

/** What each pot holds at this recipe's liquor ratio; how to share the bundles out when no one pot takes them all. */
function roomFor(
  recipe: Recipe,
  traits: PotTraits,
  chosen: readonly Bundle[],
  all: readonly PotNow[],
  workshop: Workshop,
) {
  const lPerKg = bathLPerKg(recipe)
  const weight = (grams: number) => sayWeight(grams, unitsOf(workshop))
  const pots: PotRoom[] = all
    .filter(({ outOfUse }) => !outOfUse)
    .map(pot => {
      const holder = { name: pot.name, usableVolumeMl: pot.usableMl }
      const fit = howItFits(weightOf(chosen), holder, lPerKg, weight)
      return {
        ...pot,
        holdsG: potHoldsG(holder, lPerKg),
        isFree: pot.loadId === null && pot.rest === null,
        keptFrom: keptFrom(traits, pot),
        changes: changedBy(traits, pot.metal),
        fit,
      }
    })
  const free = pots.filter(({ isFree, keptFrom }) => isFree && keptFrom === null)
  const fitsOne = free.some(({ fit }) => fit.fits)
  return { lPerKg, pots, split: chosen.length === 0 || fitsOne ? null : sharedOut(chosen, free, weight) }
}

function sharedOut(chosen: readonly Bundle[], free: PotRoom[], weight: (grams: number) => string) {
  const bundles = chosen.map(({ id, n, dryWeightG }) => ({ id, n, dryWeightG, lotId: 'this lot' }))
  const { pots, left } = splitIntoPots(bundles, free, weight)
  return {
    loads: pots.map(({ pot, bundles: inIt, dryWeightG, fill }) => ({
      potId: pot.id,
      potName: pot.name,
      bundleNs: inIt.map(({ n }) => n),
      bundleWords: sayRuns(inIt.map(({ n }) => n)),
      dryWeightG,
      fill,
    })),
    leftNs: left.bundles.map(({ n }) => n),
    leftWords: left.sentence ?? '',
  }
}

/** When it was put in, if that was earlier. */
const momentIn = (request: FastifyRequest) => {
  const { timeZone } = request.workshop
  const moment = readIfTyped(typed => readMoment(typed, { now: byOf(request).at, timeZone }))
  return moment.transform(at => at ?? undefined)
}
const oneLoad = (request: FastifyRequest) =>
  z.object({
    potId: id('Pot'),
    toldApart: optionalText('How they are told apart', 500),
    at: momentIn(request),
  })
const sharedLoads = (request: FastifyRequest) =>
  z.object({
    loads: z
      .array(z.object({ potId: id('Pot'), bundles: readBy(list => ({ ok: true, value: numbersIn(list) })) }))
      .catch([]),
    sharedAt: momentIn(request),
  })

/** The bundles of the lot with these numbers; a number that the lot does not have is asked about. */
async function bundleIdsOf(trx: Trx, lotId: number, ns: number[]): Promise<number[]> {
  const lot = found(await findLot(trx, lotId), 'lot')
  const strange = ns.find(n => !lot.bundles.some(bundle => bundle.n === n))
  if (strange !== undefined)
    throw new Refusal('wrong', `Lot ${lotId} has no bundle ${strange}: tick them again.`, 'bundles')
  return lot.bundles.filter(({ n }) => ns.includes(n)).map(bundle => bundle.id)
}

/** Every bundle that is ticked, of this lot and of those that share its bath; each lot that is named brings some. */
async function ticked(trx: Trx, lotId: number, form: Form) {
  const lots = [
    { lotId, ns: ticksIn(form, TICK) },
    ...othersIn(form).map(({ ns, ...one }) => ({ ...one, ns: ns ?? [] })),
  ]
  const twice = lots.find(({ lotId }, at) => lots.findIndex(one => one.lotId === lotId) < at)
  if (twice) throw new Refusal('wrong', `Lot ${twice.lotId} is named twice: different lots share a bath.`)
  const bundleIds: number[] = []
  for (const one of lots) {
    const ids = await bundleIdsOf(trx, one.lotId, one.ns)
    if (ids.length === 0) {
      const which = lots.length > 1 ? ` of lot ${one.lotId}` : ''
      throw new Refusal('wrong', `Tick at least one bundle${which} to put in.`, 'bundles')
    }
    bundleIds.push(...ids)
  }
  return { bundleIds, said: lots.map(one => `Lot ${one.lotId}, bundles ${sayRuns(one.ns)}`).join('; ') }
}

/** What is refused of the time is said at the field of this form. */
async function layAt<T>(field: string, laying: Promise<T>): Promise<T> {
  try {
    return await laying
  } catch (fault) {
    throw fault instanceof Refusal && fault.field === 'at' ? new Refusal(fault.code, fault.message, field) : fault
  }
}

export function layLoads(app: FastifyInstance): void {
  app.get('/lots/:id/load', (request, reply) => showLay(request, reply, Form.read(request.query), 200))
  onPost(app, '/lots/:id/load', {
    show: showLay,
    act: async (trx, request, form, by) => {
      const { bundleIds, said } = await ticked(trx, idIn(request), form)
      const { potId, toldApart, at } = check(oneLoad(request), form)
      const loadId = await layLoad(trx, by, { potId, bundleIds, toldApart, at })
      const { steps, potName } = found(await findLoad(trx, loadId), 'load')
      return { to: `/loads/${loadId}`, said: `${said}, ${begunWords(steps[0], potName)}.` }
    },
  })
  app.get('/lots/:id/loads', (request, reply) => reply.redirect(`/lots/${idIn(request)}/load`, 303))
  onPost(app, '/lots/:id/loads', {
    show: showLay,
    act: async (trx, request, form, by) => {
      const lotId = idIn(request)
      const { loads, sharedAt: at } = check(sharedLoads(request), form)
      if (loads.length === 0) throw new Refusal('wrong', 'Choose a pot for these bundles.', 'potId')
      for (const { potId, bundles } of loads)
        await layAt('sharedAt', layLoad(trx, by, { potId, bundleIds: await bundleIdsOf(trx, lotId, bundles), at }))
      return { to: '/', said: `Lot ${lotId} is shared out over ${loads.length} pots.` }
    },
  })
}
