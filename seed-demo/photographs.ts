/** What was photographed of the lots in hand, or described where the client wants no photographs. */
import { writeFileSync } from 'node:fs'
import { join } from 'node:path'
import { type Moment, mayPhotograph } from '../src/domain/photograph.js'
import { findClient } from '../src/store/clients.js'
import { type By, type Db, inOneStep } from '../src/store/db.js'
import { describe } from '../src/store/descriptions.js'
import { findLot } from '../src/store/lots.js'
import { enterIncoming, leaveIncoming, photographFolder } from '../src/store/photograph-folder.js'
import { keepPhotographs } from '../src/store/photographs.js'
import { makeAnew } from '../src/store/picture.js'
import { drawBundle, UNDYED } from './pictures.js'

const WORDS: Record<Moment, string> = {
  'as it came': 'thick ends together, ties as the client knots them',
  'at the pot': 'the colour as it stands in the bath',
  'as it goes': 'dry, by daylight',
}

export class Camera {
  private readonly db: Db
  private readonly folder: string

  constructor(db: Db, dataFolder: string) {
    this.db = db
    this.folder = photographFolder(dataFolder)
  }

  /** The first two bundles of a lot, or words where the client has not said yes. */
  async look(by: By, lotId: number, moment: Moment): Promise<void> {
    const lot = await findLot(this.db, lotId)
    const client = lot && (await findClient(this.db, lot.clientId))
    if (!lot || !client) return
    if (!mayPhotograph(client.photographs)) {
      const words =
        moment === 'as it came' ? 'Pale and even; bundle 1 has a dark tip on one strip.' : 'Even, by daylight.'
      const shown = { lotId, bundleId: null, moment, words }
      return inOneStep(this.db, trx => describe(trx, by, shown))
    }
    const hex = moment === 'as it came' ? UNDYED : (lot.swatch ?? UNDYED)
    const tieHex = moment === 'as it came' || lot.tiesUndyed ? '#8f7f5f' : hex
    for (const { id, n, tiesIn } of lot.bundles.slice(0, 2)) {
      const bytes = await drawBundle({ hex, ties: tiesIn, tieHex, seed: lotId + n * 7 })
      const shown = { lotId, bundleId: id, moment, words: n === 1 ? WORDS[moment] : '' }
      await this.keep(by, shown, bytes)
    }
  }

  private async keep(by: By, shown: Parameters<typeof keepPhotographs>[2], bytes: Buffer): Promise<void> {
    const own = enterIncoming(this.folder)
    writeFileSync(join(own, 'sent'), bytes)
    const picture = await makeAnew(join(own, 'sent'), join(own, 'made.jpg'))
    await inOneStep(this.db, trx => keepPhotographs(trx, by, shown, [picture], this.folder))
    leaveIncoming(own)
  }

  /** What is in a pot at this moment. */
  async lookIntoThePots(by: By): Promise<void> {
    const inPots = await this.db.selectFrom('bundle').select('lot_id').distinct().where('place', '=', 'pot').execute()
    for (const { lot_id } of inPots) await this.look(by, lot_id, 'at the pot')
  }
}
