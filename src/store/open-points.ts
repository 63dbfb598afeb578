import type { OpenPoint } from '../domain/open-point.js'
import { arrivalPoints } from './arrival-points.js'
import { conditionPoints } from './condition-checks.js'
import { countPoints } from './count-questions.js'
import type { Db } from './db.js'
import { incidentPoints } from './incidents.js'
import { openPhotographs } from './photographs-wanted.js'
import { tagPoints } from './print-tags.js'
import { releaseOpenPoints } from './release.js'
import { wetClothPoints } from './wet-cloths.js'

/** What each part of the work has to say about one commission. */
const ASKED: readonly ((db: Db, commissionId: number) => Promise<OpenPoint[]>)[] = [
  arrivalPoints,
  conditionPoints,
  countPoints,
  incidentPoints,
  openPhotographs,
  releaseOpenPoints,
  tagPoints,
  wetClothPoints,
]

/** All that is not done yet about a commission's lots: what hinders a hand-back first. */
export async function openPoints(db: Db, commissionId: number): Promise<OpenPoint[]> {
  const points: OpenPoint[] = []
  for (const ask of ASKED) points.push(...(await ask(db, commissionId)))
  return points.sort((a, b) => Number(b.hinders) - Number(a.hinders))
}
