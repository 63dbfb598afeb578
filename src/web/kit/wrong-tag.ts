import type { FastifyRequest } from 'fastify'
import { WrongTag } from '../../domain/wrong-tag.js'
import { inOneStep } from '../../store/db.js'
import { noteWrongTag } from '../../store/tags.js'

/** A bundle of something else was held under the scanner: the refusal undid everything, and only this is written. */
export async function noteIfWrongTag(request: FastifyRequest, fault: unknown): Promise<void> {
  if (!(fault instanceof WrongTag)) return
  const by = { workerId: request.worker.id, at: request.server.now().toISOString() }
  await inOneStep(request.server.db, trx => noteWrongTag(trx, by, fault))
}
