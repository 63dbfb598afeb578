/** Reads the weights of bundles without a drop-off: each line is a lot, a list of weights or the line of alike bundles. */
import { BUNDLE_LIMITS, readBundlesLine } from './bundles-line.js'
import { readWeight, type Units } from './quantity.js'
import { type Read, read, unread } from './refusal.js'
import { readList } from './typed-list.js'

/** `n` counts over all lots, `lot` the lines, both from 1. */
export type WeighedBundle = { n: number; lot: number; dryWeightG: number }

const MOST = BUNDLE_LIMITS.bundles.max

function readLine(line: string, units: Units): Read<number[]> {
  if (/\bbundles?\b/i.test(line)) {
    const alike = readBundlesLine(line, units)
    return alike.ok ? read(Array.from({ length: alike.value.count }, () => alike.value.dryWeightG)) : alike
  }
  return readList(line, MOST, text => {
    const weight = readWeight(text, units, {
      label: 'weight of a bundle',
      ...BUNDLE_LIMITS.dryWeightG,
      defaultUnit: units.weight === 'metric' ? 'g' : undefined,
    })
    return weight.ok ? read(weight.value.grams) : weight
  })
}

/** All bundles of all lines; at least one and at most 200. A bare figure is grams in a metric workshop. */
export function readBundleWeights(typed: string, units: Units): Read<WeighedBundle[]> {
  const bundles: WeighedBundle[] = []
  const lines = typed.split('\n').filter(line => line.trim() !== '')
  for (const [at, line] of lines.entries()) {
    const weights = readLine(line, units)
    if (!weights.ok) return lines.length > 1 ? unread(`Line ${at + 1}: ${weights.sentence}`) : weights
    for (const dryWeightG of weights.value) bundles.push({ n: bundles.length + 1, lot: at + 1, dryWeightG })
  }
  if (bundles.length === 0)
    return unread(
      'What do the bundles weigh? For example “150 g, 150 g, 210 g”, or “12 bundles of 3 ties, 150 g each”.',
    )
  return bundles.length > MOST ? unread(`There is room for ${MOST} bundles here at most.`) : read(bundles)
}
