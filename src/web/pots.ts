import type { FastifyInstance, FastifyReply, FastifyRequest } from 'fastify'
import { z } from 'zod'
import { usableVolume, waterToDepth } from '../domain/bath.js'
import type { Catalogue } from '../domain/catalogue.js'
import { bathLPerKg } from '../domain/load-share.js'
import { changedBy, keptFrom, traitsOf } from '../domain/plan-traits.js'
import { fit as howItFits } from '../domain/pots.js'
import { readVolume, sayVolume, sayWeight } from '../domain/quantity.js'
import { readLapse, sayMinutes } from '../domain/read-lapse.js'
import { readCatalogue } from '../store/catalogue.js'
import type { Db } from '../store/db.js'
import { loadsAtWork } from '../store/loads.js'
import { type Lot, lotsToStart } from '../store/lots.js'
import { addPot, changePot, findPot, type KnownPot, potsNow } from '../store/pots.js'
import { keptRecipe } from '../store/recipes.js'
import type { Workshop } from '../store/workshop.js'
import { optionalText, readBy, readIfTyped, text, tick, version } from './kit/fields.js'
import { check, type Form, Unfit } from './kit/form.js'
import { measuresOf } from './kit/measures.js'
import { byOf, formPage, found, idIn } from './kit/post.js'
import { cardOf } from './load-card.js'

const SMALLEST_ML = 200
const LARGEST_ML = 1_000_000

type Usable = { usableMl: number; usableTyped: string }

export const unitsOf = (workshop: Workshop) => ({ weight: workshop.weightUnit, volume: workshop.volumeUnit })

/** A quarter of the pot is left to stir in and for fibre that floats: common practice, no source. */
const HEAD_ROOM_PERCENT = 25

/** Empty only where the pot was measured instead. */
const usable = (workshop: Workshop, isMeasured: boolean) =>
  readBy<Usable | null>(typed => {
    if (typed === '' && isMeasured) return { ok: true, value: null }
    const limits = { label: 'usable volume', min: SMALLEST_ML, max: LARGEST_ML }
    const volume = readVolume(typed, unitsOf(workshop), limits)
    return volume.ok
      ? { ok: true, value: { usableMl: volume.value.millilitres, usableTyped: volume.value.typed } }
      : volume
  })

const potFields = (form: Form, workshop: Workshop) => ({
  name: text('Name', 80),
  usable: usable(
    workshop,
    ['across', 'deep'].some(field => form.value(field).trim() !== ''),
  ),
  across: readIfTyped(measuresOf(workshop).millimetres('diameter inside', { min: 50, max: 3000 })),
  deep: readIfTyped(measuresOf(workshop).millimetres('depth inside', { min: 50, max: 3000 })),
  metal: optionalText('What it is made of', 80),
  note: optionalText('Note', 1000),
  outOfUse: tick,
  noIron: tick,
  onlyBrights: tick,
  noHeat: tick,
  hotAfterMinutes: readIfTyped(typed => readLapse(typed, 'Time to get it hot', 1, 600)),
})

function refuseBothHeats({ noHeat, hotAfterMinutes }: { noHeat: boolean; hotAfterMinutes: number | null }): void {
  if (!noHeat || hotAfterMinutes === null) return
  const sentence = 'A pot that stands on no burner does not get hot. Empty this, or take that tick away.'
  throw new Unfit([{ field: 'hotAfterMinutes', sentence }])
}

/** What was typed, or else what a round pot of this size takes with its head-room. */
function usableOf(typed: Usable | null, across: number | null, deep: number | null, workshop: Workshop): Usable {
  if (typed !== null) return typed
  if (across === null) throw new Unfit([{ field: 'across', sentence: 'Enter the diameter inside too.' }])
  if (deep === null) throw new Unfit([{ field: 'deep', sentence: 'Enter the depth inside too.' }])
  const brim = waterToDepth({ shape: 'round', diameterMm: across }, deep)
  const { volumeMl } = usableVolume(brim.volumeMl, HEAD_ROOM_PERCENT)
  const usableTyped = sayVolume(volumeMl, unitsOf(workshop))
  if (volumeMl < SMALLEST_ML || volumeMl > LARGEST_ML)
    throw new Unfit([{ field: 'across', sentence: `A pot of that size takes ${usableTyped}. Check both measures.` }])
  // What is said is what is kept, so that saving the pot again changes nothing.
  const said = readVolume(usableTyped, unitsOf(workshop), { label: 'usable volume' })
  return { usableMl: said.ok ? said.value.millilitres : volumeMl, usableTyped }
}

async function listAll(request: FastifyRequest, reply: FastifyReply) {
  const { db } = request.server
  const [pots, loads] = [await potsNow(db, byOf(request).at), await loadsAtWork(db)]
  const held = pots.map(pot => ({ ...pot, load: loads.find(({ id }) => id === pot.loadId) ?? null }))
  return reply.page('pots/list', { title: 'Pots', live: true, data: { pots: held } })
}

async function showPot(request: FastifyRequest, reply: FastifyReply) {
  const { db } = request.server
  const pots = await potsNow(db, byOf(request).at)
  const pot = found(
    pots.find(({ id }) => id === idIn(request)),
    'pot',
  )
  const held = (await loadsAtWork(db)).find(({ id }) => id === pot.loadId)
  const load = held ? cardOf(held, byOf(request).at) : null
  const waiting = load === null && !pot.outOfUse && pot.rest === null ? await waitingFor(db, pot, request.workshop) : []
  return reply.page('pots/show', { title: pot.name, data: { pot, load, waiting } })
}

/** The lots that wait on the arrivals shelf, and whether what is left of them would go into this pot at one time. */
async function waitingFor(db: Db, pot: KnownPot, workshop: Workshop) {
  const lots = await lotsToStart(db)
  const catalogue = await readCatalogue(db)
  return Promise.all(lots.map(lot => fitOf(db, lot, pot, workshop, catalogue)))
}

async function fitOf(db: Db, { bundles, ...lot }: Lot, pot: KnownPot, workshop: Workshop, catalogue: Catalogue) {
  const shelved = bundles.filter(({ place }) => place === 'arrivals shelf')
  const dryWeightG = shelved.reduce((sum, bundle) => sum + bundle.dryWeightG, 0)
  const kept = await keptRecipe(db, lot.id)
  const weight = (grams: number) => sayWeight(grams, unitsOf(workshop))
  const holder = { name: pot.name, usableVolumeMl: pot.usableMl }
  const traits = kept ? traitsOf(kept.recipe, catalogue) : null
  return {
    lot,
    bundles: shelved.length,
    dryWeightG,
    keptFrom: traits && keptFrom(traits, pot),
    changes: traits && changedBy(traits, pot.metal),
    fit: kept ? howItFits(dryWeightG, holder, bathLPerKg(kept.recipe), weight) : null,
  }
}

const showNew = (_request: FastifyRequest, reply: FastifyReply, form: Form, status: number) =>
  reply.page('pots/edit', {
    title: 'A new pot',
    form,
    status,
    data: { pot: null, hotAfter: '', headRoomPercent: HEAD_ROOM_PERCENT },
  })

async function showEdit(request: FastifyRequest, reply: FastifyReply, form: Form, status: number) {
  const pot = found(await findPot(request.server.db, idIn(request)), 'pot')
  return reply.page('pots/edit', {
    title: `${pot.name}: change`,
    form,
    status,
    data: {
      pot,
      hotAfter: pot.hotAfterMinutes === null ? '' : sayMinutes(pot.hotAfterMinutes),
      headRoomPercent: HEAD_ROOM_PERCENT,
    },
  })
}

export function pots(app: FastifyInstance): void {
  app.get('/pots', listAll)
  formPage(app, '/pots/new', {
    show: showNew,
    act: async (trx, request, form, by) => {
      const { usable, across, deep, ...pot } = check(z.object(potFields(form, request.workshop)), form)
      const takes = usableOf(usable, across, deep, request.workshop)
      refuseBothHeats(pot)
      await addPot(trx, by, { ...pot, ...takes })
      return { to: '/pots', said: `${pot.name} is written down. It takes ${takes.usableTyped} of bath.` }
    },
  })
  app.get('/pots/:id', showPot)
  formPage(app, '/pots/:id/edit', {
    show: showEdit,
    act: async (trx, request, form, by) => {
      const fields = z.object({ ...potFields(form, request.workshop), version })
      const { version: seen, usable, across, deep, ...pot } = check(fields, form)
      const takes = usableOf(usable, across, deep, request.workshop)
      refuseBothHeats(pot)
      await changePot(trx, by, idIn(request), seen, { ...pot, ...takes })
      return { to: `/pots/${idIn(request)}`, said: `${pot.name} is changed.` }
    },
  })
}
