/**
 * The lines of the bundle drawing. Whole units, two to the pixel of a table row; paths are relative to stay small.
 * A sheaf lies from the thick end at the left to the fine end at the right; `half` is half its height at a place.
 */

export const HEIGHT = 72
const MIDDLE = 44
const BUTT = 12
const TIPS = 30
const BEFORE_TIES = 52
const AFTER_TIES = 66
const SHORTEST = 232

/** Ties a tally can be read from: up to here each has its own band, in fives. */
export const COUNTABLE = 40
const FIVE = 5
const FIVE_GAP = 8
const MANY = 12

/** Lines between the strips, as parts of the half height, and how far each of the strips reaches out at both ends. */
const STRIP_EDGES = [-1, -0.52, 0, 0.45, 1]
const BUTT_REACH = [4, 9, 5, 8]
const TIP_REACH = [15, 21, 18, 23]

/** A place along the sheaf and half its height there. */
interface Station {
  x: number
  half: number
}

export interface Sheaf {
  width: number
  /** Where each tie sits, from the thick end. */
  ties: readonly Station[]
  outline: string
  strips: string
  bandHalfWidth: number
}

/** A sheaf with places for ties; it is drawn in where `tight` says so and stands open elsewhere. */
export function sheaf(tight: readonly boolean[]): Sheaf {
  const count = tight.length
  const pitch = pitchOf(count)
  const offset = (index: number) => index * pitch + Math.floor(index / FIVE) * FIVE_GAP
  const span = count < 2 ? 0 : offset(count - 1)
  const width = Math.max(SHORTEST, BEFORE_TIES + span + AFTER_TIES)
  const fineEnd = width - TIPS
  const first = BEFORE_TIES + Math.round((width - BEFORE_TIES - AFTER_TIES - span) / 2)
  const open = (x: number) => 22 - (8 * (x - BUTT)) / (fineEnd - BUTT)

  const ties = tight.map((drawnIn, index) => {
    const x = first + offset(index)
    return { x, half: Math.round(drawnIn ? open(x) * 0.7 : open(x) + 1) }
  })
  const between = ties.slice(1).map((tie, index) => {
    const x = Math.round((tie.x + (ties[index]?.x ?? tie.x)) / 2)
    return { x, half: Math.round(open(x) * (pitch < 30 ? 0.9 : 1)) }
  })
  const body = [...ties, ...between].sort((a, b) => a.x - b.x)
  const middle = body.length > 0 ? body : [{ x: width / 2, half: Math.round(open(width / 2)) }]
  const stations = [{ x: BUTT, half: 25 }, ...middle, { x: fineEnd, half: 20 }]
  return { width, ties, outline: outlineOf(stations), strips: stripsOf(stations), bandHalfWidth: count > MANY ? 4 : 5 }
}

/** Ties stand well apart while they are few, and keep apart enough to be counted when they are many. */
function pitchOf(count: number): number {
  if (count > MANY) return 15
  return Math.max(20, Math.min(46, Math.floor(116 / (count - 1))))
}

const at = (half: number, part: number): number => Math.round(MIDDLE + half * part)

function outlineOf(stations: readonly Station[]): string {
  const butt = stations[0] ?? { x: 0, half: 0 }
  const tips = stations[stations.length - 1] ?? butt
  const there = along(stations, -1)
  const back = along([...stations].reverse(), 1)
  return `M${butt.x} ${at(butt.half, -1)}${there}${fineEnds(tips)}${back}${thickEnds(butt)}`
}

/** The lines between the strips, from end to end. */
function stripsOf(stations: readonly Station[]): string {
  const butt = stations[0]?.half ?? 0
  return STRIP_EDGES.slice(1, -1)
    .map(part => `M${BUTT} ${at(butt, part)}${along(stations, part)}`)
    .join('')
}

/** A smooth line through the stations, at this part of the half height; level at each of them. */
function along(stations: readonly Station[], part: number): string {
  const steps = stations.slice(1).map((to, index) => {
    const from = stations[index] ?? to
    return { dx: to.x - from.x, dy: at(to.half, part) - at(from.half, part) }
  })
  if (steps.every(step => step.dy === 0)) return `h${steps.reduce((sum, step) => sum + step.dx, 0)}`
  const nearest = Math.min(28, ...steps.map(step => Math.abs(step.dx)))
  return steps.map(({ dx, dy }) => `s${numbers(dx - (Math.sign(dx) * nearest) / 2, dy, dx, dy)}`).join('')
}

/** The strips' fine ends, fanned out, from top to bottom. */
function fineEnds({ half }: Station): string {
  const last = TIP_REACH.length - 1
  return TIP_REACH.map((reach, strip) => {
    const [top, bottom] = edgesOf(strip, half)
    const notchBefore = strip === 0 ? 0 : 3
    const notchAfter = strip === last ? 0 : 3
    const tip = at(half + 8, middleOf(strip)) - 3
    return `l${numbers(reach - notchBefore, tip - top, 2, 5, notchAfter - reach - 2, bottom - tip - 5)}`
  }).join('')
}

/** The strips' thick ends, cut square, from bottom to top. */
function thickEnds({ half }: Station): string {
  const last = BUTT_REACH.length - 1
  const ends = BUTT_REACH.map((reach, strip) => {
    const [top, bottom] = edgesOf(strip, half)
    const notchBelow = strip === last ? 0 : 4
    const out = `l${numbers(-reach - notchBelow, -1, 0, top - bottom + 2)}`
    return strip === 0 ? `${out}z` : `${out}l${numbers(reach + 4, -1)}`
  })
  return ends.reverse().join('')
}

const edgesOf = (strip: number, half: number): [number, number] => [
  at(half, STRIP_EDGES[strip] ?? 0),
  at(half, STRIP_EDGES[strip + 1] ?? 0),
]
const middleOf = (strip: number): number => ((STRIP_EDGES[strip] ?? 0) + (STRIP_EDGES[strip + 1] ?? 0)) / 2

/** A band around the sheaf, `beyond` it at the top and bottom, or short of it when negative. */
export function band({ x, half }: Station, halfWidth: number, beyond: number): string {
  const reach = half + beyond
  const across = 2 * halfWidth
  return `M${x - halfWidth} ${MIDDLE - reach}q${numbers(halfWidth, -3, across, 0)}v${2 * reach}q${numbers(-halfWidth, 3, -across, 0)}z`
}

/** The dashed place of a band that is not there, within the sheaf. */
export function gap({ x, half }: Station, halfWidth: number): string {
  const reach = half - 4
  return `M${x - halfWidth} ${MIDDLE - reach}h${2 * halfWidth}v${2 * reach}h${-2 * halfWidth}z`
}

/** Slanting lines across a band. */
export function hatching({ x, half }: Station, halfWidth: number): string {
  const lines: string[] = []
  for (let y = MIDDLE - half + 5; y <= MIDDLE + half; y += 7) lines.push(`M${x - halfWidth} ${y}l${2 * halfWidth}-5`)
  return lines.join('')
}

/** A tie that has been taken off: a ring above its place. */
export const ring = ({ x }: Station): string => `M${x - 5} 11a5 7 0 1 0 10 0a5 7 0 1 0-10 0z`

/** Numbers as short as a path allows: a minus sign parts them too. */
const numbers = (...values: number[]): string =>
  values
    .map(value => Math.round(value))
    .join(' ')
    .replaceAll(' -', '-')
