export const SETTLES = ['paid', 'trade', 'gift'] as const
/** How a client settles, or how one commission is settled. */
export type Settles = (typeof SETTLES)[number]

export const PHOTOGRAPHS = ['not asked', 'yes', 'yes, not to show', 'no'] as const
/** Whether this client's fibre may be photographed; "not asked" is not a yes. */
export type Photographs = (typeof PHOTOGRAPHS)[number]
