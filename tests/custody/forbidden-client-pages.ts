/** What the database refuses of clients' pages: page 1, of client 1, has ended; page 2, of client 2, is live. */
import type { Another, Case } from './forbidden.js'

const TOKEN = "'ABCDEFGHIJKLMNOPQRSTUVWXYZ'"
const page = (but: Record<string, string>): Another => ({
  another: 'client_page',
  but: { token: TOKEN, ...but },
  like: 'id = 1',
})

export const clientPagesByTrigger: Record<string, Case[]> = {
  client_page_stays: [
    ['update client_page set client_id = 1 where id = 2'],
    [`update client_page set token = ${TOKEN} where id = 2`],
  ],
  client_page_ended: [['update client_page set off_at = null, off_by = null where id = 1']],
  client_page_kept: [['delete from client_page where id = 1'], ['delete from client_page']],
}
export const clientPagesByCheck: Record<string, Record<string, Case[]>> = {
  client_page: {
    "length(token) = 26 AND token NOT GLOB '*[^A-Z2-7]*'": [
      [page({ token: "'SHORT'" })],
      [page({ token: "'abcdefghijklmnopqrstuvwxyz'" })],
    ],
    '(off_at IS NULL) = (off_by IS NULL)': [[page({ off_by: 'null' })]],
  },
}
export const clientPagesByUnique: Record<string, Case[]> = {
  'client_page(token)': [[page({ token: '(select token from client_page where id = 2)' })]],
  'client_page(client_id)': [[page({ client_id: '2', off_at: 'null', off_by: 'null' })]],
}
