/**
 * The one error meant for people: a sentence that names what is wrong and what to do.
 * `code` decides the HTTP status; `field` is the form field it belongs to, when there is one.
 * Everything else that is thrown is a fault of the program.
 */
export type RefusalCode = 'wrong' | 'conflict' | 'not-found' | 'gone' | 'not-now' | 'not-allowed' | 'too-much'

export class Refusal extends Error {
  readonly code: RefusalCode
  readonly field: string | undefined

  constructor(code: RefusalCode, sentence: string, field?: string) {
    super(sentence)
    this.name = 'Refusal'
    this.code = code
    this.field = field
  }
}

/** What reading one typed value gives: the value, or a sentence for the person who typed it. */
export type Read<T> = { ok: true; value: T } | { ok: false; sentence: string }

export const read = <T>(value: T): Read<T> => ({ ok: true, value })
export const unread = <T>(sentence: string): Read<T> => ({ ok: false, sentence })
