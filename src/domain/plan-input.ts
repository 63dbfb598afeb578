/**
 * What a plan is made from: the workshop, and the loads that are still to be done. Times are whole minutes since
 * 1970-01-01T00:00Z (`…Min`), so that sums need no calendar; `minuteAt` and `instantAt` go between them and ISO 8601.
 */
import type { Day } from './calendar.js'
import type { StepPlace } from './recipe.js'

export type Minute = number

/** From `fromMin` up to, but without, `toMin`. */
export type Span = { fromMin: Minute; toMin: Minute }

export const minuteAt = (utcIso: string): Minute => Math.floor(Date.parse(utcIso) / 60_000)
export const instantAt = (minute: Minute): string => new Date(minute * 60_000).toISOString()

/** Hours on the workshop's wall, "09:00" to "17:30"; "24:00" is midnight at the end of the day. */
export type WorkHours = { from: string; to: string }

export type PlanPot = {
  id: string
  name: string
  usableMl: number
  metal: string
  /** Never iron in it. */
  noIron: boolean
  /** Kept for bright colours: nothing else goes into it. */
  onlyBrights: boolean
  /** Only for baths that are not heated. */
  noHeat: boolean
  /** From tap-cold to a simmer when it is full; null = nobody has said. The steps of a load have it in. */
  hotAfterMinutes: number | null
  outOfUse: Span[]
}

export type PlanWorkshop = {
  /** IANA name, e.g. "Europe/London". */
  timeZone: string
  /** By weekday, Sunday first; an empty list is a day off. */
  hours: WorkHours[][]
  /** Both days inclusive. */
  daysAway: { from: Day; to: Day }[]
  /** Pairs of hands. */
  hands: number
  pots: PlanPot[]
  /** 0: everything soaks in its own pot. */
  soakTubs: number
  sinks: number
  /** In the unit of `PlanLoad.lineNeed`: bundles or metres. */
  lineRoom: number
  /** Working time between a darker load and a paler one in the same pot, to scour it. */
  scourMinutes: number
}

/** A step of a load. It begins with a lift, so the dyer is there when it begins and when the last one ends. */
export type PlanStep = {
  /** From 1 without gaps. */
  n: number
  title: string
  /** On the shelf it takes nobody's room. */
  place: StepPlace | 'shelf'
  /** The least it takes. */
  minutes: number
  /** Of these, to get hot: about. */
  warmUpMinutes: number
  /** How much longer it may stand; null = as long as it likes. */
  standAtMostMinutes: number | null
  /** Hand work from its beginning on, and just before it is lifted out; together no longer than the step. */
  handsFirstMinutes: number
  handsLastMinutes: number
  /** The burner is on for `minutes`: the dyer is there all the while. */
  heat: boolean
}

/** A span in which the client wants nothing done to it: no lift, no hand work, no heat. What stands may go on standing. */
export type PlanWish = Span & { words: string }

/**
 * What the dyer has settled for one step: when it begins, in which pot, or both. `againstWish`: the client has agreed that
 * it begins then, though a wish of theirs is against it.
 */
export type PlanPin = { stepN: number; startMin: Minute | null; potId: string | null; againstWish: boolean }

export type PlanLoad = {
  id: string
  /** As the dyer calls it: "Load 12, walnut bark". */
  name: string
  /** The lot that it is a part of: as late as the last of its parts, and late once. null = by itself. */
  lot: string | null
  /** Not before this. */
  releaseMin: Minute
  /** It must be done by then; null = no day was asked for. */
  neededByMin: Minute | null
  steps: PlanStep[]
  /** Pots that the dyer allows; null = any that takes it. */
  potIds: string[] | null
  /** The whole bath with its fibre. */
  bathMl: number
  iron: boolean
  bright: boolean
  /** Something that is still to be done with it in a pot is heated. */
  heated: boolean
  neverInMetals: string[]
  /** Larger is darker: 0.25 is pale, 2 is deep. */
  depth: number
  lineNeed: number
  wishes: PlanWish[]
  /** When its first steps really began; the last of these is under way. */
  begunMin: Minute[]
  /** The pot that it is in or was laid for; null = not chosen yet. */
  potId: string | null
  pins: PlanPin[]
}
