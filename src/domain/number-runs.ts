/** Numbers of bundles as people say them: [1, 2, 3, 4, 7] is "1 to 4, 7". In order, whatever order they came in. */
export function sayRuns(numbers: readonly number[]): string {
  const runs: { first: number; last: number }[] = []
  for (const number of [...new Set(numbers)].sort((one, other) => one - other)) {
    const run = runs.at(-1)
    if (run !== undefined && number === run.last + 1) run.last = number
    else runs.push({ first: number, last: number })
  }
  return runs.map(({ first, last }) => words(first, last)).join(', ')
}

/**
 * Which of so many: "1 to 4 of 12". Numbers stay when another bundle is withdrawn, so that they may go beyond how many
 * there are: "12 (11 in all)".
 */
export const sayRunsOf = (numbers: readonly number[], count: number): string =>
  Math.max(...numbers) <= count ? `${sayRuns(numbers)} of ${count}` : `${sayRuns(numbers)} (${count} in all)`

function words(first: number, last: number): string {
  if (first === last) return String(first)
  return last === first + 1 ? `${first}, ${last}` : `${first} to ${last}`
}
