/** Plays a history against a workshop, press by press, and holds its records against the paper and the rules. */
import type { Database } from 'better-sqlite3'
import { expect } from 'vitest'
import type { Action, Answer, Press } from './actions.js'
import type { Intent, Move } from './intents.js'
import { brokenRules, isWhole } from './invariants.js'
import { blank, type Paper } from './paper.js'
import { differences, type Records, recordsOf, rewritten } from './records.js'
import { pressesOf, resolve } from './resolve.js'
import { after, toldByPaper, toldByRecords } from './rules.js'

/**
 * A workshop that takes presses: the store's functions, or the site. `pass` lets a minute go by; `open` opens the page of a
 * press, so that those of two at once show the same.
 */
export type Shed = {
  raw: Database
  open?: (press: Press) => Promise<void>
  press: (press: Press) => Promise<Answer>
  pass: () => void
}

/** How often each thing was tried, and how it ended: a run in which nothing is ever done proves nothing. */
export class Tally {
  private readonly ended = new Map<string, number>()

  count({ does }: Action, { done }: Answer): void {
    const key = `${does}: ${done ? 'done' : 'refused'}`
    this.ended.set(key, this.of(key) + 1)
  }

  of(key: string): number {
    return this.ended.get(key) ?? 0
  }

  toString(): string {
    return [...this.ended].map(([key, count]) => `${key} ${count}`).join(', ')
  }
}

export async function play(shed: Shed, moves: readonly Move[], tally: Tally): Promise<void> {
  const history = new History(shed, tally)
  for (const move of moves) await history.make(move)
  expect(isWhole(shed.raw)).toBe(true)
}

/** Where a line of history says who it was. */
const WHO = 2

class History {
  private paper: Paper = blank()
  private records: Records
  private serial = 0
  private readonly done: { press: Press; leadsTo: string }[] = []
  private readonly shed: Shed
  private readonly tally: Tally

  constructor(shed: Shed, tally: Tally) {
    this.shed = shed
    this.tally = tally
    this.records = recordsOf(shed.raw)
  }

  async make(move: Move): Promise<void> {
    if (move.is === 'press') await this.pressOn(move.intent)
    else if (move.is === 'two at once') await this.together([this.pressOf(move.intent), this.pressOf(move.other, 1)])
    else if (move.is === 'a double press') await this.doublePress(this.pressOf(move.intent))
    else await this.again(move.at, move.is === 'an old form with other words')
  }

  /** Going on may be pressed several times, each time from a fresh page, until it is refused. */
  private async pressOn(intent: Intent): Promise<void> {
    for (let left = pressesOf(intent), isOn = true; left > 0 && isOn; left -= 1)
      isOn = await this.together([this.pressOf(intent)])
  }

  private pressOf(intent: Intent, who: 0 | 1 = 0): Press {
    this.serial += 1
    const action = resolve(this.paper, intent, this.serial)
    return { action, key: `form-${String(this.serial).padStart(16, '0')}`, who }
  }

  /** Presses that are on their way at once are as good as one after the other, in one of the orders. */
  private async together(presses: Press[]): Promise<boolean> {
    const answers = await this.send(presses)
    for (const [at, press] of presses.entries()) this.note(press, answers[at])
    this.settleOn(presses, answers)
    return answers.every(({ done }) => done)
  }

  private async doublePress(press: Press): Promise<void> {
    const [one, other] = await this.send([press, press])
    expect(other, `twice: ${JSON.stringify(press)}`).toEqual(one)
    this.note(press, one)
    this.settleOn([press], one ? [one] : [])
  }

  /** A form that was carried out, sent once more: the first answer again, and nothing is done. */
  private async again(at: number, otherWords: boolean): Promise<void> {
    const old = this.done[at % Math.max(1, this.done.length)]
    if (!old) return
    const before = this.records
    const [answer] = await this.send([{ ...old.press, otherWords }])
    expect(answer, `again: ${JSON.stringify(old.press)}`).toEqual(
      otherWords ? { done: false } : { done: true, leadsTo: old.leadsTo },
    )
    expect(differences(before, this.records)).toEqual([])
  }

  private async send(presses: Press[]): Promise<Answer[]> {
    this.shed.pass()
    const before = this.records
    for (const press of presses) await this.shed.open?.(press)
    const answers = await Promise.all(presses.map(press => this.shed.press(press)))
    this.records = recordsOf(this.shed.raw)
    this.checkRecords(before, presses, answers)
    return answers
  }

  /** What holds whatever was pressed and however it ended. */
  private checkRecords(before: Records, presses: Press[], answers: Answer[]): void {
    const what = JSON.stringify(presses)
    expect(brokenRules(this.shed.raw), what).toEqual([])
    expect(rewritten(before, this.records), what).toEqual([])
    const changed = differences(before, this.records)
    if (answers.every(({ done }) => !done)) expect(changed, `refused: ${what}`).toEqual([])
    const told = (this.records.get('history') ?? []).slice((before.get('history') ?? []).length)
    if (changed.length > 0) expect(told.length, `not told: ${what}`).toBeGreaterThan(0)
    const tellers = told.map(line => Number(JSON.parse(line)[WHO]) - 1)
    for (const teller of tellers)
      expect(
        presses.map(({ who }) => who),
        what,
      ).toContain(teller)
  }

  private note(press: Press, answer: Answer | undefined): void {
    if (!answer) return
    this.tally.count(press.action, answer)
    if (answer.done) this.done.push({ press, leadsTo: answer.leadsTo })
  }

  private settleOn(presses: Press[], answers: Answer[]): void {
    const said = toldByRecords(this.shed.raw)
    const orders = [presses.map((press, at) => ({ press, answer: answers[at] }))]
    if (presses.length === 2) orders.push([...(orders[0] ?? [])].reverse())
    const ends = orders.map(order => {
      let paper: Paper = this.paper
      const allowed = order.map(({ press, answer }) => {
        const next = after(paper, press.action, this.shed.raw)
        paper = next ?? paper
        return `${press.action.does}: ${(next !== undefined) === answer?.done ? 'as on paper' : `${next ? '' : 'not '}allowed`}`
      })
      return { paper, told: { allowed, ...toldByPaper(paper) } }
    })
    const expected = { allowed: presses.map(({ action }) => `${action.does}: as on paper`), ...said }
    const right = ends.find(({ told }) => JSON.stringify(sorted(told)) === JSON.stringify(sorted(expected)))
    if (!right) expect(expected, JSON.stringify(presses)).toEqual(ends[0]?.told)
    this.paper = right?.paper ?? this.paper
  }
}

const sorted = <T extends { allowed: string[] }>(told: T): T => ({ ...told, allowed: [...told.allowed].sort() })
