/** The people of the invented dye shed by the weir. None of them exists; neither do the places. */
import type { Client } from '../src/store/clients.js'
import type { Pot } from '../src/store/pots.js'
import type { Workshop } from '../src/store/workshop.js'

export const WORKER = 'Wren'

export const workshop: Workshop = {
  name: 'The Weir Shed',
  weightUnit: 'metric',
  volumeUnit: 'metric',
  timeZone: 'UTC',
  dryBasis: 'conditioned',
  scaleStepG: 1,
  slipPaper: 'A5',
  slipWords: 'The Weir Shed is an invented workshop.',
}

export const dropOffDefaults = {
  receiptWords:
    'Fibre waits here for a year at most, and we write before that. What is lost or harmed here we say at once. An invented workshop promises this.',
  weeksWithoutDay: 6,
  tiePlace: 'in the middle',
  tieKind: 'wrapped and tucked',
  thickEnd: 'thick end first',
} as const

const client = (name: string, contact: string, more: Partial<Client> = {}): Client => ({
  name,
  mark: '',
  contact,
  settles: 'paid',
  wishes: '',
  photographs: 'yes',
  note: '',
  ...more,
})

export const clients = {
  guild: client('Long Basket Guild', 'the guild’s letter box, mornings', {
    wishes: 'Gathered on a day kept quiet: please do not leave it lying on the ground.',
    photographs: 'yes, not to show',
    sharesBath: 'never',
  }),
  chairs: client('Thursday chair-seating course', 'leave word with the caretaker', {
    settles: 'trade',
    note: 'Pays in seats.',
    sharesBath: 'may',
  }),
  masks: client('Masks of the Painted Barge', 'stage door, after noon', {
    wishes: 'Black must not come off on faces.',
  }),
  paper: client('Reedmere paper-making class', 'ask for the vat room', { photographs: 'not asked' }),
  quill: client('Marta Quill', 'letter box 4', { settles: 'gift', photographs: 'no', wishesAnswer: 'rather not say' }),
  tarn: client('Joss Tarn', 'at the ferry on Fridays', {
    wishes: 'Keep the thick ends together.',
    sharesBath: 'may',
  }),
  anaOne: client('Ana Vale', 'the red door', { mark: 'AV ∆' }),
  anaTwo: client('Ana Vale', 'the mill, upper floor', { mark: 'AV ○', settles: 'trade' }),
} as const

export type Who = keyof typeof clients

const pot = (name: string, litres: number, metal: string, note = ''): Pot => ({
  name,
  usableMl: litres * 1000,
  usableTyped: `${litres} L`,
  metal,
  note,
  outOfUse: false,
})

export const pots = {
  kettle: { ...pot('Big kettle', 45, 'stainless steel'), hotAfterMinutes: 75 },
  trough: pot('Long trough', 60, 'stainless steel', 'for rods and long strips'),
  pan: { ...pot('Small pan', 16, 'enamel', 'the alum pan'), noIron: true, onlyBrights: true, hotAfterMinutes: 35 },
  black: pot('Black pot', 30, 'iron', 'iron and darks'),
} as const

export type PotName = keyof typeof pots
