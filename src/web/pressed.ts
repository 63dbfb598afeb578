import type { FastifyRequest } from 'fastify'
import { pressedAt } from '../domain/press-time.js'
import { type Form, Unfit } from './kit/form.js'
import { byOf } from './kit/post.js'

/** When a press was made that had to wait on a phone until it could be sent; undefined when it came at once. */
export function whenPressed(request: FastifyRequest, form: Form, earliest: string, since: string): string | undefined {
  const at = pressedAt(form.value('pressedAt'), { now: byOf(request).at, earliest, since })
  if (at.ok) return at.value
  throw new Unfit([{ field: '', sentence: at.sentence }])
}
