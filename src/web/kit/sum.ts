/** A page that works out what its address asks: nothing is stored, so it can be asked again, kept as a link and shared. */
import './site.js'
import type { FastifyInstance, FastifyRequest } from 'fastify'
import type { Catalogue } from '../../domain/catalogue.js'
import { readCatalogue } from '../../store/catalogue.js'
import type { Workshop } from '../../store/workshop.js'
import { errorsIn, Form } from './form.js'

/** What a sum is worked out with. */
export type Shed = { workshop: Workshop; catalogue: Catalogue }

export type Sum<C extends object> = {
  title: string
  view: string
  /** What the form offers to choose from. */
  choices: (shed: Shed, request: FastifyRequest) => C | Promise<C>
  /** The answer to a form, as plain records; throws `Unfit`, or a `Refusal` when the trade says no. */
  answer: (form: Form, shed: Shed, choices: C) => object
}

function worked(form: Form, answer: (form: Form) => object): { answer: object | null; form: Form } {
  if (form.typed.size === 0) return { answer: null, form }
  try {
    return { answer: answer(form), form }
  } catch (fault) {
    return { answer: null, form: form.with(errorsIn(fault)) }
  }
}

export function sumPage<C extends object>(app: FastifyInstance, url: string, sum: Sum<C>): void {
  app.get(url, async (request, reply) => {
    const shed = { workshop: request.workshop, catalogue: await readCatalogue(request.server.db) }
    const choices = await sum.choices(shed, request)
    const { answer, form } = worked(Form.read(request.query), typed => sum.answer(typed, shed, choices))
    const status = form.errors.length > 0 ? 422 : 200
    return reply.page(sum.view, { title: sum.title, form, status, data: { answer, choices } })
  })
}
