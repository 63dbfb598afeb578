/**
 * How much colour a wet white cloth takes from dyed fibre. The grades are those of the grey scale for assessing staining
 * (ISO 105-A03: nine steps, 5 for none). Rubbing the dry-tied bundle with a wet cloth is workshop practice, no standard test.
 */
export const GRADES = ['5', '4-5', '4', '3-4', '3', '2-3', '2', '1-2', '1'] as const
export type Grade = (typeof GRADES)[number]

/** What an eye sees on the cloth; common practice, no source. */
export const GRADE_WORDS: Readonly<Record<Grade, string>> = {
  '5': 'the cloth stays white',
  '4-5': 'hardly a trace',
  '4': 'a trace',
  '3-4': 'between a trace and a light stain',
  '3': 'a light stain',
  '2-3': 'between a light and a plain stain',
  '2': 'a plain stain',
  '1-2': 'between a plain and a heavy stain',
  '1': 'a heavy stain',
}

/** Worse than the least that is wanted. */
export const isBelow = (grade: Grade, least: Grade): boolean => GRADES.indexOf(grade) > GRADES.indexOf(least)

export type WetCloth = { grade: Grade | null; why: string; words: string }

/** "stain grade 3 (a light stain); given out all the same: for a lining", as the slip says it. */
export function sayWetCloth({ grade, why, words }: WetCloth): string {
  if (grade === null) return `not tried: ${why}`
  const seen = `stain grade ${grade} of 5 (${GRADE_WORDS[grade]})`
  return [seen, ...(why === '' ? [] : [`given out all the same: ${why}`]), ...(words === '' ? [] : [words])].join('; ')
}

/** What follows from a test that was just written down: "stain grade 3, below 4: it waits for another rinse, or a reason". */
export function sayWhatFollows({ grade, why }: WetCloth, use: readonly string[], least: Grade): string {
  if (grade === null) return 'Written down: not tried.'
  const seen = `Written down: stain grade ${grade}`
  if (!isBelow(grade, least)) return `${seen}.`
  const below = `${seen}, below ${least}`
  if (use.length === 0)
    return `${below}. The lot is for neither a class nor wet use, so that it may go back all the same.`
  return why === ''
    ? `${below}. Rinse the lot again, or say why it goes all the same: until then it does not go back.`
    : `${below}. It goes back all the same, with the reason on its slip.`
}

/** Why a lot for a class or for wet use does not go back yet, or null. Its `last` test is the one that counts. */
export function whyNotClean(
  lotId: number,
  use: readonly string[],
  last: WetCloth | undefined,
  least: Grade,
): string | null {
  if (use.length === 0) return null
  const wet = `Lot ${lotId} is for ${use.join(' and ')}`
  if (last === undefined) return `${wet}: rub it with a wet white cloth and grade the stain.`
  if (last.why !== '' || last.grade === null || !isBelow(last.grade, least)) return null
  return `${wet}, and its cloth showed grade ${last.grade}, below ${least}: rinse it again, or say why it goes all the same.`
}
