import { Refusal } from '../domain/refusal.js'
import { nextTagCode, sayTagCode } from '../domain/tag-code.js'
import type { By, Trx } from './db.js'
import { remember } from './history.js'
import { lastTagNumber } from './tags.js'

/** The code that stood on the page when it was pressed, so that two hands do not replace one after the other. */
export type LostTag = { bundleId: number; code: string; why: string }

/** Gives a bundle another tag in the stead of the one it has, which is void from now on. Answers the new code. */
export async function replaceTag(trx: Trx, by: By, { bundleId, code, why }: LostTag): Promise<string> {
  const bundle = await trx
    .selectFrom('bundle')
    .innerJoin('lot', 'lot.id', 'bundle.lot_id')
    .innerJoin('tag', 'tag.bundle_id', 'bundle.id')
    .select(['bundle.n', 'bundle.place', 'lot.id as lotId', 'lot.commission_id as commissionId'])
    .select(['tag.id as tagId', 'tag.code'])
    .where('bundle.id', '=', bundleId)
    .where('tag.void_at', 'is', null)
    .executeTakeFirst()
  if (!bundle) throw new Refusal('not-found', 'There is no such bundle.')
  if (bundle.code !== code)
    throw new Refusal(
      'conflict',
      `This bundle has another tag by now: ${sayTagCode(bundle.code)}. Look whether it still has to be replaced.`,
    )
  if (bundle.place === 'handed back')
    throw new Refusal('conflict', 'This bundle was handed back, so it needs no further tag.')
  await trx.updateTable('tag').set({ void_at: by.at, void_why: why }).where('id', '=', bundle.tagId).execute()
  const next = nextTagCode(await lastTagNumber(trx))
  await trx
    .insertInto('tag')
    .values({ id: next.number, code: next.code, bundle_id: bundleId, made_at: by.at, replaces: bundle.tagId })
    .execute()
  await remember(trx, by, {
    commissionId: bundle.commissionId,
    lotId: bundle.lotId,
    what: `bundle ${bundle.n} got another tag`,
    was: { tag: sayTagCode(code) },
    became: { tag: sayTagCode(next.code) },
    words: why,
  })
  return next.code
}
