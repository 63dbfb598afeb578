import { backupCommand, restoreCommand } from './backup.js'
import { checkCommand } from './check.js'
import type { Command } from './command.js'
import { exportCommand } from './export.js'
import { passphraseCommand } from './passphrase.js'
import { reckonCommand } from './reckon.js'

/** What `tie-for-tie` can do, in the order in which it is listed. */
export const commands: readonly Command[] = [
  backupCommand,
  restoreCommand,
  checkCommand,
  exportCommand,
  passphraseCommand,
  reckonCommand,
]
