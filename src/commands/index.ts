import type { Command } from './command.js'
import { reckonCommand } from './reckon.js'

/** What `tie-for-tie` can do, in the order in which it is listed. */
export const commands: readonly Command[] = [reckonCommand]
