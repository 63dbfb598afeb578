/** An invented hand-back of one lot of two bundles, and parts of its slip. */
import { type BundleCheck, unchecked } from '../../src/domain/bundle-check.js'
import type { Block } from '../../src/domain/paper-blocks.js'
import { slipBlocks } from '../../src/domain/slip-blocks.js'
import type { Bath, ReturnSlip, SlipBundle, SlipLot } from '../../src/domain/slip-facts.js'

export const bundle = (n: number, check: Partial<BundleCheck> = {}): SlipBundle => ({
  id: 100 + n,
  n,
  tiesIn: 3,
  dryWeightG: 150,
  place: 'ready shelf',
  check: { ...unchecked({ tiesIn: 3 }), tiedAgain: true, ...check },
})
export const bath = (more: Partial<Bath> = {}): Bath => ({
  loadId: 1,
  laidAt: '2026-03-03T10:00:00.000Z',
  dyeWords: 'madder on alum',
  routeWords: 'plant or insect dye on a mordant',
  depthWords: 'medium',
  used: [],
  lastRinse: 'clear',
  ...more,
})
export const lot = (more: Partial<SlipLot> = {}): SlipLot => ({
  id: 4,
  fibreName: 'lime bast',
  colour: 'brick red',
  swatch: '#a33322',
  route: 'plant',
  dyeName: 'madder',
  tiesUndyed: true,
  bundlesIn: 2,
  bundles: [bundle(1), bundle(2)],
  rest: { ns: [], until: null, words: '' },
  baths: [bath()],
  treatedWith: [
    { substanceId: 'madder', name: 'madder', amount: 150, unit: 'g' },
    { substanceId: 'alum', name: 'potassium alum', amount: 30, unit: 'g' },
  ],
  outcome: null,
  ...more,
})
export const slip = (more: Partial<ReturnSlip> = {}): ReturnSlip => ({
  id: 12,
  at: '2026-04-02T23:30:00.000Z',
  words: '',
  workshopName: 'The shed',
  slipWords: '',
  how: 'in person',
  reference: '',
  acknowledged: 'on paper',
  notSignedBecause: '',
  isErased: false,
  notes: [],
  foundAgain: [],
  who: 'Ada',
  commissionId: 7,
  purpose: 'a class in May',
  neededBy: '2026-04-10',
  arrangement: 'paid',
  takenInAt: '2026-03-01T09:00:00.000Z',
  units: { weight: 'metric', volume: 'metric' },
  timeZone: 'Europe/London',
  lots: [lot()],
  toWhom: 'Berta Invented',
  authority: '',
  clientName: 'Berta Invented',
  clientMark: '',
  wishes: '',
  signature: '',
  ...more,
})

export const blocks = (more: Partial<ReturnSlip> = {}): Block[] => slipBlocks(slip(more), null)
export const ofLot = (more: Partial<SlipLot>): Block[] => blocks({ lots: [lot(more)] })
type Facts = Extract<Block, { is: 'facts' }>
export type Table = Extract<Block, { is: 'table' }>
export const factsOf = (all: Block[], at: number): [string, string][] =>
  (all.filter((block): block is Facts => block.is === 'facts')[at]?.rows ?? []).map(({ name, words }) => [name, words])
export const tableOf = (all: Block[], at: number): string[][] =>
  (all.filter((block): block is Table => block.is === 'table')[at]?.rows ?? []).map(({ cells }) => cells)
export const wordsOf = (all: Block[]): string[] => all.flatMap(block => (block.is === 'words' ? [block.words] : []))
export const headings = (all: Block[]): string[] => all.flatMap(block => (block.is === 'heading' ? [block.words] : []))
