/** One bath with another lot: which of those that wait could share it, and what keeps the others out. */
import type { FastifyInstance, FastifyReply, FastifyRequest } from 'fastify'
import { sayLots } from '../domain/lot.js'
import { Refusal } from '../domain/refusal.js'
import type { Db } from '../store/db.js'
import { findLot, type Lot } from '../store/lots.js'
import { type CouldShare, lotsThatCouldShare } from '../store/one-bath.js'
import { found, idIn } from './kit/post.js'

async function showOneBath(request: FastifyRequest, reply: FastifyReply) {
  const { db } = request.server
  const lot = found(await findLot(db, idIn(request)), 'lot')
  const { others, why } = await othersOf(db, lot)
  return reply.page('loads/one-bath', {
    title: `One bath of ${sayLots([lot.id])} with another`,
    data: {
      lot,
      why,
      could: others.filter(other => other.why === null).map(shown),
      cannot: others.filter(other => other.why !== null).map(shown),
    },
  })
}

/** What stands against the lot itself stands against every bath. */
async function othersOf(db: Db, lot: Lot): Promise<{ others: CouldShare[]; why: string }> {
  try {
    return { others: await lotsThatCouldShare(db, lot), why: '' }
  } catch (fault) {
    if (fault instanceof Refusal) return { others: [], why: fault.message }
    throw fault
  }
}

const shown = ({ lot: { bundles: _, ...lot }, ...other }: CouldShare) => ({ ...other, lot })

export function oneBath(app: FastifyInstance): void {
  app.get('/lots/:id/one-bath', showOneBath)
}
