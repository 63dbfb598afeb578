/** The ordered steps of a recipe, with their length, temperature and hand work. */
import { NOT_KNOWN } from './catalogue.js'
import { findSubstance } from './catalogue-look-up.js'
import { bathOrder } from './dye-order.js'
import type { RecipeBath, RecipeLine, Step } from './recipe.js'
import type { Bench } from './recipe-bench.js'
import { type Habit, habitOf, type Stage, stage, valueOrNull } from './stage.js'
import { stepCautions } from './step-cautions.js'
import { vatSteps } from './vat-steps.js'

/** Minutes of hand work that a day is planned with: common practice, no source. */
const HANDS = { soak: 15, bath: 20, stand: 5, rinse: 45, dry: 20 } as const
/** "Overnight" for a plan: twelve hours, eight at least, a day at most. Common practice, no source. */
const OVERNIGHT = { minutes: 720, atLeast: 480, atMost: 1440 } as const
export function stepsOf(bench: Bench, baths: RecipeBath[], lines: RecipeLine[]): Step[] {
  const before = baths.filter(bath => bath.key.startsWith('mordant-'))
  const after = baths.filter(bath => bath.key.startsWith('after-'))
  const stages = [
    soakStage(bench),
    ...before.map(bath => mordantStage(bench, bath, lines)),
    ...(bench.job.route === 'indigo' ? vatSteps(bench) : dyeStages(bench, lines)),
    ...after.map(bath => mordantStage(bench, bath, lines)),
    rinseStage(bench, lines),
    dryStage(bench),
  ]
  return stages.map((one, index) => {
    const inBath = lines.filter(line => line.bathKey === one.bathKey || (one.key === 'dip' && line.bathKey === 'stock'))
    const substances = inBath.map(line => findSubstance(bench.catalogue, line.substanceId, 'catalogue'))
    return { ...one, index, cautions: stepCautions(one, substances, bench.job) }
  })
}

function soakStage({ fibre, job }: Bench): Stage {
  const minutes = valueOrNull(fibre.soakMinutes)
  const ties = job.tiesUndyed
    ? 'They stay undyed, to show what the fibre looked like: hang them on the tie board, clear of every bath.'
    : 'Count them onto the tie board.'
  return stage({
    key: 'soak',
    title: 'Soak, and take the ties off',
    words: `Soak in warm water, held under with a weight (which takes colour too). Take the ties off as they soften, so that dye reaches everything. ${ties}`,
    place: 'soak tub',
    minutes,
    atLeastMinutes: minutes,
    temperatureC: valueOrNull(fibre.soakTemperatureC),
    handsMinutes: HANDS.soak,
    mayStandOvernight: true,
    tiesComeOff: true,
  })
}

function mordantStage(bench: Bench, bath: RecipeBath, lines: RecipeLine[]): Stage {
  const substances = bench.job.mordants
    .map(use => findSubstance(bench.catalogue, use.substanceId, 'mordants'))
    .filter(substance => lines.some(line => line.bathKey === bath.key && line.substanceId === substance.id))
  const names = substances.map(substance => substance.name).join(' and ')
  const iron = substances.some(substance => substance.metal === 'iron')
  const words = iron
    ? 'Dissolve the iron first, lower the fibre in, keep it moving and lift it out at the shade: it darkens with heat.'
    : `Dissolve first, lower the soaked fibre in, keep it under and turn it now and then. Drain, do not wring.`
  return bathStage(bench, habitOf(substances), {
    key: iron ? 'iron' : 'mordant',
    title: `${iron ? 'Sadden' : 'Mordant'} with ${names}`,
    words,
    bathKey: bath.key,
  })
}

const LOWER_IN =
  'Lower the wet fibre in loose, hold it under with a weight, turn it often at first and keep it from felting together.'

function dyeStages(bench: Bench, lines: RecipeLine[]): Stage[] {
  const dyes = bench.job.dyes.map(dye => findSubstance(bench.catalogue, dye.substanceId, 'dyes'))
  const habit = habitOf(dyes)
  const iron = bench.job.route === 'iron'
  const inBath = lines.filter(({ bathKey }) => bathKey === 'dye')
  const order = bathOrder(inBath.map(({ substanceId }) => findSubstance(bench.catalogue, substanceId, 'catalogue')))
  const dye = bathStage(bench, habit, {
    key: iron ? 'iron' : 'dye',
    title: iron ? 'Turn in the iron bath' : 'Dye',
    words: [order.before, LOWER_IN, order.after].filter(words => words !== '').join(' '),
    bathKey: 'dye',
  })
  return [dye, ...standStage(bench, habit)]
}

/** Left in the bath overnight when the dye asks for it, or when the fibre needs longer than the dye's own time. */
function standStage({ fibre, job }: Bench, habit: Habit): Stage[] {
  const synthetic = job.route === 'label' || job.route === 'powder'
  const rest = synthetic && fibre.dyeMinutes !== null ? fibre.dyeMinutes.value - (habit.minutes ?? 0) : 0
  if (rest <= 0 && !habit.standsOvernight) return []
  const atLeastMinutes = rest > 0 ? rest : OVERNIGHT.atLeast
  const minutes = Math.max(OVERNIGHT.minutes, atLeastMinutes)
  return [
    stage({
      key: 'stand',
      title: 'Leave it in the bath overnight',
      words:
        'Burner off, lid on, everything under. The usual half hour to an hour is not enough for bark and other resisting fibre.',
      place: 'pot',
      minutes,
      atLeastMinutes,
      atMostMinutes: Math.max(OVERNIGHT.atMost, minutes),
      handsMinutes: HANDS.stand,
      mayStandOvernight: true,
      bathKey: 'dye',
    }),
  ]
}

function rinseStage({ job }: Bench, lines: RecipeLine[]): Stage {
  const stains = job.purposes.includes('class use') ? ' What still runs stains the hands of the class.' : ''
  const bleeds = job.purposes.includes('wet use')
    ? ' What still runs bleeds into the pattern when the basket gets wet.'
    : ''
  const iron = lines.some(line => line.role === 'iron')
    ? ' Go on a little longer: iron and acid left in go on eating the fibre.'
    : ''
  return stage({
    key: 'rinse',
    title: 'Rinse until the water runs clear',
    words: `Rinse again and again in fresh water, until it runs clear or next to it.${stains}${bleeds}${iron}`,
    place: 'rinse',
    hands: true,
    handsMinutes: HANDS.rinse,
  })
}

function dryStage({ fibre }: Bench): Stage {
  const minutes = fibre.dryingHours === null ? null : fibre.dryingHours.value * 60
  return stage({
    key: 'dry',
    title: "Dry in the bundle's shape",
    words:
      'Hang it in the shape that it is to have, in moving air and shade. It goes stiff, and is soaked again before use. Tie up from the thick end. If a tie has gone missing, the fine end of the strip itself can serve as one.',
    place: 'drying line',
    minutes,
    handsMinutes: HANDS.dry,
    mayStandOvernight: true,
  })
}

function bathStage({ fibre }: Bench, habit: Habit, given: Pick<Stage, 'key' | 'title' | 'words' | 'bathKey'>): Stage {
  const { minutes, standsOvernight } = habit
  const hottest = valueOrNull(fibre.hottestC)
  const temperatureC =
    habit.temperatureC === null || hottest === null ? habit.temperatureC : Math.min(habit.temperatureC, hottest)
  const heat = temperatureC === null ? ` Temperature ${NOT_KNOWN}.` : ''
  const time = minutes === null ? ` Time ${NOT_KNOWN}.` : ''
  return stage({
    ...given,
    words: `${given.words}${heat}${time}`,
    place: 'pot',
    minutes,
    atLeastMinutes: minutes,
    temperatureC,
    handsMinutes: HANDS.bath,
    mayStandOvernight: standsOvernight,
  })
}
