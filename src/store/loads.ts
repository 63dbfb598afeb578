/** Everything about loads, by what is done with them: laid, carried on, looked at, reckoned up. */
export {
  addedAlready,
  beginNextStep,
  lastWater,
  linesThatCount,
  lineWords,
  noteAddition,
  noteRinse,
  noteWords,
  undoLast,
} from './bath-log.js'
export { layLoad } from './lay-load.js'
export { findLoad, goneBack, type Load, lotIdsOf } from './load-record.js'
export { type LoadAtWork, loadsAtWork } from './loads-at-work.js'
export { isWaiting, whyNotByThisRecipe } from './lot-to-lay.js'
export { reallyUsed } from './really-used.js'
export { noteWeighedOut } from './weighed.js'
