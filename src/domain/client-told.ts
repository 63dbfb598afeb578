/** That work is done is said to the client without their asking; a lot that is ready and of which they know nothing waits. */
export const WAYS_TO_TELL = ['by phone', 'by message', 'by letter', 'in person'] as const
export const TOLD = [...WAYS_TO_TELL, 'cannot be told'] as const
export type Told = (typeof TOLD)[number]
