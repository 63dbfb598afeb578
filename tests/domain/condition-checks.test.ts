import { expect, test } from 'vitest'
import { type ConditionCheck, missingChecks, sayNotSeenSince } from '../../src/domain/condition-checks.js'
import type { Place } from '../../src/domain/place.js'

const check = (on: ConditionCheck['on'], at: string, seen = 'as expected'): ConditionCheck => ({
  ...{ on, at, seen },
  ...{ who: 'Ada', words: '', id: on === 'incident' ? 7 : null },
})
const came = check('arrival', '2026-03-01')
const missing = (checks: ConditionCheck[], outOfBathAt: string | null = null, place: Place = 'ready shelf') =>
  missingChecks({ checks, outOfBathAt, place }).map(({ after }) => after)

test.each([
  ['nothing but that it came', [came], null, ['the work']],
  ['out of the bath, and nobody looked', [came], '2026-03-04', ['the bath', 'the work']],
  ['what came out was written down', [came, check('outcome', '2026-03-05')], '2026-03-04', ['the work']],
  ['described before the bath', [came, check('description', '2026-03-03')], '2026-03-04', ['the bath', 'the work']],
  ['ticked for the hand-back', [came, check('checklist', '2026-03-05')], '2026-03-04', []],
  ['ticked before its last bath', [came, check('checklist', '2026-03-03')], '2026-03-04', ['the bath', 'the work']],
  ['torn, and nobody looked', [came, check('incident', '2026-03-03', 'strip torn')], null, ['going wrong', 'the work']],
  [
    'torn twice, described after the first',
    [
      came,
      check('incident', '2026-03-02', 'strip torn'),
      check('description', '2026-03-03'),
      check('incident', '2026-03-04', 'damaged'),
    ],
    null,
    ['going wrong', 'the work'],
  ],
  [
    'torn, and described since',
    [came, check('incident', '2026-03-02', 'strip torn'), check('description', '2026-03-03')],
    null,
    ['the work'],
  ],
  ['lost: it cannot be looked at', [came, check('incident', '2026-03-03', 'bundle lost')], null, ['the work']],
] as const)('%s', (_what, checks, outOfBathAt, expected) => {
  expect(missing([...checks], outOfBathAt)).toEqual(expected)
})

test('a bundle that went back was looked at for all', () => {
  expect(missing([came], '2026-03-04', 'handed back')).toEqual([])
})

test('before the ready shelf, nobody looks for the hand-back', () => {
  expect(missing([came], null, 'arrivals shelf')).toEqual([])
})

test('what is missing names the incident', () => {
  const checks = [came, check('incident', '2026-03-03', 'damaged')]
  expect(missingChecks({ checks, outOfBathAt: null, place: 'pot' })[0]).toEqual({
    after: 'going wrong',
    incidentId: 7,
  })
})

test('is said of one bundle or of several', () => {
  expect(sayNotSeenSince(4, [2])).toMatch(/^Bundle 2 of lot 4 was not looked at/)
  expect(sayNotSeenSince(4, [1, 2, 3, 5])).toMatch(/^Bundles 1 to 3, 5 of lot 4 were not looked at/)
})
