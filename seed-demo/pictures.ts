/** Photographs that nobody took: bundles drawn strand by strand, so that the demo has something to show. */
import sharp from 'sharp'

type Rgb = readonly [number, number, number]

const channel = (hex: string, n: number): number => Number.parseInt(hex.slice(1 + 2 * n, 3 + 2 * n), 16)
const rgb = (hex: string): Rgb => [channel(hex, 0), channel(hex, 1), channel(hex, 2)]
const BENCH = rgb('#a9a49b')
export const UNDYED = '#c9b48c'

/** The same wobble for the same numbers, so that every start of the demo draws the same. */
const wobble = (a: number, b: number): number => {
  const x = Math.sin(a * 12.9898 + b * 78.233) * 43_758.5453
  return x - Math.floor(x)
}

export type Drawn = { hex: string; ties: number; tieHex: string; seed: number }

const [WIDTH, HEIGHT, STRANDS] = [960, 720, 46]
const [TOP, BOTTOM] = [70, 650]

/** One bundle upright on the bench, thick ends below, its ties across it. Answers the file of a camera, as it were. */
export function drawBundle({ hex, ties, tieHex, seed }: Drawn): Promise<Buffer> {
  const [fibre, tie] = [rgb(hex), rgb(tieHex)]
  const pixels = Buffer.alloc(WIDTH * HEIGHT * 3)
  const tieAt = Array.from({ length: ties }, (_, n) => TOP + ((BOTTOM - TOP) * (n + 1)) / (ties + 1))
  for (let y = 0; y < HEIGHT; y += 1) {
    const spread = 150 + 60 * ((y - TOP) / (BOTTOM - TOP)) + 8 * Math.sin(y / 41 + seed)
    const isTie = tieAt.some(at => Math.abs(y - at) < 11)
    const light = 1 - 0.18 * (y / HEIGHT)
    for (let x = 0; x < WIDTH; x += 1) {
      const across = (x - WIDTH / 2 + 5 * Math.sin(y / 67 + seed)) / spread
      const isFibre = Math.abs(across) < (isTie ? 0.94 : 1) && y > TOP - 30 * wobble(seed, x >> 3) && y < BOTTOM
      const strand = Math.floor(across * STRANDS)
      const shade = isFibre ? 0.74 + 0.4 * wobble(strand, seed) - 0.25 * across * across : 0.96 + 0.04 * wobble(x, y)
      const colour = !isFibre ? BENCH : isTie ? tie : fibre
      for (const [channel, value] of colour.entries())
        pixels[(y * WIDTH + x) * 3 + channel] = Math.max(0, Math.min(255, value * shade * light))
    }
  }
  return sharp(pixels, { raw: { width: WIDTH, height: HEIGHT, channels: 3 } })
    .blur(0.8)
    .jpeg({ quality: 90 })
    .toBuffer()
}
