import type { FastifyInstance, FastifyReply, FastifyRequest } from 'fastify'
import {
  CONDITIONS_FOUND,
  conditionFound,
  sayTying,
  THICK_ENDS,
  TIE_KINDS,
  TIE_PLACES,
  TYING_UNKNOWN,
  whyApartAnyway,
} from '../domain/arrival.js'
import type { Catalogue } from '../domain/catalogue.js'
import { OFFCUTS, SHARES_BATH_WORDS } from '../domain/client.js'
import { sayPressing } from '../domain/commission.js'
import { addDays, dayOf, daysBetween } from '../domain/day.js'
import { alikeRuns, asksWhy, LOT_CONDITIONS, totalsOf } from '../domain/drop-off.js'
import { PURPOSES, ROUTE_WORDS, ROUTES } from '../domain/recipe.js'
import { dropOffDefaults, usualTying } from '../store/arrivals.js'
import { keepPlanWith } from '../store/asked-day.js'
import { readCatalogue } from '../store/catalogue.js'
import { findClient, findClients } from '../store/clients.js'
import type { Db } from '../store/db.js'
import { type LotIn, takeIn } from '../store/drop-off.js'
import { findLot } from '../store/lots.js'
import { timedWishesOf } from '../store/timed-wishes.js'
import { askedDayFor, promiseDay } from './asked-day.js'
import { type Checked, checkDropOff, withoutReason } from './drop-off-check.js'
import { clientsMeant, fixedClient } from './drop-off-client.js'
import { findingsFor, type Reading, routeOf, saidIn } from './drop-off-fields.js'
import { afterPress, lotsTyped, pressed, withLots, withoutBlanks } from './drop-off-rows.js'
import { tickName } from './kit/fields.js'
import { Form, Unfit } from './kit/form.js'
import { carryOut, found, type Post } from './kit/post.js'

const MOST_NAMES = 300

export async function readingOf(db: Db, request: FastifyRequest): Promise<Reading> {
  const { weightUnit, volumeUnit, timeZone, dryBasis } = request.workshop
  const today = dayOf(request.server.now().toISOString(), timeZone)
  const { weeksWithoutDay } = await dropOffDefaults(db)
  return {
    units: { weight: weightUnit, volume: volumeUnit },
    dryBasis,
    today,
    catalogue: await readCatalogue(db),
    dayWithoutAsking: addDays(today, 7 * weeksWithoutDay),
  }
}

/** The dyes to choose from, route by route. */
export const dyesByRoute = (catalogue: Catalogue) =>
  ROUTES.map(route => ({
    route,
    words: ROUTE_WORDS[route],
    dyes: catalogue.substances.filter(dye => routeOf(dye) === route).map(({ id, name }) => ({ id, name })),
  })).filter(({ dyes }) => dyes.length > 0)

const lotsShown = (form: Form, catalogue: Catalogue) =>
  lotsTyped(form).map(({ fields, bundles }, l) => {
    const said = saidIn(field => form.value(`lots.${l}.${field}`))
    const findings = findingsFor(catalogue, fields.fibreId, fields.dyeId, said)
    const chosen = fields.fibreId !== '' && fields.dyeId !== ''
    return { rows: bundles.length, repeatsLotId: fields.repeatsLotId, chosen, findings, asksWhy: asksWhy(findings) }
  })

async function showForm(request: FastifyRequest, reply: FastifyReply, sent: Form, status: number) {
  const { db } = request.server
  const form = withLots(sent, lotsTyped(sent))
  const { catalogue, dayWithoutAsking } = await readingOf(db, request)
  const clients = await findClients(db, '', MOST_NAMES)
  const client = await fixedClient(db, form)
  return reply.page('drop-off/new', {
    title: 'Drop-off',
    form,
    status,
    data: {
      client: client ?? null,
      dayWithoutAsking,
      timedWishes: client ? await timedWishesOf(db, client.id) : [],
      meant: await clientsMeant(db, form),
      names: [...new Set(clients.map(({ name }) => name))],
      fibres: catalogue.fibres.map(({ id, name }) => ({ id, name })),
      dyes: dyesByRoute(catalogue),
      conditions: LOT_CONDITIONS,
      purposes: PURPOSES,
      lots: lotsShown(form, catalogue),
      found: CONDITIONS_FOUND,
      tying: { places: TIE_PLACES, kinds: TIE_KINDS, thickEnds: THICK_ENDS },
      usual: await usualTying(db, client?.id ?? null),
      offcuts: OFFCUTS,
    },
  })
}

/** How a lot comes, in words; '' where it is the everyday case. */
function seenOf({ came = {}, bundles }: LotIn) {
  const found = conditionFound(came.found ?? [], bundles.map(({ condition }) => condition).join('\n'))
  const { faults = 'not asked', words = '' } = came.faults ?? {}
  return {
    found: found.join(', '),
    tying: sayTying(came.tying ?? TYING_UNKNOWN),
    faults: words || (faults === 'not asked' ? '' : faults),
    keptApart: came.keepApart || whyApartAnyway(found),
  }
}

/** What both look at before it is taken in: the same records as afterwards, and every sum. */
function readBackOf({ dropOff, who, findings }: Checked, { catalogue, today }: Reading) {
  const nameIn = (list: { id: string; name: string }[], id: string) => list.find(each => each.id === id)?.name ?? id
  const { client: dropOffClient, lots, ...rest } = dropOff
  const told = 'id' in dropOffClient ? dropOffClient.told : {}
  const daysLeft = daysBetween(today, dropOff.neededBy)
  const client = { ...('known' in who ? who.known : who.fresh), ...told }
  return {
    ...rest,
    client,
    bathWords: SHARES_BATH_WORDS[client.sharesBath ?? 'not asked'],
    isNewClient: !('known' in who),
    daysLeft,
    pressing: sayPressing(daysLeft),
    totals: totalsOf(lots.flatMap(({ bundles }) => bundles)),
    lots: lots.map((lot, l) => ({
      ...lot,
      fibreName: nameIn(catalogue.fibres, lot.fibreId),
      dyeName: nameIn(catalogue.substances, lot.dyeId),
      routeWords: ROUTE_WORDS[lot.route],
      seen: seenOf(lot),
      totals: totalsOf(lot.bundles),
      runs: alikeRuns(lot.bundles.map((one, at) => ({ n: at + 1, one }))),
      findings: findings[l] ?? [],
      asksWhy: asksWhy(findings[l] ?? []),
    })),
  }
}

/** The check page, or the form again with all that is wrong. `errors` are those of a press of "Take in". */
async function showReadBack(request: FastifyRequest, reply: FastifyReply, form: Form, status: number) {
  const { db } = request.server
  const reading = await readingOf(db, request)
  try {
    const checked = await checkDropOff(db, form, reading)
    return reply.page('drop-off/read-back', {
      title: 'Read it back',
      form: checked.form.with(form.errors, form.doneAt),
      status,
      data: {
        readBack: readBackOf(checked, reading),
        timedWishes: 'known' in checked.who ? await timedWishesOf(db, checked.who.known.id) : [],
        asked: await askedDayFor(request, db, checked.dropOff),
      },
    })
  } catch (fault) {
    if (fault instanceof Unfit) return showForm(request, reply, form.with(fault.errors), 422)
    throw fault
  }
}

const taking: Post = {
  show: showReadBack,
  act: async (trx, request, form, by) => {
    const checked = await checkDropOff(trx, form, await readingOf(trx, request))
    const missing = withoutReason(checked)
    if (missing.length > 0) throw new Unfit(missing)
    const { bundles } = totalsOf(checked.dropOff.lots.flatMap(lot => lot.bundles))
    const id = await takeIn(trx, by, checked.dropOff, commissionId =>
      promiseDay(trx, by, { commissionId, form, timeZone: request.workshop.timeZone }),
    )
    await keepPlanWith(trx, by, id)
    return { to: `/commissions/${id}`, said: `Taken in: ${bundles === 1 ? '1 bundle' : `${bundles} bundles`}.` }
  },
}

/** Every button of the form and of the check page comes here; only "Take in" writes anything. */
async function press(request: FastifyRequest, reply: FastifyReply) {
  const sent = Form.read(request.body)
  const button = pressed(sent.value('do'))
  if (button.button === 'take-in') return carryOut(request, reply, taking)
  if (button.button === 'read-back') {
    return showReadBack(request, reply, withLots(sent, withoutBlanks(lotsTyped(sent))), 200)
  }
  const { units } = await readingOf(request.server.db, request)
  const form = afterPress(sent, button, units)
  return showForm(request, reply, form, form.errors.length > 0 ? 422 : 200)
}

/** An empty form, or one begun for a client or from a lot that is to be made again. */
async function begun(db: Db, asked: Form): Promise<Form> {
  const numberIn = (name: string) => (/^\d{1,15}$/.test(asked.value(name)) ? Number(asked.value(name)) : -1)
  if (asked.has('repeat')) {
    const lot = found(await findLot(db, numberIn('repeat')), 'lot')
    return Form.of({
      clientId: String(lot.clientId),
      purpose: lot.purpose,
      'lots.0.fibreId': lot.fibreId,
      'lots.0.colour': lot.colour,
      'lots.0.swatch': lot.swatch ?? '',
      'lots.0.dyeId': lot.dyeId,
      'lots.0.tiesUndyed': lot.tiesUndyed ? 'yes' : '',
      'lots.0.repeatsLotId': String(lot.id),
      ...Object.fromEntries(lot.conditions.map(words => [`lots.0.conditions.${tickName(words)}`, 'yes'])),
      ...Object.fromEntries(lot.purposes.map(words => [`lots.0.purposes.${tickName(words)}`, 'yes'])),
    })
  }
  if (!asked.has('client')) return new Form()
  const client = found(await findClient(db, numberIn('client')), 'client')
  return Form.of({ clientId: String(client.id) })
}

export function dropOff(app: FastifyInstance): void {
  app.get('/drop-off', async (request, reply) =>
    showForm(request, reply, await begun(request.server.db, Form.read(request.query)), 200),
  )
  app.post('/drop-off', press)
}
