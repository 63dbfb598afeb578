import { backupCommand, restoreCommand } from './backup.js'
import { checkCommand } from './check.js'
import type { Command } from './command.js'
import { passphraseCommand } from './passphrase.js'
import { reckonCommand } from './reckon.js'

/** What `tie-for-tie` can do, in the order in which it is listed. */
export const commands: readonly Command[] = [
  backupCommand,
  restoreCommand,
  checkCommand,
  passphraseCommand,
  reckonCommand,
]
