/** The machine is shared: the processor's own time is what a core of one's own would take. */
export async function cpuMs(work: () => unknown): Promise<number> {
  const began = process.cpuUsage()
  await work()
  const { user, system } = process.cpuUsage(began)
  return (user + system) / 1000
}

export const median = (list: number[]): number =>
  [...list].sort((a, b) => a - b)[Math.floor(list.length / 2)] ?? Number.NaN
