/** How long a bath takes to get hot in its pot; its own time begins after that. */

/** As it comes from the tap, and a simmer: common practice, no source. */
export const TAP_C = 15
export const SIMMER_C = 90

/** `hotAfterMinutes`: from the tap to a simmer, filled to `usableMl`; null = nobody has said. */
export type PotHeat = { usableMl: number; hotAfterMinutes: number | null }

/** Whole minutes. The same heat warms half of the water twice as far. Nothing where nobody has said how a pot heats. */
export function warmUpMinutes(bathMl: number, toC: number, { usableMl, hotAfterMinutes }: PotHeat): number {
  const rise = Math.max(0, toC - TAP_C) / (SIMMER_C - TAP_C)
  return hotAfterMinutes === null ? 0 : Math.ceil(hotAfterMinutes * (bathMl / usableMl) * rise)
}

type Heated = {
  heat: boolean
  temperatureC: number | null
  minutes: number | null
  atLeastMinutes: number | null
  atMostMinutes: number | null
}

/**
 * A step with the time in it that its bath takes to get hot, in the slowest of these pots: the fibre is in it all the
 * while. A step without a time, or without heat, stays as it is.
 */
export function warmed<S extends Heated>(
  step: S,
  bathMl: number,
  pots: readonly PotHeat[],
): S & { warmUpMinutes: number } {
  const { heat, temperatureC, minutes } = step
  const isTimed = heat && temperatureC !== null && minutes !== null
  const more = isTimed ? Math.max(0, ...pots.map(pot => warmUpMinutes(bathMl, temperatureC, pot))) : 0
  const longer = (had: number | null): number | null => (had === null ? null : had + more)
  return {
    ...step,
    minutes: longer(minutes),
    atLeastMinutes: longer(step.atLeastMinutes),
    atMostMinutes: longer(step.atMostMinutes),
    warmUpMinutes: more,
  }
}
