import type { Provenance } from './catalogue.js'

/** "handbook: Beech 1901, p. 262", and "common practice, no source" without saying the kind twice. */
export const saySource = ({ kind, source }: Provenance): string =>
  source.startsWith(kind) ? source : `${kind}: ${source}`
