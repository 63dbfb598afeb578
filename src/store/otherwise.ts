/** What goes otherwise than planned: a step that runs over, a pot that is out of use for a while. */
import { Refusal } from '../domain/refusal.js'
import type { By, Db, Trx } from './db.js'
import { remember } from './history.js'
import { ready } from './ready.js'

export type StepOverrun = { loadId: number; stepN: number; minutes: number }

export async function noteOverrun(trx: Trx, by: By, { loadId, stepN, minutes }: StepOverrun): Promise<void> {
  await trx
    .insertInto('step_overrun')
    .values({ load_id: loadId, step_n: stepN, minutes, at: by.at, worker_id: by.workerId })
    .execute()
  await remember(trx, by, { loadId, what: 'a step runs over', became: { stepN, minutes } })
}

const overrunsNow = ready(db =>
  db
    .selectFrom('step_overrun')
    .innerJoin('load', 'load.id', 'step_overrun.load_id')
    .select(['load_id as loadId', 'step_overrun.step_n as stepN', 'minutes'])
    .where('load.done_at', 'is', null)
    .orderBy('step_overrun.id'),
)

/** Of loads that are not done. */
export const openOverruns = (db: Db): Promise<StepOverrun[]> => overrunsNow(db)

export type PotRest = { id: number; potId: number; potName: string; at: string; untilAt: string; words: string }

export async function restPot(
  trx: Trx,
  by: By,
  { potId, untilAt, words }: Pick<PotRest, 'potId' | 'untilAt' | 'words'>,
): Promise<void> {
  await trx
    .updateTable('pot_rest')
    .set({ ended_at: by.at, ended_by: by.workerId })
    .where('pot_id', '=', potId)
    .where('ended_at', 'is', null)
    .execute()
  await trx
    .insertInto('pot_rest')
    .values({
      pot_id: potId,
      until_at: untilAt,
      words,
      at: by.at,
      worker_id: by.workerId,
      ended_at: null,
      ended_by: null,
    })
    .execute()
}

export async function endPotRest(trx: Trx, by: By, id: number): Promise<PotRest> {
  const rest = (await potRests(trx, by.at)).find(one => one.id === id)
  if (!rest) throw new Refusal('conflict', 'This pot is back in use already.')
  await trx.updateTable('pot_rest').set({ ended_at: by.at, ended_by: by.workerId }).where('id', '=', id).execute()
  return rest
}

const restsAt = ready((db, at: string) =>
  db
    .selectFrom('pot_rest')
    .innerJoin('pot', 'pot.id', 'pot_rest.pot_id')
    .select(['pot_rest.id', 'pot_id as potId', 'pot.name as potName', 'at', 'until_at as untilAt', 'words'])
    .where('ended_at', 'is', null)
    .where('until_at', '>', at)
    .orderBy('pot_id'),
)

/** Pots that are out of use for a while at this time. */
export const potRests = (db: Db, at: string): Promise<PotRest[]> => restsAt(db, at)
