/** What can be done about a load that will be late, or that cannot be planned: a sentence, and where that is done. */
import type { PlannedLoad } from './plan.js'
import type { PlanProblem } from './plan-problem.js'
import type { Reason } from './plan-reason.js'

export type Help = {
  words: string
  to: 'working days' | 'pots' | 'otherwise' | 'plan step' | 'load' | 'client'
  link: string
}

/** Less than that part of its lateness is no reason for it. */
const A_GOOD_PART = 1 / 4

/** What keeps it: what is settled of it, else what was longest in its way, else that nobody is there. */
export function keptBy({ steps, whyDone, longestInTheWay, lateMin }: PlannedLoad): Reason | null {
  const reasons = [
    ...steps.filter(({ state }) => state === 'planned').map(({ why }) => innermost(why)),
    innermost(whyDone),
  ]
  const first = (...kinds: Reason['kind'][]): Reason | undefined => reasons.find(({ kind }) => kinds.includes(kind))
  const isGood = longestInTheWay !== null && longestInTheWay.minutes >= A_GOOD_PART * lateMin
  return (
    first('pin') ?? (isGood ? longestInTheWay.reason : undefined) ?? first('room') ?? first('hours', 'release') ?? null
  )
}

const isPotOut = (reason: Reason): boolean => reason.kind === 'taken' && reason.loadIds.length === 0
const innermost = (reason: Reason): Reason => ('because' in reason ? innermost(reason.because) : reason)

export function helpForLate(load: PlannedLoad): Help {
  const reason = keptBy(load)
  if (reason !== null && isPotOut(reason))
    return { words: 'Say so as soon as the pot is back.', to: 'otherwise', link: 'The day goes otherwise' }
  switch (reason?.kind) {
    case 'taken':
    case 'scour':
    case 'hands':
    case 'room':
      return {
        words: 'Settle what is in its way for later, or make room for it.',
        to: 'working days',
        link: 'Tubs, sink, line and hands',
      }
    case 'pin':
      return {
        words: 'Something of it is settled for later than it could be.',
        to: 'plan step',
        link: 'Leave it to the plan again',
      }
    case 'hours':
      return {
        words: 'Longer hours on one of these days would bring it forward.',
        to: 'working days',
        link: 'Hours and days away',
      }
    default:
      return {
        words: 'It takes so long however empty the workshop is: tell the client another day.',
        to: 'client',
        link: 'The commission',
      }
  }
}

const NEEDS: Record<PlanProblem['kind'], Pick<Help, 'to' | 'link'>> = {
  'no steps': { to: 'load', link: 'Look at it' },
  'no pot': { to: 'pots', link: 'The pots' },
  'line too short': { to: 'working days', link: 'Room on the line' },
  'no sink': { to: 'working days', link: 'Sinks' },
  'no hours': { to: 'working days', link: 'Hours and days away' },
  'too long': { to: 'working days', link: 'Hours, and what wants hands' },
  'never fits': { to: 'working days', link: 'Hours, and what may stand overnight' },
  pin: { to: 'plan step', link: 'What is settled of it' },
  'stands too long': { to: 'load', link: 'See to it now' },
}

/** The sentence of a problem says what is wrong; this, where to put it right. */
export const helpForProblem = ({ kind }: PlanProblem): Pick<Help, 'to' | 'link'> => NEEDS[kind]
