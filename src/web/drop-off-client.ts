/** Who brings a drop-off: somebody known, told apart from others of the name, or somebody new who can be reached. */
import { z } from 'zod'
import { fold } from '../domain/fold.js'
import { type Client, clientsNamed, erasedAt, findClient, findClients, type KnownClient } from '../store/clients.js'
import type { Db } from '../store/db.js'
import { clientFields } from './clients.js'
import { group } from './kit/fields.js'
import { check, type Form, Unfit } from './kit/form.js'

export type WhoBrings = { known: KnownClient } | { fresh: Client }

const { name, ...asked } = clientFields
const nameOfNew = z.object({ client: name })
const newClient = z.object({ newClient: group(asked) })

/** The radio button for somebody who has the name of a known client, or nearly. */
const NEW = 'new'

const MOST_ASKED = 8
const typedName = (form: Form): string => form.value('client').trim()
const tellsOfNew = (form: Form): boolean => form.value('newClient.contact').trim() !== ''

/** The client of a page that was opened for one, or whose radio button was chosen, as long as the typed name fits. */
async function picked(db: Db, form: Form): Promise<KnownClient | undefined> {
  const number = form.value('clientId')
  const client = /^\d{1,15}$/.test(number) ? await findClient(db, Number(number)) : undefined
  if (!client || (await erasedAt(db, client.id)) !== null) return undefined
  return fold(client.name).includes(fold(typedName(form))) ? client : undefined
}

/** The client that the whole page is for: no name is asked then. */
export const fixedClient = async (db: Db, form: Form): Promise<KnownClient | undefined> =>
  typedName(form) === '' ? picked(db, form) : undefined

/** Those who may be meant by what was typed, to choose from; nobody when the name says it all. */
export async function clientsMeant(db: Db, form: Form): Promise<KnownClient[]> {
  const typed = typedName(form)
  if (typed === '') return []
  const named = await clientsNamed(db, typed)
  if (named.length === 1 && !tellsOfNew(form)) return []
  return named.length > 0 ? named.slice(0, MOST_ASKED) : findClients(db, typed, MOST_ASKED)
}

function readNew(form: Form): WhoBrings {
  const { client } = check(nameOfNew, form)
  return { fresh: { name: client, ...check(newClient, form).newClient } }
}

const ask = (field: string, sentence: string): never => {
  throw new Unfit([{ field, sentence }])
}

/** Who brings it, or a question. An unknown name alone is never a new client: it may be a slip of the finger. */
export async function readClient(db: Db, form: Form): Promise<WhoBrings> {
  const known = await picked(db, form)
  if (known) return { known }
  const typed = typedName(form)
  if (typed === '') return ask('client', 'Enter the name of the client.')
  const [only, another] = await clientsNamed(db, typed)
  if (form.value('clientId') === NEW || (!only && tellsOfNew(form))) return readNew(form)
  if (another) return ask('clientId', 'More than one client has this name. Choose which one it is.')
  if (only && tellsOfNew(form)) {
    return ask('clientId', 'A client of this name is known already. Choose whether it is the same one.')
  }
  if (only) return { known: only }
  check(nameOfNew, form)
  return ask(
    'client',
    'No client of this name is known yet. Choose a known one, or say under “New client” how to reach them.',
  )
}
