import type { FastifyInstance, FastifyReply, FastifyRequest } from 'fastify'
import { ENOUGH } from '../domain/learnt.js'
import { type LearntLine, learntLines } from '../domain/learnt-words.js'
import { listEntries } from '../store/catalogue.js'
import type { Db } from '../store/db.js'
import { learntFigures } from '../store/learnt.js'

type OfFibre = { id: string; name: string; lines: LearntLine[] }

/** What is learnt of each fibre that was ever dyed here, or of the one that is named. */
async function learntByFibre(db: Db, fibreId?: string): Promise<OfFibre[]> {
  const figures = await learntFigures(db, fibreId)
  const entries = figures.length === 0 ? [] : await listEntries(db)
  const fibres = entries.flatMap((row): OfFibre[] => {
    const own = figures.filter(figure => figure.fibreId === row.id)
    if (row.kind !== 'fibre' || own.length === 0) return []
    return [{ id: row.id, name: row.name, lines: learntLines(own, row.entry.dryingHours) }]
  })
  return fibres.sort((a, b) => a.name.localeCompare(b.name, 'en'))
}

/** The lines for one fibre, for its page in the catalogue and the pages of a lot. */
export const learntOfFibre = async (db: Db, fibreId: string): Promise<LearntLine[]> =>
  (await learntByFibre(db, fibreId)).flatMap(({ lines }) => lines)

async function showHowLong(request: FastifyRequest, reply: FastifyReply) {
  const fibres = await learntByFibre(request.server.db)
  return reply.page('how-long/show', { title: 'How long it takes here', data: { enough: ENOUGH, fibres } })
}

export function howLong(app: FastifyInstance): void {
  app.get('/how-long', showHowLong)
}
