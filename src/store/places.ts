/** Where everything is now: each bundle that is here, with whose it is, since when it lies there and when it is needed. */
import { sql } from 'kysely'
import type { Sum } from '../domain/places.js'
import type { Db } from './db.js'
import { ready } from './ready.js'
import { allWishes } from './timed-wishes.js'

/** As the partial index has it; SQLite uses that only for the very same words. */
const IS_HERE = sql<boolean>`bundle.place not in ('handed back', 'not found', 'withdrawn')`

/** Every bundle in care with the five facts of custody: whose, what, where, since when, needed when. */
export const bundlesByPlace = ready(db =>
  db
    .selectFrom('bundle')
    .innerJoin('lot', 'lot.id', 'bundle.lot_id')
    .innerJoin('commission', 'commission.id', 'lot.commission_id')
    .innerJoin('client', 'client.id', 'commission.client_id')
    .leftJoin('tag', join => join.onRef('tag.bundle_id', '=', 'bundle.id').on('tag.void_at', 'is', null))
    .leftJoin('load', 'load.id', 'bundle.load_id')
    .leftJoin('pot', 'pot.id', 'load.pot_id')
    .leftJoin('spot', 'spot.id', 'bundle.spot_id')
    .where(IS_HERE)
    .orderBy('bundle.lot_id')
    .orderBy('bundle.n')
    .select([
      'bundle.id as bundleId',
      'bundle.n',
      'bundle.lot_id as lotId',
      'lot.colour',
      'client.id as clientId',
      'client.name as clientName',
      'client.mark as clientMark',
      allWishes().as('wishes'),
      'commission.needed_by as neededBy',
      'tag.code',
      'bundle.place',
      'bundle.load_id as loadId',
      'pot.name as potName',
      'bundle.spot_id as spotId',
      'spot.name as spotName',
      sql<string>`(select at from move where bundle_id = bundle.id order by id desc limit 1)`.as('placeSince'),
      sql<string | null>`(select at from spot_move where bundle_id = bundle.id and to_spot_id = bundle.spot_id
        order by id desc limit 1)`.as('spotSince'),
    ]),
)

/** All that ever came, against all that went and all that is here: each counted by itself. */
const counted = ready(db =>
  db.selectNoFrom([
    sql<number>`(select count(*) from bundle)`.as('takenIn'),
    sql<number>`(select count(*) from bundle
      where place in ('handed back', 'not found', 'withdrawn') and place = 'handed back')`.as('handedBack'),
    sql<number>`(select count(*) from bundle
      where place in ('handed back', 'not found', 'withdrawn') and place = 'not found')`.as('notFound'),
    sql<number>`(select count(*) from bundle
      where place in ('handed back', 'not found', 'withdrawn') and place = 'withdrawn')`.as('withdrawn'),
    sql<number>`(select count(*) from bundle where ${IS_HERE})`.as('here'),
  ]),
)

export async function sumOfBundles(db: Db): Promise<Sum> {
  const [sum] = await counted(db)
  return sum ?? { takenIn: 0, withdrawn: 0, handedBack: 0, notFound: 0, here: 0 }
}
