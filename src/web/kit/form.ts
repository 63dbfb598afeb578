import type { z } from 'zod'
import { Refusal } from '../../domain/refusal.js'

export type FieldError = { field: string; sentence: string }

/** Dotted names with row numbers: "lots.0.bundles.2.ties". Nothing else becomes part of a form. */
const NAME = /^[a-z][A-Za-z0-9]*(\.(\d{1,3}|[a-z][A-Za-z0-9]*))*$/
const MOST_ROWS = 300

/** What was typed, by field name, and what is wrong with it: a page can always show it again. */
export class Form {
  readonly typed: ReadonlyMap<string, string>
  readonly errors: readonly FieldError[]
  /** Where the first sending of this form led, when it had already been carried out. */
  readonly doneAt: string | undefined

  constructor(typed: ReadonlyMap<string, string> = new Map(), errors: readonly FieldError[] = [], doneAt?: string) {
    this.typed = typed
    this.errors = errors
    this.doneAt = doneAt
  }

  static of(values: Record<string, string>): Form {
    return new Form(new Map(Object.entries(values)))
  }

  /** From a request's body or query; of a name that comes twice the last counts, and strange names are left out. */
  static read(body: unknown): Form {
    const typed = new Map<string, string>()
    for (const [name, value] of Object.entries(body ?? {})) {
      const last = Array.isArray(value) ? value.at(-1) : value
      if (NAME.test(name) && typeof last === 'string') typed.set(name, last.replace(/\r\n?/g, '\n'))
    }
    return new Form(typed)
  }

  value(name: string, otherwise = ''): string {
    return this.typed.get(name) ?? otherwise
  }

  has(name: string): boolean {
    return this.typed.has(name)
  }

  error(name: string): string {
    return this.errors.find(({ field }) => field === name)?.sentence ?? ''
  }

  with(errors: readonly FieldError[], doneAt?: string): Form {
    return new Form(this.typed, errors, doneAt)
  }

  /** The typed values as nested records and lists, for a schema to check. */
  nested(): unknown {
    const root: Branch = new Map()
    for (const [name, value] of this.typed) plant(root, name.split('.'), value)
    return plain(root)
  }
}

type Branch = Map<string, Branch | string>

function plant(branch: Branch, [head = '', ...rest]: string[], value: string): void {
  if (rest.length === 0) {
    branch.set(head, value)
    return
  }
  const below = branch.get(head)
  const next: Branch = below instanceof Map ? below : new Map()
  branch.set(head, next)
  plant(next, rest, value)
}

/** A branch whose keys are all row numbers is a list; a missing row is an empty one. */
function plain(branch: Branch | string): unknown {
  if (typeof branch === 'string') return branch
  const keys = [...branch.keys()]
  if (keys.length > 0 && keys.every(key => /^\d+$/.test(key))) {
    const length = Math.min(Math.max(...keys.map(Number)) + 1, MOST_ROWS)
    return Array.from({ length }, (_, n) => plain(branch.get(String(n)) ?? new Map()))
  }
  return Object.fromEntries(keys.map(key => [key, plain(branch.get(key) ?? '')]))
}

/** The form does not pass: it is shown again with what was typed and these sentences. */
export class Unfit extends Refusal {
  readonly errors: readonly FieldError[]
  constructor(errors: readonly FieldError[]) {
    super('wrong', errors.map(({ sentence }) => sentence).join(' '))
    this.errors = errors
  }
}

/** What was typed wrong, as a form lists it; a fault of any other kind is thrown on. */
export function errorsIn(fault: unknown): FieldError[] {
  if (fault instanceof Unfit) return [...fault.errors]
  if (fault instanceof Refusal && fault.code === 'wrong') return [{ field: fault.field ?? '', sentence: fault.message }]
  throw fault
}

/** Does some work; what it refuses is said at this field, unless the refusal names one itself. */
export function atField<T>(field: string, work: () => T): T {
  try {
    return work()
  } catch (fault) {
    if (fault instanceof Refusal && !(fault instanceof Unfit) && fault.field === undefined)
      throw new Refusal(fault.code, fault.message, field)
    throw fault
  }
}

/** Checks a form against its schema: the checked values, or `Unfit` with a sentence for each field. */
export function check<S extends z.ZodType>(schema: S, form: Form): z.output<S> {
  const result = schema.safeParse(form.nested())
  if (result.success) return result.data
  throw new Unfit(result.error.issues.map(issue => ({ field: issue.path.join('.'), sentence: issue.message })))
}
