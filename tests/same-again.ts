/** What is left to chance is the same each time, so that a change is judged by itself; `npm run histories` explores. */
import fc from 'fast-check'

fc.configureGlobal({ seed: 1856 })
