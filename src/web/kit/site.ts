import type { Db } from '../../store/db.js'

/** What every screen reaches through the running site. */
declare module 'fastify' {
  interface FastifyInstance {
    db: Db
    now: () => Date
    /** Asked for once, on the set-up page; undefined when the workshop is set up. */
    setUpCode: string | undefined
  }
}
