import { sql } from 'kysely'
import { Refusal } from '../domain/refusal.js'
import type { By, Db } from './db.js'
import { difference, remember } from './history.js'
import { type PotRest, potRests } from './otherwise.js'
import { ready } from './ready.js'

export type Pot = {
  name: string
  usableMl: number
  usableTyped: string
  metal: string
  note: string
  outOfUse: boolean
  /** Iron never goes into it; left out, as it was. */
  noIron?: boolean
  /** Kept for bright colours: nothing else goes into it; left out, as it was. */
  onlyBrights?: boolean
  /** It stands on no burner: nothing that is heated goes into it; left out, as it was. */
  noHeat?: boolean
  /** From tap-cold to a simmer, filled to `usableMl`; null = nobody has said; left out, as it was. */
  hotAfterMinutes?: number | null
}

/** `loadId` is the load that holds the pot, null when it is empty. */
export type KnownPot = Required<Pot> & { id: number; version: number; loadId: number | null }

const pots = (db: Db) =>
  db
    .selectFrom('pot')
    .leftJoin('load', join => join.onRef('load.pot_id', '=', 'pot.id').on('load.pot_free_at', 'is', null))
    .select([
      'pot.id',
      'pot.name',
      'pot.usable_ml as usableMl',
      'pot.usable_typed as usableTyped',
      'pot.metal',
      'pot.note',
      'pot.out_of_use as outOfUse',
      'pot.no_iron as noIron',
      'pot.only_brights as onlyBrights',
      'pot.no_heat as noHeat',
      'pot.hot_after_minutes as hotAfterMinutes',
      'pot.version',
      'load.id as loadId',
    ])

type Flags = { outOfUse: number; noIron: number; onlyBrights: number; noHeat: number }
const opened = <T extends Flags>({ outOfUse, noIron, onlyBrights, noHeat, ...row }: T) => ({
  ...row,
  outOfUse: outOfUse === 1,
  noIron: noIron === 1,
  onlyBrights: onlyBrights === 1,
  noHeat: noHeat === 1,
})

const potsByName = ready(db => pots(db).orderBy(sql`pot.name collate nocase`))

export async function listPots(db: Db): Promise<KnownPot[]> {
  return (await potsByName(db)).map(opened)
}

/** `rest`: until when it cannot be used, and why; null for most. */
export type PotNow = KnownPot & { rest: PotRest | null }

/** The pots with what keeps them from being used at this time. */
export async function potsNow(db: Db, at: string): Promise<PotNow[]> {
  const [pots, rests] = [await listPots(db), await potRests(db, at)]
  return pots.map(pot => ({ ...pot, rest: rests.find(({ potId }) => potId === pot.id) ?? null }))
}

export async function findPot(db: Db, id: number): Promise<KnownPot | undefined> {
  const row = await pots(db).where('pot.id', '=', id).executeTakeFirst()
  return row && opened(row)
}

const flag = (is: boolean) => (is ? (1 as const) : (0 as const))

const columns = (pot: Pot) => ({
  name: pot.name,
  usable_ml: pot.usableMl,
  usable_typed: pot.usableTyped,
  metal: pot.metal,
  note: pot.note,
  out_of_use: flag(pot.outOfUse),
  no_iron: flag(pot.noIron ?? false),
  only_brights: flag(pot.onlyBrights ?? false),
  no_heat: flag(pot.noHeat ?? false),
  hot_after_minutes: pot.hotAfterMinutes ?? null,
})

async function refuseNameInUse(db: Db, name: string, without: number): Promise<void> {
  const twin = await db
    .selectFrom('pot')
    .select('name')
    .where(sql<string>`pot.name collate nocase`, '=', name)
    .where('id', '<>', without)
    .executeTakeFirst()
  if (twin)
    throw new Refusal('wrong', `There is a pot called “${twin.name}” already: give this one another name.`, 'name')
}

export async function addPot(db: Db, by: By, pot: Pot): Promise<number> {
  await refuseNameInUse(db, pot.name, 0)
  const { id } = await db.insertInto('pot').values(columns(pot)).returning('id').executeTakeFirstOrThrow()
  await remember(db, by, { what: 'pot written down', became: { potId: id, ...pot } })
  return id
}

/** Changes a pot; a pot goes out of use only when it is empty. */
export async function changePot(db: Db, by: By, id: number, version: number, asked: Pot): Promise<void> {
  const before = await findPot(db, id)
  if (!before) throw new Refusal('not-found', 'There is no such pot.')
  if (before.version !== version)
    throw new Refusal(
      'conflict',
      `${before.name} was changed elsewhere while you were typing. Look at what stands there now, then send yours again.`,
    )
  const { noIron, onlyBrights, noHeat, hotAfterMinutes } = before
  const pot = { noIron, onlyBrights, noHeat, hotAfterMinutes, ...asked }
  if (pot.outOfUse && before.loadId !== null)
    throw new Refusal('wrong', `${before.name} is in use by load ${before.loadId}: empty it first.`, 'outOfUse')
  await refuseNameInUse(db, pot.name, id)
  const { id: _, version: __, loadId: ___, ...was } = before
  const changed = difference<Pot>(was, pot)
  if (!changed) return
  await db
    .updateTable('pot')
    .set({ ...columns(pot), version: version + 1 })
    .where('id', '=', id)
    .execute()
  await remember(db, by, {
    what: `pot changed: ${pot.name}`,
    was: changed.was,
    became: { potId: id, ...changed.became },
  })
}
