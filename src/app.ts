import compress from '@fastify/compress'
import cookie from '@fastify/cookie'
import formbody from '@fastify/formbody'
import fastify, { type FastifyInstance } from 'fastify'
import type { Db } from './store/db.js'
import { arrivals } from './web/arrivals.js'
import { bath } from './web/bath.js'
import { bundles } from './web/bundles.js'
import { calendarOfWork } from './web/calendar-feed.js'
import { catalogue } from './web/catalogue.js'
import { catalogueEdit } from './web/catalogue-edit.js'
import { catalogueNew } from './web/catalogue-new.js'
import { changes } from './web/changes.js'
import { clientData } from './web/client-data.js'
import { clientPage } from './web/client-page.js'
import { clientTold } from './web/client-told.js'
import { clients } from './web/clients.js'
import { commissions } from './web/commissions.js'
import { dayToPromise } from './web/day-to-promise.js'
import { dropOff } from './web/drop-off.js'
import { dropOffSettings } from './web/drop-off-settings.js'
import { dryWeight } from './web/dry-weight.js'
import { dyeLots } from './web/dye-lots.js'
import { exchange } from './web/exchange.js'
import { handBack } from './web/hand-back.js'
import { health } from './web/health.js'
import { howLong } from './web/how-long.js'
import { incidents } from './web/incidents.js'
import { changesOf } from './web/kit/changes.js'
import type { Config } from './web/kit/config.js'
import { errorPages, refuseOtherMethods } from './web/kit/errors.js'
import { guard } from './web/kit/guard.js'
import { pages } from './web/kit/page.js'
import './web/kit/site.js'
import { clientKeepingPage } from './web/client-keeping.js'
import { colourAsk } from './web/colour-ask.js'
import { serveStatic } from './web/kit/static.js'
import { uploads } from './web/kit/upload.js'
import { layLoads } from './web/lay-load.js'
import { loads } from './web/loads.js'
import { lots } from './web/lots.js'
import { oneBath } from './web/one-bath.js'
import { otherwise } from './web/otherwise.js'
import { outcomes } from './web/outcomes.js'
import { pastLots } from './web/past-lots.js'
import { photographSettings } from './web/photograph-settings.js'
import { photographs } from './web/photographs.js'
import { places } from './web/places.js'
import { plan } from './web/plan.js'
import { potNow } from './web/pot-now.js'
import { potSheet } from './web/pot-sheet.js'
import { pots } from './web/pots.js'
import { putRight } from './web/put-right.js'
import { receipts } from './web/receipts.js'
import { recipes } from './web/recipes.js'
import { reckonPage } from './web/reckon.js'
import { release } from './web/release.js'
import { returnSlip } from './web/return-slip.js'
import { settings } from './web/settings.js'
import { shelfCounts } from './web/shelf-counts.js'
import { signIn } from './web/sign-in.js'
import { splitOverPots } from './web/split-into-pots.js'
import { spots } from './web/spots.js'
import { stockSolution } from './web/stock-solution.js'
import { tagLookUp } from './web/tag-look-up.js'
import { tagSettings } from './web/tag-settings.js'
import { tags } from './web/tags.js'
import { tieBoard } from './web/tie-board.js'
import { timedWishes } from './web/timed-wishes.js'
import { today } from './web/today.js'
import { undyed } from './web/undyed.js'
import { untagged } from './web/untagged.js'
import { week } from './web/week.js'
import { wetCloth } from './web/wet-cloth.js'
import { whose } from './web/whose.js'
import { workingDays } from './web/working-days.js'

export type Parts = { db: Db; config: Config; now: () => Date; setUpCode?: string | undefined; log?: boolean }

/** A form may be long (200 bundles in rows), but not without end. */
const BODY_LIMIT = 1024 * 1024

const unasked = () => () => {
  throw new Error('forms are checked by zod, not by schemas of routes')
}

/** The whole site, feature by feature in the order of the menu. */
export function buildApp({ db, config, now, setUpCode, log = false }: Parts): FastifyInstance {
  const app = fastify({
    logger: log ? { level: 'warn' } : false,
    bodyLimit: BODY_LIMIT,
    trustProxy: false,
    // No route has a schema: the libraries for them are not even loaded.
    schemaController: { compilersFactory: { buildValidator: unasked, buildSerializer: unasked } },
    // Twelve photographs from a phone at the far end of the shed take their time.
    requestTimeout: 300_000,
    routerOptions: { ignoreTrailingSlash: true },
  })
  app.decorate('db', db)
  app.decorate('now', () => now())
  app.decorate('setUpCode', setUpCode)

  app.register(cookie)
  app.register(formbody, { bodyLimit: BODY_LIMIT })
  app.register(compress, { threshold: 1024, encodings: ['gzip'] })

  const known = new Map<string, Set<string>>()
  app.addHook('onRoute', ({ url, method }) => {
    const methods = known.get(url) ?? new Set()
    for (const one of [method].flat()) methods.add(one)
    known.set(url, methods)
  })

  changesOf(app)
  pages(app, config)
  guard(app, config)
  uploads(app)
  errorPages(app)
  serveStatic(app)

  app.register(async site => {
    health(site)
    signIn(site, config)
    today(site)
    plan(site)
    dayToPromise(site)
    changes(site, config)
    week(site)
    calendarOfWork(site, config)
    otherwise(site)
    dropOff(site)
    commissions(site)
    arrivals(site)
    receipts(site)
    recipes(site)
    potSheet(site)
    layLoads(site)
    oneBath(site)
    loads(site)
    potNow(site)
    pots(site)
    lots(site)
    undyed(site)
    putRight(site)
    whose(site)
    photographs(site, config)
    photographSettings(site, config)
    colourAsk(site)
    outcomes(site)
    tieBoard(site)
    clientKeepingPage(site)
    wetCloth(site)
    incidents(site)
    places(site)
    spots(site)
    shelfCounts(site)
    pastLots(site)
    bundles(site)
    tags(site)
    tagLookUp(site)
    untagged(site)
    release(site)
    clientTold(site)
    handBack(site)
    returnSlip(site)
    clients(site)
    timedWishes(site)
    clientPage(site)
    clientData(site, config)
    catalogue(site)
    catalogueNew(site)
    catalogueEdit(site)
    howLong(site)
    reckonPage(site)
    dryWeight(site)
    exchange(site)
    dyeLots(site)
    stockSolution(site)
    bath(site)
    splitOverPots(site)
    settings(site)
    tagSettings(site)
    dropOffSettings(site)
    workingDays(site)
    refuseOtherMethods(site, new Map(known))
  })
  return app
}
