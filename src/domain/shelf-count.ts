/** A shelf count: what the records say lies there, against what somebody sees there. */

export const FINDINGS = ['fine', 'missing', 'unexpected', 'moved since'] as const
export type Finding = (typeof FINDINGS)[number]
/** What has to be answered. */
export type Question = 'missing' | 'unexpected'

export const ANSWERS = ['found', 'lost', 'put here', 'put back', 'explained'] as const
export type Answer = (typeof ANSWERS)[number]

/** The answers to each question, as they are asked. */
export const ANSWERS_TO: Readonly<Record<Question, readonly (readonly [Answer, string])[]>> = {
  missing: [
    ['found', 'It was found'],
    ['explained', 'It is somewhere else'],
    ['lost', 'It cannot be found: write that down as gone wrong'],
  ],
  unexpected: [
    ['put back', 'It was put back where it belongs'],
    ['put here', 'It stays here: note this spot'],
    ['explained', 'Something else'],
  ],
}

export const needsWords = (answer: Answer): boolean => answer === 'found' || answer === 'explained'

/**
 * What comes of each bundle that was listed or seen. `here` are the bundles of which the records say at the end that they
 * lie there: one that went or came by a step during the count is no question.
 */
export function findingsOf(count: {
  listed: ReadonlySet<number>
  seen: ReadonlySet<number>
  here: ReadonlySet<number>
}): Map<number, Finding> {
  const { listed, seen, here } = count
  const all = new Set([...listed, ...seen])
  return new Map([...all].map(id => [id, findingOf(listed.has(id), seen.has(id), here.has(id))]))
}

function findingOf(listed: boolean, seen: boolean, here: boolean): Finding {
  if (listed && seen) return 'fine'
  if (listed) return here ? 'missing' : 'moved since'
  return here ? 'moved since' : 'unexpected'
}
