import { createHash } from 'node:crypto'
import { Refusal } from '../domain/refusal.js'
import { type Db, inOneStep, type Trx } from './db.js'

export type Press = { key: string; body: string; at: string }

/**
 * Carries a form out once, whatever the number of presses: the work and its one-time key are one transaction.
 * The same form again gets the first answer; the same key with other words is refused, so that nothing is lost unseen.
 * `act` answers the address of what it made.
 */
export function pressOnce(db: Db, press: Press, act: (trx: Trx) => Promise<string>): Promise<string> {
  const bodyHash = createHash('sha256').update(press.body).digest('hex')
  return inOneStep(db, async trx => {
    const before = await trx.selectFrom('press').selectAll().where('key', '=', press.key).executeTakeFirst()
    if (before?.body_hash === bodyHash) return before.location
    if (before) throw new AlreadyDone(before.location)
    const location = await act(trx)
    await trx.insertInto('press').values({ key: press.key, at: press.at, body_hash: bodyHash, location }).execute()
    return location
  })
}

export class AlreadyDone extends Refusal {
  readonly location: string
  constructor(location: string) {
    super('conflict', 'This form was already sent once. What you changed since then has not been saved.')
    this.location = location
  }
}
