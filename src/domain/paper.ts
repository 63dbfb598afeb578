/** Papers on which slips print. */
export const PAPERS = ['A5', 'Letter', '80 mm roll'] as const
export type Paper = (typeof PAPERS)[number]

/** The name of a paper in style sheets and addresses. */
export const PAPER_NAMES: Record<Paper, string> = { A5: 'a5', Letter: 'letter', '80 mm roll': 'roll' }
