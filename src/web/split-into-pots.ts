import type { FastifyInstance, FastifyRequest } from 'fastify'
import { z } from 'zod'
import { liquor } from '../domain/bath.js'
import { readBundleWeights, type WeighedBundle } from '../domain/bundle-weights.js'
import type { Figure } from '../domain/catalogue.js'
import { potRoom } from '../domain/pots.js'
import { readVolume, sayVolume, sayWeight, type Units } from '../domain/quantity.js'
import { liquorRatioOf } from '../domain/recipe-bench.js'
import { type Read, read } from '../domain/refusal.js'
import { sayHowGood } from '../domain/split-in-words.js'
import { type FilledPot, splitIntoPots } from '../domain/split-into-pots.js'
import { readList } from '../domain/typed-list.js'
import type { Working } from '../domain/working.js'
import { potsNow } from '../store/pots.js'
import { choice, readBy, readIfTyped } from './kit/fields.js'
import { check, type Form, Unfit } from './kit/form.js'
import { plainFigure } from './kit/measures.js'
import { type Shed, sumPage } from './kit/sum.js'
import { unitsOf } from './pots.js'
import { fibresByName } from './recipe-working.js'

type PotToFill = { id: string; name: string; usableMl: number; isFree: boolean; atRest?: boolean }
type Choices = { fibres: { id: string; name: string }[]; pots: PotToFill[] }

/** As many pots as one drop-off has lots at most. */
const MOST_POTS = 20

/** The pots of the workshop that are not out of use, and whether nothing is in them now. */
async function choices({ catalogue }: Shed, { server }: FastifyRequest): Promise<Choices> {
  const pots = (await potsNow(server.db, server.now().toISOString())).filter(({ outOfUse }) => !outOfUse)
  return {
    fibres: fibresByName(catalogue),
    pots: pots.map(({ id, name, usableMl, loadId, rest }) => ({
      id: String(id),
      name,
      usableMl,
      isFree: loadId === null && rest === null,
      atRest: rest !== null,
    })),
  }
}

/** "15 L, 2 × 9 L": pots that are not the workshop's own, or not yet. */
function readOtherPots(typed: string, units: Units): Read<PotToFill[]> {
  const limits = { label: 'usable volume of a pot', min: 200, max: 1e6 }
  const volumes = readList(typed, MOST_POTS, text => readVolume(text, units, limits))
  if (!volumes.ok) return volumes
  return read(
    volumes.value.map(({ millilitres }, n) => ({
      id: `other.${n}`,
      name: `another of ${sayVolume(millilitres, units)}`,
      usableMl: millilitres,
      isFree: true,
    })),
  )
}

function asked(form: Form, { workshop, catalogue }: Shed) {
  const units = unitsOf(workshop)
  const ids = catalogue.fibres.map(({ id }) => id)
  const isTyped = form.value('liquorRatioLPerKg').trim() !== ''
  return z.object({
    weights: readBy(typed => readBundleWeights(typed, units)),
    fibreId: choice('Fibre', isTyped ? ['', ...ids] : ids),
    liquorRatioLPerKg: readIfTyped(
      plainFigure({ label: 'liquor ratio', unit: 'L/kg', example: '20', min: 1, max: 200 }),
    ),
    otherPots: readBy(typed => readOtherPots(typed, units)),
  })
}

type RoomyPot = PotToFill & { holdsG: number; how: Working }

const potsFor = (form: Form, own: readonly PotToFill[], others: readonly PotToFill[], ratio: Figure): RoomyPot[] => {
  const pots = [...own.filter(({ id }) => form.has(`pots.${id}`)), ...others]
  if (pots.length === 0)
    throw new Unfit([{ field: 'otherPots', sentence: 'Tick the pots that can be used, or say what others hold.' }])
  return pots.map(pot => ({ ...pot, ...potRoom({ name: pot.name, usableVolumeMl: pot.usableMl }, ratio) }))
}

/** Bundles of one lot and one weight are told together: "3 × 150 g". */
function contentsOf(bundles: readonly WeighedBundle[]) {
  const contents = new Map<string, { lot: number; dryWeightG: number; count: number }>()
  for (const { lot, dryWeightG } of bundles) {
    const key = `${lot} ${dryWeightG}`
    contents.set(key, { lot, dryWeightG, count: (contents.get(key)?.count ?? 0) + 1 })
  }
  return [...contents.values()]
}

const loadOf = ({ pot, bundles, dryWeightG, fill }: FilledPot<WeighedBundle, RoomyPot>, ratio: Figure) => ({
  name: pot.name,
  usableMl: pot.usableMl,
  holdsG: pot.holdsG,
  holdsHow: pot.how,
  bundleNs: bundles.map(({ n }) => n),
  contents: contentsOf(bundles),
  dryWeightG,
  fill,
  bath: liquor(dryWeightG, ratio),
})

function answer(form: Form, shed: Shed, { pots: own }: Choices) {
  const { weights, fibreId, liquorRatioLPerKg, otherPots } = check(asked(form, shed), form)
  const fibre = shed.catalogue.fibres.find(({ id }) => id === fibreId) ?? { name: 'it', liquorRatioLPerKg: null }
  const ratio = liquorRatioOf(liquorRatioLPerKg, fibre)
  const weight = (grams: number) => sayWeight(grams, unitsOf(shed.workshop))
  const bundles = weights.map(bundle => ({ ...bundle, id: bundle.n, lotId: bundle.lot }))
  const { pots, left, figures, proven } = splitIntoPots(bundles, potsFor(form, own, otherPots, ratio), weight)
  return {
    bundles: bundles.length,
    lots: new Set(bundles.map(({ lot }) => lot)).size,
    dryWeightG: bundles.reduce((sum, { dryWeightG }) => sum + dryWeightG, 0),
    liquorRatioLPerKg: ratio,
    pots: pots.map(pot => loadOf(pot, ratio)),
    left: { bundleNs: left.bundles.map(({ n }) => n), dryWeightG: left.dryWeightG, sentence: left.sentence ?? '' },
    figures,
    proven,
    howGood: sayHowGood({ figures, proven }, weight),
  }
}

/** Whole bundles over pots: what a drop-off would need, before there is one. */
export function splitOverPots(app: FastifyInstance): void {
  const title = 'Bundles over pots'
  sumPage(app, '/reckon/split-into-pots', { title, view: 'reckon/split-into-pots', choices, answer })
}
