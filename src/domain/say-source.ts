import type { Provenance } from './catalogue.js'

/** What was put on the scale says so itself; it is nobody's experience. */
const ON_THE_SCALE = /^weighed /

/** "handbook: Beech 1901, p. 262", and "common practice, no source" without saying the kind twice. */
export const saySource = ({ kind, source }: Provenance): string =>
  source.startsWith(kind) || ON_THE_SCALE.test(source) ? source : `${kind}: ${source}`
