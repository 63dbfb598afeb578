/** Whatever happens to tags, in any order: each bundle has one that counts, and no code ever leads to another bundle. */
import fc from 'fast-check'
import { expect, test } from 'vitest'
import { inOneStep } from '../../src/store/db.js'
import { printTags } from '../../src/store/print-tags.js'
import { replaceTag } from '../../src/store/replace-tag.js'
import { bundleByTag, findTag, tagUntagged } from '../../src/store/tags.js'
import { anotherShed, minutesLater } from '../custody/shed.js'
import { aLot, alike, bring } from '../hand-back-helper.js'
import { START } from '../helper.js'

const step = fc.oneof(
  fc.record({ does: fc.constant('bring' as const), bundles: fc.integer({ min: 1, max: 3 }) }),
  fc.record({ does: fc.constant('replace' as const), bundle: fc.nat(20), isBehind: fc.boolean() }),
  fc.record({ does: fc.constant('print' as const), commission: fc.nat(6), bundle: fc.nat(20) }),
  fc.record({ does: fc.constant('start' as const) }),
)

test('in any order of bringing, printing and losing', async () => {
  await fc.assert(
    fc.asyncProperty(fc.array(step, { maxLength: 12 }), async steps => {
      const { db, raw } = await anotherShed()
      const ledTo = new Map<string, number>()
      for (const [at, one] of steps.entries()) {
        const by = { workerId: 1, at: minutesLater(at) }
        const before = new Map(ledTo)
        const doing = {
          bring: () => one.does === 'bring' && bring(db, by, [aLot(alike(one.bundles))]),
          start: () => tagUntagged(db, START),
          print: () =>
            one.does === 'print' &&
            inOneStep(db, trx =>
              printTags(trx, by, { commissionId: one.commission, bundleIds: [one.bundle], how: 'printed' }),
            ),
          replace: () => {
            if (one.does !== 'replace') return false
            const codes = raw
              .prepare('select code from tag where bundle_id = ? order by id')
              .pluck()
              .all(one.bundle)
              .map(String)
            const code = (one.isBehind ? codes[0] : codes.at(-1)) ?? ''
            return inOneStep(db, trx => replaceTag(trx, by, { bundleId: one.bundle, code, why: 'lost' }))
          },
        }
        await Promise.resolve(doing[one.does]()).catch((fault: Error) => expect(fault.name).toBe('Refusal'))

        const live = raw.prepare(
          'select bundle.id, (select count(*) from tag where bundle_id = bundle.id and void_at is null) from bundle',
        )
        for (const [, count] of live.raw().all() as number[][]) expect(count).toBe(1)
        for (const [code, bundle] of raw.prepare('select code, bundle_id from tag').raw().all() as [string, number][])
          ledTo.set(code, bundle)
        for (const [code, bundle] of before) expect(ledTo.get(code)).toBe(bundle)
      }
      for (const [code, bundle] of ledTo) {
        const tag = await findTag(db, code)
        expect(tag?.bundleId).toBe(bundle)
        const named = await bundleByTag(db, code).then(
          ({ bundleId }) => bundleId,
          () => null,
        )
        expect(named).toBe(tag?.voidAt === null ? bundle : null)
        expect(tag?.replacedBy !== null).toBe(tag?.voidAt !== null)
      }
    }),
    { numRuns: 60 },
  )
})
