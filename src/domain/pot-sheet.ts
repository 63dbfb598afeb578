/** What stands on the paper beside the pot, in the order of the work. */
import type { Recipe, RecipeLine, Step } from './recipe.js'

/** What was weighed out for one load, rounded so that the loads of a lot add up; by the key of its line. */
export type WeighedOut = { key: string; amount: number }

/** Dips and airings in turn become one row of boxes; every other step is a row of its own. */
export type SheetStep = { kind: 'step'; step: Step } | { kind: 'dips'; dips: Step[]; airings: Step[] }

/** The lines with the amounts that were settled for this load, where there are any. */
export const sheetLines = (lines: RecipeLine[], weighed: WeighedOut[]): RecipeLine[] =>
  lines.map(line => ({ ...line, amount: weighed.find(({ key }) => key === line.key)?.amount ?? line.amount }))

export function sheetSteps(steps: Step[]): SheetStep[] {
  const rows: SheetStep[] = []
  for (const step of steps) {
    const last = rows.at(-1)
    if (step.key !== 'dip' && step.key !== 'air') rows.push({ kind: 'step', step })
    else if (last?.kind === 'dips') last[step.key === 'dip' ? 'dips' : 'airings'].push(step)
    else rows.push({ kind: 'dips', dips: step.key === 'dip' ? [step] : [], airings: step.key === 'air' ? [step] : [] })
  }
  return rows
}

/** What several steps ask alike, said once, and what each asks beside that; in the order in which it first matters. */
export function careByStep(steps: readonly Pick<Step, 'cautions'>[]): { shared: string[]; own: string[][] } {
  const all = [...new Set(steps.flatMap(({ cautions }) => cautions))]
  const shared = all.filter(one => steps.filter(({ cautions }) => cautions.includes(one)).length > 1)
  return { shared, own: steps.map(({ cautions }) => cautions.filter(one => !shared.includes(one))) }
}

/** Every care of every step, each said once, in the order in which it first matters. */
export const careOf = ({ steps }: Recipe): string[] => [...new Set(steps.flatMap(({ cautions }) => cautions))]
