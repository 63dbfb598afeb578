import { band, COUNTABLE, gap, HEIGHT, hatching, ring, type Sheaf, sheaf } from './bundle-outline.js'

/**
 * The app's own sign: a bundle as a sheaf of fibre strips in the lot's colour, the thick end at the left, one band for
 * each tie. A band that is there draws the sheaf in; where it is missing the sheaf stands open between dashes; one on
 * the tie board hangs above its place; one replaced from the strip's own end is hatched. Presentation attributes only
 * and no ids, so that a page may hold any number of them.
 */
export type TieState = 'on' | 'off' | 'missing' | 'replaced'

export interface DrawnBundle {
  /** `#rrggbb`; `null` when the colour is not settled. */
  swatch: string | null
  /** From the thick end. */
  ties: readonly TieState[]
  tiesUndyed: boolean
  label: string
}

const OTHER_STATES: readonly (readonly [TieState, string])[] = [
  ['off', 'on the tie board'],
  ['missing', 'missing'],
  ['replaced', "replaced from the strip's own end"],
]

/** The bundle's ties in words: "Bundle 3: 3 ties, 1 missing, ties undyed". */
export function bundleInWords({ label, ties, tiesUndyed }: Omit<DrawnBundle, 'swatch'>): string {
  const number = ties.length === 0 ? 'no ties' : ties.length === 1 ? '1 tie' : `${ties.length} ties`
  const others = OTHER_STATES.map(([state, words]) => ({ words, count: countOf(ties, state) }))
  const said = others.filter(other => other.count > 0).map(other => `${other.count} ${other.words}`)
  const undyed = tiesUndyed && ties.length > 0 ? ['ties undyed'] : []
  return `${label}: ${[number, ...said, ...undyed].join(', ')}`
}

const countOf = (ties: readonly TieState[], state: TieState): number => ties.filter(tie => tie === state).length

/** The drawing as an SVG element, the size of a table row or large. */
export function bundleDrawing(bundle: DrawnBundle, size: 'row' | 'large' = 'row'): string {
  const { swatch, tiesUndyed, ties } = bundle
  const alike = `${size} ${swatch} ${tiesUndyed} ${ties.join(' ')}`
  const drawn = known.get(alike) ?? draw(bundle, size)
  if (known.size >= MOST_KNOWN) known.clear()
  known.set(alike, drawn)
  return `${drawn.opening}<title>${escaped(bundleInWords(bundle))}</title>${drawn.lines}</svg>`
}

type Drawn = { opening: string; lines: string }

/** Bundles of a lot are mostly alike, and the same lots are looked at all day. */
const known = new Map<string, Drawn>()
const MOST_KNOWN = 500

function draw(bundle: DrawnBundle, size: 'row' | 'large'): Drawn {
  const grouped = bundle.ties.length > COUNTABLE
  const ties = grouped ? STATES.filter(state => bundle.ties.includes(state)) : bundle.ties
  const shape = sheaf(ties.map(drawsIn))
  const scale = size === 'row' ? 0.5 : 1.25
  const numbers = grouped ? shape.ties.map((tie, index) => number(tie.x, ties[index], bundle.ties)) : []
  const box = `viewBox="0 0 ${shape.width} ${HEIGHT}" width="${shape.width * scale}" height="${HEIGHT * scale}"`
  return {
    opening: `<svg ${box} role="img" fill="none" stroke-width="2">`,
    lines: [...paths(shape, ties, bundle), ...numbers].join(''),
  }
}

const STATES: readonly TieState[] = ['on', 'replaced', 'missing', 'off']
const drawsIn = (tie: TieState): boolean => tie === 'on' || tie === 'replaced'

// The page's own ink surrounds the sheaf, so that it stands out by day and by night. Inside, ink is black or white,
// whichever the fibre's colour lets show.
const DARK = '#1c1c1c'
const LIGHT = '#ffffff'
const UNDYED = '#f4e8cb'
const UNSETTLED = '#f8f8f8'

function paths(shape: Sheaf, ties: readonly TieState[], { swatch, tiesUndyed }: DrawnBundle): string[] {
  const fibre = /^#[0-9a-f]{6}$/i.test(swatch ?? '') ? (swatch ?? UNSETTLED) : UNSETTLED
  const ink = inkOn(fibre)
  // A dyed tie is of the bundle's colour, a little towards the ink so that it stands out in print as well.
  const tie = tiesUndyed ? { fill: UNDYED, ink: DARK } : { fill: between(fibre, ink), ink }
  // White lines end within the sheaf: on the page they would be lost.
  const beyond = (bandInk: string) => (bandInk === DARK ? 3 : -1)
  const lines = (state: TieState, line: (place: { x: number; half: number }) => string): string =>
    shape.ties.flatMap((place, index) => (ties[index] === state ? [line(place)] : [])).join('')
  const on = lines('on', place => band(place, shape.bandHalfWidth, beyond(tie.ink)))
  const replaced = lines('replaced', place => band(place, shape.bandHalfWidth, beyond(ink)))
  const hatched = lines('replaced', place => hatching(place, shape.bandHalfWidth))
  const missing = lines('missing', place => gap(place, shape.bandHalfWidth))
  const off = lines('off', ring)
  return [
    path(shape.outline, `fill="${fibre}" stroke="currentColor"`),
    path(shape.strips, `stroke="${ink}" stroke-width="1" opacity=".7"`),
    path(on, `fill="${tie.fill}" stroke="${tie.ink}"`),
    path(replaced + hatched, `fill="${fibre}" stroke="${ink}"`),
    path(missing, `fill="${fibre}" stroke="${ink}" stroke-dasharray="4 3"`),
    path(off, 'stroke="currentColor" stroke-width="6"'),
    path(off, `stroke="${tie.fill}" stroke-width="3"`),
  ]
}

/** Black or white, whichever shows better on this colour. */
export const inkOn = (fibre: string): string => (contrast(fibre, DARK) >= contrast(fibre, LIGHT) ? DARK : LIGHT)

const path = (lines: string, how: string): string => (lines === '' ? '' : `<path d="${lines}" ${how}/>`)

/** Too many ties to count at a glance: one band for each state, with its number above. */
function number(x: number, state: TieState | undefined, ties: readonly TieState[]): string {
  if (state === undefined) return ''
  const place = state === 'off' ? `x="${x + 10}"` : `x="${x}" text-anchor="middle"`
  return `<text ${place} y="18" font-size="20" font-family="sans-serif" fill="currentColor">${countOf(ties, state)}</text>`
}

const channels = (colour: string): number[] =>
  [1, 3, 5].map(place => Number.parseInt(colour.slice(place, place + 2), 16))

/** Relative luminance of an sRGB colour, 0 to 1. Source: WCAG 2.2, definition of relative luminance. */
function luminance(colour: string): number {
  const [red = 0, green = 0, blue = 0] = channels(colour).map(channel => {
    const value = channel / 255
    return value <= 0.04045 ? value / 12.92 : ((value + 0.055) / 1.055) ** 2.4
  })
  return 0.2126 * red + 0.7152 * green + 0.0722 * blue
}

/** Contrast ratio, 1 to 21. Source: WCAG 2.2, definition of contrast ratio. */
function contrast(a: string, b: string): number {
  const [darker = 0, lighter = 0] = [luminance(a), luminance(b)].sort((x, y) => x - y)
  return (lighter + 0.05) / (darker + 0.05)
}

/** A fifth of the way from one colour to the other. */
function between(from: string, to: string): string {
  const there = channels(to)
  const mixed = channels(from).map((channel, index) => Math.round(channel * 0.8 + (there[index] ?? 0) * 0.2))
  return `#${mixed.map(channel => channel.toString(16).padStart(2, '0')).join('')}`
}

export const escaped = (text: string): string =>
  text.replaceAll('&', '&amp;').replaceAll('<', '&lt;').replaceAll('>', '&gt;').replaceAll('"', '&quot;')
