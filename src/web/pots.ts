import type { FastifyInstance, FastifyReply, FastifyRequest } from 'fastify'
import { z } from 'zod'
import { bathLPerKg } from '../domain/load-share.js'
import { fit as howItFits } from '../domain/pots.js'
import { readVolume, sayWeight } from '../domain/quantity.js'
import type { Db } from '../store/db.js'
import { loadsAtWork } from '../store/loads.js'
import { type Lot, lotsToStart } from '../store/lots.js'
import { addPot, changePot, findPot, type KnownPot, listPots } from '../store/pots.js'
import { keptRecipe } from '../store/recipes.js'
import type { Workshop } from '../store/workshop.js'
import { optionalText, readBy, text, tick, version } from './kit/fields.js'
import { check, type Form } from './kit/form.js'
import { byOf, formPage, found, idIn } from './kit/post.js'
import { cardOf } from './load-card.js'

const SMALLEST_ML = 200
const LARGEST_ML = 1_000_000

export const unitsOf = (workshop: Workshop) => ({ weight: workshop.weightUnit, volume: workshop.volumeUnit })

const usable = (workshop: Workshop) =>
  readBy(typed => {
    const limits = { label: 'usable volume', min: SMALLEST_ML, max: LARGEST_ML }
    const volume = readVolume(typed, unitsOf(workshop), limits)
    return volume.ok
      ? { ok: true, value: { usableMl: volume.value.millilitres, usableTyped: volume.value.typed } }
      : volume
  })

const potFields = (workshop: Workshop) => ({
  name: text('Name', 80),
  usable: usable(workshop),
  metal: optionalText('What it is made of', 80),
  note: optionalText('Note', 1000),
  outOfUse: tick,
})

async function listAll(request: FastifyRequest, reply: FastifyReply) {
  const { db } = request.server
  const [pots, loads] = [await listPots(db), await loadsAtWork(db)]
  const held = pots.map(pot => ({ ...pot, load: loads.find(({ id }) => id === pot.loadId) ?? null }))
  return reply.page('pots/list', { title: 'Pots', data: { pots: held } })
}

async function showPot(request: FastifyRequest, reply: FastifyReply) {
  const { db } = request.server
  const pot = found(await findPot(db, idIn(request)), 'pot')
  const held = (await loadsAtWork(db)).find(({ id }) => id === pot.loadId)
  const load = held ? cardOf(held, byOf(request).at) : null
  const waiting = load === null && !pot.outOfUse ? await waitingFor(db, pot, request.workshop) : []
  return reply.page('pots/show', { title: pot.name, data: { pot, load, waiting } })
}

/** The lots that wait on the arrivals shelf, and whether what is left of them would go into this pot at one time. */
async function waitingFor(db: Db, pot: KnownPot, workshop: Workshop) {
  const lots = await lotsToStart(db)
  return Promise.all(lots.map(lot => fitOf(db, lot, pot, workshop)))
}

async function fitOf(db: Db, { bundles, ...lot }: Lot, pot: KnownPot, workshop: Workshop) {
  const shelved = bundles.filter(({ place }) => place === 'arrivals shelf')
  const dryWeightG = shelved.reduce((sum, bundle) => sum + bundle.dryWeightG, 0)
  const kept = await keptRecipe(db, lot.id)
  const weight = (grams: number) => sayWeight(grams, unitsOf(workshop))
  const holder = { name: pot.name, usableVolumeMl: pot.usableMl }
  return {
    lot,
    bundles: shelved.length,
    dryWeightG,
    fit: kept ? howItFits(dryWeightG, holder, bathLPerKg(kept.recipe), weight) : null,
  }
}

const showNew = (_request: FastifyRequest, reply: FastifyReply, form: Form, status: number) =>
  reply.page('pots/edit', { title: 'A new pot', form, status, data: { pot: null } })

async function showEdit(request: FastifyRequest, reply: FastifyReply, form: Form, status: number) {
  const pot = found(await findPot(request.server.db, idIn(request)), 'pot')
  return reply.page('pots/edit', { title: `${pot.name}: change`, form, status, data: { pot } })
}

export function pots(app: FastifyInstance): void {
  app.get('/pots', listAll)
  formPage(app, '/pots/new', {
    show: showNew,
    act: async (trx, request, form, by) => {
      const { usable, ...pot } = check(z.object(potFields(request.workshop)), form)
      await addPot(trx, by, { ...pot, ...usable })
      return { to: '/pots', said: `${pot.name} is written down.` }
    },
  })
  app.get('/pots/:id', showPot)
  formPage(app, '/pots/:id/edit', {
    show: showEdit,
    act: async (trx, request, form, by) => {
      const { version: seen, usable, ...pot } = check(z.object({ ...potFields(request.workshop), version }), form)
      await changePot(trx, by, idIn(request), seen, { ...pot, ...usable })
      return { to: `/pots/${idIn(request)}`, said: `${pot.name} is changed.` }
    },
  })
}
