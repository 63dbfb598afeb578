/** What the paper of a receipt says: the words that were kept when it was issued, and none beside them. */
import { addressBlocks, type Block, section } from './paper-blocks.js'
import type { Line, Receipt, ReceiptLot } from './receipt.js'

export type NumberedReceipt = { commissionId: number; n: number; receipt: Receipt }

const titleOf = ({ n, commissionId }: NumberedReceipt): string => `Receipt ${n} of commission ${commissionId}`

/** `clientAddress`: the client's own page, printed as a QR; null when they have none. */
export function receiptBlocks(issued: NumberedReceipt, clientAddress: string | null): Block[] {
  const { receipt, n } = issued
  return [
    { is: 'head', title: titleOf(issued), workshop: receipt.workshopName },
    { is: 'words', words: `${receipt.sum}, issued ${receipt.issued}` },
    ...listed(`It amends receipt ${n - 1}`, receipt.amends, true),
    { is: 'facts', rows: receipt.facts.map(rowOf) },
    ...listed('Came along, and goes back', receipt.cameAlong, false),
    ...receipt.lots.flatMap(lotBlocks),
    ...section('Terms', receipt.terms),
    ...addressBlocks(clientAddress),
    {
      is: 'signatures',
      above: `Both sign for ${receipt.sum}.`,
      places: [`Handed over: ${receipt.givenBy}`, `Taken in: ${receipt.takenInBy}`].map(words => ({
        words,
        signature: '',
      })),
    },
  ]
}

const rowOf = ({ label, words }: Line) => ({ name: label, words })

const listed = (heading: string, lines: readonly string[], framed: boolean): Block[] =>
  lines.length === 0
    ? []
    : [
        { is: 'heading', words: heading },
        { is: 'list', framed, items: lines.map(words => ({ strong: '', words, quoted: '' })) },
      ]

/** The colour stands beside its swatch, so that its line is left out. */
const lotBlocks = ({ title, swatch, colour, sum, lines, bundles }: ReceiptLot): Block[] => [
  { is: 'heading', words: title },
  { is: 'colour', swatch, words: colour, beside: '' },
  {
    is: 'facts',
    rows: [{ name: 'In all', words: sum }, ...lines.filter(({ label }) => label !== 'Colour').map(rowOf)],
  },
  {
    is: 'table',
    caption: '',
    head: ['', 'As it came'],
    rows: bundles.map(({ label, words }) => ({ cells: [label, words], drawn: null })),
    strong: false,
  },
]

/** What stands at the top of every further sheet. */
export const receiptRunning = (issued: NumberedReceipt): string[] => [
  titleOf(issued),
  issued.receipt.facts.find(({ label }) => label === 'Belongs to')?.words ?? issued.receipt.givenBy,
]
