/** What a dyer does, one action after another, through the app's own store functions: the demo is told with these. */
import type { BundleCheck } from '../src/domain/bundle-check.js'
import { jobForLot } from '../src/domain/job-for-lot.js'
import type { Nearness, Water } from '../src/domain/outcome.js'
import type { RecipeJob, Route } from '../src/domain/recipe.js'
import { reckon } from '../src/domain/reckon.js'
import type { TieSaying } from '../src/domain/tie-board.js'
import { readCatalogue } from '../src/store/catalogue.js'
import { type By, type Db, inOneStep } from '../src/store/db.js'
import { type BundleIn, type Came, type LotCame, takeIn } from '../src/store/drop-off.js'
import { closeHandBack } from '../src/store/hand-back.js'
import { beginNextStep, findLoad, layLoad, noteAddition, noteRinse, noteWeighedOut } from '../src/store/loads.js'
import { findLot, type Lot, lotsOfCommission } from '../src/store/lots.js'
import { noteOutcome } from '../src/store/outcomes.js'
import { keepRecipe } from '../src/store/recipes.js'
import { sayOfTie, tieEventsOfLot } from '../src/store/tie-board.js'
import type { Camera } from './photographs.js'

export const HOUR = 3_600_000
export const DAY = 24 * HOUR
export const iso = (ms: number): string => new Date(ms).toISOString()

export type Asked = {
  fibreId: string
  colour: string
  swatch: string | null
  route: Route
  dyeId: string
  tiesUndyed?: boolean
  against?: string
  repeatsLotId?: number | null
  came?: LotCame
  bundles: BundleIn[]
}

export const alike = (
  count: number,
  tiesIn: number,
  dryWeightG: number,
  thicknessMm: number,
  condition = 'as expected',
): BundleIn[] =>
  Array.from({ length: count }, () => ({
    tiesIn,
    dryWeightG,
    weightTyped: `${dryWeightG} g`,
    thicknessMm,
    thicknessTyped: `${thicknessMm} mm`,
    condition,
    howTied: 'thick end first',
  }))

const DARK_TO_CLEAR: Water[] = ['dark', 'coloured', 'coloured', 'tinted', 'clear']

export class Doing {
  readonly db: Db
  readonly workerId: number
  /** From when there was one. */
  camera: Camera | undefined
  /** How much longer than written a load of this number takes to rinse and dry: no two days are alike. */
  pace: (loadId: number) => number = () => 1

  constructor(db: Db, workerId: number) {
    this.db = db
    this.workerId = workerId
  }

  by(at: number): By {
    return { workerId: this.workerId, at: iso(at) }
  }

  async dropOff(
    at: number,
    clientId: number,
    purpose: string,
    daysToGo: number,
    lots: Asked[],
    came: Came = {},
  ): Promise<Lot[]> {
    const settles = await this.db
      .selectFrom('client')
      .select('settles')
      .where('id', '=', clientId)
      .executeTakeFirstOrThrow()
    const commissionId = await inOneStep(this.db, trx =>
      takeIn(trx, this.by(at), {
        client: { id: clientId },
        purpose,
        neededBy: iso(at + daysToGo * DAY).slice(0, 10),
        arrangement: settles.settles,
        note: '',
        came,
        lots: lots.map(lot => ({ tiesUndyed: false, against: '', repeatsLotId: null, ...lot })),
      }),
    )
    const taken = await lotsOfCommission(this.db, commissionId)
    for (const { id } of taken) await this.camera?.look(this.by(at + HOUR / 4), id, 'as it came')
    return taken
  }

  async keepRecipe(at: number, lotId: number, change: Partial<RecipeJob> = {}): Promise<void> {
    const catalogue = await readCatalogue(this.db)
    const lot = await findLot(this.db, lotId)
    if (!lot) throw new Error(`no lot ${lotId}`)
    const job = { ...jobForLot(lot, 'conditioned', catalogue, null), ...change }
    await inOneStep(this.db, trx => keepRecipe(trx, this.by(at), lotId, reckon(job, catalogue)))
  }

  /** All bundles of several lots in one bath. */
  async layTogether(at: number, lots: readonly Lot[], potId: number, toldApart: string): Promise<number> {
    const bundleIds = lots.flatMap(({ bundles }) => bundles.map(({ id }) => id))
    return inOneStep(this.db, trx => layLoad(trx, this.by(at), { potId, bundleIds, toldApart }))
  }

  async lay(at: number, lotId: number, potId: number, which: (n: number) => boolean = () => true): Promise<number> {
    const lot = await findLot(this.db, lotId)
    const bundleIds = (lot?.bundles ?? []).filter(({ n }) => which(n)).map(({ id }) => id)
    return inOneStep(this.db, trx => layLoad(trx, this.by(at), { potId, bundleIds }))
  }

  /**
   * The next step; what goes into the pots was weighed out as written by the time the soak is over, and of a shared bath
   * every bundle comes out.
   */
  async next(at: number, loadId: number): Promise<void> {
    const load = await findLoad(this.db, loadId)
    const step = load?.steps[load.stepN - 1]
    const lines = load?.lines.map(({ n, amount, unit }) => ({ n, amount, typed: `${amount} ${unit}` })) ?? []
    const out = new Map(load?.lots.map(({ lotId, bundleNs }) => [lotId, bundleNs.length]))
    const toWeigh = step?.key === 'soak' && lines.length > 0
    await inOneStep(this.db, async trx => {
      if (toWeigh) await noteWeighedOut(trx, this.by(at), { loadId, lines })
      await beginNextStep(trx, this.by(at), { loadId, version: load?.version ?? 0, out })
    })
  }

  sayOfTie(at: number, lotId: number, n: number, saying: TieSaying, words: string): Promise<void> {
    return inOneStep(this.db, async trx => {
      const bundle = (await findLot(trx, lotId))?.bundles.find(one => one.n === n)
      const after = (await tieEventsOfLot(trx, lotId)).findLast(({ bundleId }) => bundleId === bundle?.id)?.id ?? 0
      await sayOfTie(trx, this.by(at), { lotId, n, saying, after, words })
    })
  }

  rinse(at: number, loadId: number, water: Water): Promise<void> {
    return inOneStep(this.db, trx => noteRinse(trx, this.by(at), { loadId, water }))
  }

  add(at: number, loadId: number, substanceId: string, amount: number, unit: 'g' | 'mL'): Promise<void> {
    return inOneStep(this.db, trx =>
      noteAddition(trx, this.by(at), { loadId, substanceId, amount, unit, typed: `${amount} ${unit}` }),
    )
  }

  /** Goes on, step by step at each one's own pace, until the step of this key has begun; '' = until it is ready. */
  async runTo(loadId: number, key: string): Promise<number> {
    let load = await findLoad(this.db, loadId)
    let at = Date.parse(load?.stepSince ?? '')
    while (load && load.doneAt === null && load.steps[load.stepN - 1]?.key !== key) {
      const step = load.steps[load.stepN - 1]
      if (step?.key === 'rinse') at = await this.rinseClear(at, loadId)
      else at += (step?.minutes ?? 60) * 60_000 * (step?.key === 'dry' ? this.pace(loadId) : 1)
      await this.next(at, loadId)
      load = await findLoad(this.db, loadId)
    }
    return at
  }

  async rinseClear(at: number, loadId: number): Promise<number> {
    const pace = this.pace(loadId)
    const waters: Water[] = pace > 1 ? ['dark', 'coloured', ...DARK_TO_CLEAR.slice(1)] : DARK_TO_CLEAR
    const one = Math.round(10 * pace) * 60_000
    for (const [n, water] of waters.entries()) await this.rinse(at + (n + 1) * one, loadId, water)
    return at + (waters.length + 1) * one
  }

  async outcome(at: number, lotId: number, swatch: string, nearness: Nearness, words: string): Promise<void> {
    await inOneStep(this.db, trx => noteOutcome(trx, this.by(at), { lotId, swatch, nearness, words }))
    await this.camera?.look(this.by(at + HOUR / 10), lotId, 'as it goes')
  }

  async handBack(
    at: number,
    lots: Lot[],
    toWhom: string,
    change: (n: number, check: BundleCheck) => BundleCheck = (_, c) => c,
  ): Promise<number> {
    const checks = new Map(
      lots.flatMap(lot =>
        lot.bundles.map(({ id, n, tiesIn, dryWeightG }) => {
          const weightG = Math.round(dryWeightG * 0.98)
          const asItCame: BundleCheck = {
            found: true,
            tiedAgain: true,
            tiesBack: tiesIn,
            tiesReplaced: 0,
            weightG,
            weightTyped: `${weightG} g`,
            condition: 'as it came',
            explanation: '',
            tagCode: '',
          }
          return [id, change(n, asItCame)] as const
        }),
      ),
    )
    const commissionId = lots[0]?.commissionId ?? 0
    return inOneStep(this.db, trx =>
      closeHandBack(trx, this.by(at), { commissionId, lotIds: lots.map(({ id }) => id), toWhom, words: '', checks }),
    )
  }
}
