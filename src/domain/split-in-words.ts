/** How near a split over pots is to the best there is, in a sentence. */
import { grams } from './pots.js'
import { sayFigure } from './say-quantity.js'
import type { PotSplit } from './split-into-pots.js'

type Proof = Pick<PotSplit<unknown, unknown>, 'figures' | 'proven'>

/** What is proven, or for each figure that is not, how far from the best it can be at most. `weight` writes grams. */
export function sayHowGood({ figures, proven }: Proof, weight = grams): string {
  if (proven) return 'No other split does better: that is proven.'
  const { leftG, pots, lotSplits, unevenness } = figures
  const open = [
    leftG.proven ? '' : `${weight(leftG.gap)} less might stay out`,
    pots.proven ? '' : `${pots.atLeast} instead of ${pots.is} pots might do`,
    lotSplits.proven ? '' : `lots might lie in ${lotSplits.gap} fewer places`,
    unevenness.proven
      ? ''
      : `the pots might be fuller alike, by ${sayFigure(unevenness.gap * 100, 2)} % of a pot at most`,
  ].filter(Boolean)
  return `Not proven to be the best: ${open.join('; ')}.`
}
