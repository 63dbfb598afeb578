/**
 * Something about a commission that is not done yet: asked once, answered when there is time. `to` is the page where it
 * is answered. One that hinders keeps its bundles from being handed back until it is answered.
 */
export type OpenPoint = {
  /** Of one lot, or of the whole commission when null. */
  lotId: number | null
  /** Of these bundles of the lot, or of all of them when empty. */
  bundleIds: readonly number[]
  sentence: string
  to: string
  hinders: boolean
}

/** What keeps these bundles of these lots from going back. */
export const hindering = (
  points: readonly OpenPoint[],
  going: { lotIds: readonly number[]; bundleIds: readonly number[] },
): OpenPoint[] =>
  points.filter(
    ({ hinders, lotId, bundleIds }) =>
      hinders &&
      (lotId === null || going.lotIds.includes(lotId)) &&
      (bundleIds.length === 0 || bundleIds.some(id => going.bundleIds.includes(id))),
  )

/** What a lot's own page shows: its own points and those of its whole commission. */
export const pointsOfLot = (points: readonly OpenPoint[], lotId: number): OpenPoint[] =>
  points.filter(point => point.lotId === null || point.lotId === lotId)
