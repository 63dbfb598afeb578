export const NEARNESS = ['as asked', 'nearly as asked', 'not as asked'] as const
/** How near what came out is to what was asked, in the dyer's judgement. */
export type Nearness = (typeof NEARNESS)[number]

export const WATERS = ['dark', 'coloured', 'tinted', 'clear'] as const
/** How a rinse ran, from worst to best: the dyer's eye, common practice, no source. */
export type Water = (typeof WATERS)[number]
