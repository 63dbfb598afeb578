/** Why a step is not earlier, as the dyer reads it. */
import { expect, test } from 'vitest'
import { minuteAt } from '../../src/domain/plan-input.js'
import { type Reason, type ReasonWords, sayReason } from '../../src/domain/plan-reason.js'

const noon = minuteAt('2026-03-02T12:00Z')
const tomorrow = minuteAt('2026-03-03T09:30Z')
const words: ReasonWords = {
  loadName: id => `Load ${id}`,
  potName: id => `Pot ${id}`,
  stepTitle: (n, loadId) => (loadId === undefined ? `step ${n}` : `step ${n} of ${loadId}`),
  timeZone: 'Europe/London',
  today: '2026-03-02',
}
const taken = (more: Partial<Extract<Reason, { kind: 'taken' }>>): Reason => ({
  kind: 'taken',
  place: 'pot',
  potId: '2',
  loadIds: ['7'],
  untilMin: noon,
  ...more,
})

test.each<[Reason, string]>([
  [{ kind: 'begun' }, 'It has begun.'],
  [{ kind: 'now' }, 'It can begin at once.'],
  [{ kind: 'release', fromMin: noon }, 'It is not there before today 12:00.'],
  [{ kind: 'previous', stepN: 2, untilMin: noon }, '“step 2” takes until today 12:00.'],
  [
    { kind: 'hours', fromMin: tomorrow, heat: false, needMinutes: 0, beforeMinutes: 0, after: null },
    'Nobody is there for it before tomorrow 09:30.',
  ],
  [
    { kind: 'hours', fromMin: tomorrow, heat: false, needMinutes: 0, beforeMinutes: 0, after: taken({ loadIds: [] }) },
    'Pot 2 is out of use until today 12:00. Then nobody is there for it before tomorrow 09:30.',
  ],
  [
    {
      kind: 'hours',
      fromMin: tomorrow,
      heat: true,
      needMinutes: 90,
      beforeMinutes: 0,
      after: { kind: 'previous', stepN: 2, untilMin: noon },
    },
    '“step 2” takes until today 12:00. Somebody must be there while it is hot for 1 h 30 min: not before tomorrow 09:30.',
  ],
  [
    { kind: 'hours', fromMin: tomorrow, heat: false, needMinutes: 75, beforeMinutes: 15, after: null },
    'Nobody is there for it for 1 h 15 min before tomorrow 09:30, and 15 min of work go before it.',
  ],
  [
    { kind: 'hours', fromMin: tomorrow, heat: true, needMinutes: 90, beforeMinutes: 0, after: null },
    'Somebody must be there while it is hot for 1 h 30 min: not before tomorrow 09:30.',
  ],
  [
    { kind: 'hands', loadId: '7', stepN: 3, untilMin: noon },
    'The hands are at Load 7, “step 3 of 7”, until today 12:00.',
  ],
  [taken({}), 'Pot 2 is taken by Load 7 until today 12:00.'],
  [taken({ loadIds: ['7', '8'], untilMin: tomorrow }), 'Pot 2 is taken by Load 7 and Load 8 until tomorrow 09:30.'],
  [taken({ loadIds: [] }), 'Pot 2 is out of use until today 12:00.'],
  [taken({ potId: null }), 'The pot is taken by Load 7 until today 12:00.'],
  [taken({ potId: null, loadIds: [] }), 'The pot is out of use until today 12:00.'],
  [taken({ place: 'sink', potId: null }), 'The sink is taken by Load 7 until today 12:00.'],
  [taken({ place: 'soak tub', potId: null }), 'The soak tub is taken by Load 7 until today 12:00.'],
  [
    taken({ place: 'drying line', potId: null, loadIds: ['7', '9'] }),
    'The drying line has no room for it until Load 7 and Load 9 is taken down, today 12:00.',
  ],
  [
    { kind: 'scour', potId: '2', loadId: '7', fromMin: noon },
    'Pot 2 must be scoured after Load 7, which is darker: until today 12:00.',
  ],
  [
    { kind: 'limit', nextStepN: 4, atMostMinutes: 60, because: { kind: 'begun' } },
    'Earlier it would stand too long before “step 4” can begin. It has begun.',
  ],
  [
    { kind: 'limit', nextStepN: null, atMostMinutes: 60, because: taken({}) },
    'Earlier it would stand too long before it can be taken away. Pot 2 is taken by Load 7 until today 12:00.',
  ],
  [
    { kind: 'no sooner', nextStepN: 2, because: { kind: 'room' } },
    'Earlier it would only stand until “step 2” can begin. Earlier, another load would be late or a day too full.',
  ],
  [
    { kind: 'wish', words: 'not while we are away', untilMin: tomorrow },
    "The client's wish: not while we are away (until tomorrow 09:30).",
  ],
  [{ kind: 'pin', startMin: tomorrow, againstWish: false }, 'You have pinned it to tomorrow 09:30.'],
  [
    { kind: 'pin', startMin: tomorrow, againstWish: true },
    'You have pinned it to tomorrow 09:30, as the client agreed against a wish of theirs.',
  ],
  [{ kind: 'room' }, 'Earlier, another load would be late or a day too full.'],
])('%j', (reason, said) => expect(sayReason(reason, words)).toBe(said))
