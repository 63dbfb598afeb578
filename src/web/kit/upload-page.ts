import './site.js'
import type { FastifyInstance, FastifyReply, FastifyRequest } from 'fastify'
import type { By, Trx } from '../../store/db.js'
import { Form } from './form.js'
import { carryOut, type Done, keyOf, type Post, troubleOf } from './post.js'
import { diskFull, isDiskFull, type Limits, readOn, receive, sendsFiles, type Upload } from './upload.js'

export type UploadPost<Made> = {
  show: Post['show']
  /** Before a byte of the body is read: throws a refusal when nothing may be sent here now. */
  mayCome: (request: FastifyRequest) => Promise<void>
  /** Makes the folder for the files of one form, and takes it away again with all that is left in it. */
  withFolder: <T>(request: FastifyRequest, work: (limits: Limits) => Promise<T>) => Promise<T>
  /** Checks the form and makes of the files what is to be kept; the transaction has not begun. */
  make: (request: FastifyRequest, form: Form, files: readonly Upload[], folder: string) => Promise<Made>
  act: (trx: Trx, request: FastifyRequest, form: Form, by: By, made: Made) => Promise<Done>
}

async function takeIn<Made>(request: FastifyRequest, reply: FastifyReply, post: UploadPost<Made>, limits: Limits) {
  const typed = new Map(Form.read(request.body).typed)
  const formNow = () => Form.read(Object.fromEntries(typed))
  try {
    const files = sendsFiles(request) ? await receive(request, limits, typed) : []
    const form = formNow()
    keyOf(form)
    const made = await post.make(request, form, files, limits.folder)
    const act: Post['act'] = (trx, request, form, by) => post.act(trx, request, form, by, made)
    const told = files.map(({ sha256 }) => sha256).join()
    return await carryOut(request, reply, { show: post.show, act }, { form, files: told })
  } catch (fault) {
    return showTrouble(request, reply, post, formNow(), fault)
  }
}

/** The page again with what is wrong, once what is left of the body was read on and thrown away. */
async function showTrouble(
  request: FastifyRequest,
  reply: FastifyReply,
  { show }: Pick<Post, 'show'>,
  typed: Form,
  fault: unknown,
): Promise<FastifyReply> {
  await readOn(request, reply)
  const trouble = troubleOf(isDiskFull(fault) ? diskFull() : fault, typed)
  if (!trouble) throw fault
  return show(request, reply, trouble.form, trouble.status)
}

/** A page with a form that brings files. Sent twice, it is done once, as every form is. */
export function uploadPage<Made>(app: FastifyInstance, url: string, post: UploadPost<Made>): void {
  app.get(url, (request, reply) => post.show(request, reply, new Form(), 200))
  app.post(url, { config: { files: true } }, async (request, reply) => {
    try {
      await post.mayCome(request)
      return await post.withFolder(request, limits => takeIn(request, reply, post, limits))
    } catch (fault) {
      return showTrouble(request, reply, post, new Form(), fault)
    }
  })
}
