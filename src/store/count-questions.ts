/** What a shelf count found missing or unexpected: open until somebody answers it. */
import { sql } from 'kysely'
import type { OpenPoint } from '../domain/open-point.js'
import { GONE_PLACES, isHere, type Place } from '../domain/place.js'
import { Refusal } from '../domain/refusal.js'
import { ANSWERS_TO, type Answer, needsWords, type Question } from '../domain/shelf-count.js'
import type { By, Db, Trx } from './db.js'
import { remember } from './history.js'
import { openIncident } from './incidents.js'
import { ready } from './ready.js'
import { findSpot, putAtSpot } from './spots.js'

export type CountQuestion = {
  findingId: number
  countId: number
  finding: Question
  countedPlace: Place
  countedSpotId: number | null
  countedSpotName: string | null
  endedAt: string
  bundleId: number
  n: number
  lotId: number
  commissionId: number
  clientName: string
  clientMark: string
  place: Place
  spotName: string | null
}

export type GivenAnswer = { answer: Answer; words: string; incidentId: number | null; at: string; who: string }

const questions = (db: Db) =>
  db
    .selectFrom('shelf_count_finding as f')
    .innerJoin('shelf_count as c', 'c.id', 'f.count_id')
    .innerJoin('bundle', 'bundle.id', 'f.bundle_id')
    .innerJoin('lot', 'lot.id', 'bundle.lot_id')
    .innerJoin('commission', 'commission.id', 'lot.commission_id')
    .innerJoin('client', 'client.id', 'commission.client_id')
    .leftJoin('spot', 'spot.id', 'bundle.spot_id')
    .leftJoin('spot as counted', 'counted.id', 'c.spot_id')
    .leftJoin('shelf_count_answer as a', 'a.finding_id', 'f.id')
    // Written out, so that the index of questions is used.
    .where(sql<boolean>`f.finding in ('missing', 'unexpected')`)
    .orderBy('f.id')
    .select(['f.id as findingId', 'f.count_id as countId', 'f.finding', 'c.place as countedPlace'])
    .select(['c.spot_id as countedSpotId', 'counted.name as countedSpotName', 'c.ended_at as endedAt'])
    .select(['f.bundle_id as bundleId', 'bundle.n', 'bundle.lot_id as lotId', 'lot.commission_id as commissionId'])
    .select(['client.name as clientName', 'client.mark as clientMark', 'bundle.place', 'spot.name as spotName'])

type Row = Awaited<ReturnType<ReturnType<typeof questions>['execute']>>[number]
const typed = ({ finding, endedAt, ...row }: Row): CountQuestion => ({
  ...row,
  finding: finding === 'missing' ? 'missing' : 'unexpected',
  endedAt: endedAt ?? '',
})

const unanswered = ready(db => questions(db).where('a.id', 'is', null))

/** What nobody has answered yet, the oldest first. */
export const openQuestions = async (db: Db): Promise<CountQuestion[]> => (await unanswered(db)).map(typed)

/** All questions of one count, with the answer to each that has one. */
export async function questionsOfCount(
  db: Db,
  countId: number,
): Promise<(CountQuestion & { given: GivenAnswer | null })[]> {
  const rows = await questions(db).where('f.count_id', '=', countId).execute()
  const given = await db
    .selectFrom('shelf_count_answer as a')
    .innerJoin('shelf_count_finding as f', 'f.id', 'a.finding_id')
    .innerJoin('worker', 'worker.id', 'a.worker_id')
    .where('f.count_id', '=', countId)
    .select(['a.finding_id as findingId', 'a.answer', 'a.words', 'a.incident_id as incidentId', 'a.at'])
    .select('worker.name as who')
    .execute()
  const byFinding = new Map(given.map(({ findingId, ...answer }) => [findingId, answer]))
  return rows.map(row => ({ ...typed(row), given: byFinding.get(row.findingId) ?? null }))
}

export type ToAnswer = { findingId: number; answer: Answer; words: string }

/** Answers one question, once. "lost" opens an incident; "put here" notes the counted spot; places change by steps only. */
export async function answerQuestion(
  trx: Trx,
  by: By,
  countId: number,
  { findingId, answer, words }: ToAnswer,
): Promise<CountQuestion> {
  const row = await questions(trx).where('f.id', '=', findingId).where('f.count_id', '=', countId).executeTakeFirst()
  if (!row) throw new Refusal('not-found', 'There is no such question.')
  const question = typed(row)
  const isAnswered = await trx
    .selectFrom('shelf_count_answer')
    .select('id')
    .where('finding_id', '=', findingId)
    .executeTakeFirst()
  if (isAnswered) throw new Refusal('conflict', 'This was answered already. What you typed has not been saved.')
  if (!ANSWERS_TO[question.finding].some(([offered]) => offered === answer))
    throw new Refusal('wrong', 'Choose one of the answers.', `answer.f${findingId}`)
  if (needsWords(answer) && words === '')
    throw new Refusal('wrong', 'Say in a few words where it is, or what happened.', `words.f${findingId}`)
  const incidentId = answer === 'lost' ? await loseBundle(trx, by, question, words) : null
  if (answer === 'put here') await putHere(trx, by, question)
  await trx
    .insertInto('shelf_count_answer')
    .values({
      ...{ finding_id: findingId, answer, words, incident_id: incidentId },
      ...{ at: by.at, worker_id: by.workerId },
    })
    .execute()
  await remember(trx, by, {
    ...{ lotId: question.lotId, commissionId: question.commissionId, words },
    what: `shelf count ${countId}: bundle ${question.n}, ${question.finding}: ${answer}`,
  })
  return question
}

async function loseBundle(trx: Trx, by: By, question: CountQuestion, words: string): Promise<number> {
  if (!isHere(question.place))
    throw new Refusal(
      'wrong',
      `It is on record as ${question.place} by now. Say so in words.`,
      `answer.f${question.findingId}`,
    )
  return openIncident(trx, by, {
    lotId: question.lotId,
    kind: 'bundle lost',
    bundleIds: [question.bundleId],
    whatHappened:
      words || `Missing at shelf count ${question.countId} (${question.countedSpotName ?? question.countedPlace}).`,
  })
}

async function putHere(trx: Trx, by: By, question: CountQuestion): Promise<void> {
  const field = `answer.f${question.findingId}`
  const spot = question.countedSpotId === null ? undefined : await findSpot(trx, question.countedSpotId)
  if (question.place !== question.countedPlace) {
    const next = (GONE_PLACES as readonly Place[]).includes(question.place)
      ? 'Look at its slip, and say in words what you find.'
      : 'Carry it on by its next step, or put it back.'
    throw new Refusal('wrong', `On record it is at: ${question.place}. ${next}`, field)
  }
  if (!spot) throw new Refusal('wrong', 'This count was of the whole place: it has no spot to note.', field)
  await putAtSpot(trx, by, spot, [question.bundleId], {
    why: `seen there at shelf count ${question.countId}`,
    field,
  })
}

/** A missing bundle does not go back before somebody says where it is; what is unexpected hinders nothing. */
export async function countPoints(db: Db, commissionId: number): Promise<OpenPoint[]> {
  const open = await questions(db).where('a.id', 'is', null).where('lot.commission_id', '=', commissionId).execute()
  return open.map(typed).map(({ lotId, n, bundleId, finding, countId, countedPlace, countedSpotName }) => ({
    lotId,
    bundleIds: [bundleId],
    sentence: `Bundle ${n} of lot ${lotId} was ${finding} when ${countedSpotName ?? countedPlace} was counted: say what you found.`,
    to: `/places/counts/${countId}`,
    hinders: finding === 'missing',
  }))
}
