/** Papers that go out: the same blocks as a page to print, on the paper that is asked for, and as a file. */
import type { FastifyReply, FastifyRequest } from 'fastify'
import { PAPER_NAMES, PAPERS, type Paper } from '../../domain/paper.js'
import type { Block } from '../../domain/paper-blocks.js'
import { Form } from './form.js'
import { MODULE_MM, qrDrawing } from './qr-drawing.js'

/** `running` stands at the top of every further sheet, so that one that strays says whose it is. */
export type PaperContent = { blocks: readonly Block[]; running: readonly string[] }

/** The paper that the address asks for, or else the workshop's usual one. */
const paperOf = (request: FastifyRequest): Paper => {
  const asked = Form.read(request.query).value('paper')
  return PAPERS.find(one => one === asked || PAPER_NAMES[one] === asked) ?? request.workshop.slipPaper
}

/** What the page needs to draw it, and to offer the other papers. */
export function paperPage(request: FastifyRequest, { blocks, running }: PaperContent) {
  const paper = paperOf(request)
  return {
    blocks: blocks.map(block =>
      block.is === 'address' ? { ...block, qr: qrDrawing(block.address, MODULE_MM, 'the address below') } : block,
    ),
    running,
    paper,
    papers: PAPERS.map(name => ({ name, key: PAPER_NAMES[name] })),
    paperClass: `paper-${PAPER_NAMES[paper]}`,
  }
}

/** The paper as a file under this name, made at this moment (ISO, UTC). */
export async function sendPaper(
  request: FastifyRequest,
  reply: FastifyReply,
  { name, at, ...content }: PaperContent & { name: string; at: string },
) {
  const { paperPdf } = await import('./paper-pdf.js') // only now: the library of PDFs is large and slow to load
  const bytes = await paperPdf({ ...content, paper: paperOf(request), at })
  return reply.header('content-disposition', `inline; filename="${name}.pdf"`).type('application/pdf').send(bytes)
}
