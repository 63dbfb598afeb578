/** Zod fields whose messages are sentences for the person who typed. Each begins from text: a form has nothing else. */
import { z } from 'zod'
import type { Read } from '../../domain/refusal.js'

/** Text as it came, '' when it did not come; anything but text counts as not come. */
const typed = z.string().catch('')

/** A field read by a function of the ground floor. */
export const readBy = <T>(reader: (text: string) => Read<T>) =>
  typed.transform((text, context): T => {
    const answer = reader(text.trim())
    if (answer.ok) return answer.value
    context.issues.push({ code: 'custom', message: answer.sentence, input: text })
    return z.NEVER
  })

/** The same, where leaving the field empty is an answer. */
export const readIfTyped = <T>(reader: (text: string) => Read<T>) =>
  readBy<T | null>(text => (text === '' ? { ok: true, value: null } : reader(text)))

const tooLong = (label: string, most: number) =>
  `${label} can hold ${most} characters at most; shorten it, or put the rest in a note.`

export const text = (label: string, most = 200) =>
  readBy(value => {
    if (value === '') return { ok: false, sentence: `Fill in: ${label.toLowerCase()}.` }
    return value.length > most ? { ok: false, sentence: tooLong(label, most) } : { ok: true, value }
  })

export const optionalText = (label: string, most = 200) =>
  readBy(value => (value.length > most ? { ok: false, sentence: tooLong(label, most) } : { ok: true, value }))

export const choice = <const O extends string>(label: string, options: readonly O[]) =>
  readBy<O>(value => {
    const found = options.find(option => option === value)
    return found === undefined
      ? { ok: false, sentence: `Choose one: ${label.toLowerCase()}.` }
      : { ok: true, value: found }
  })

/** A tick box: ticked or not. */
export const tick = typed.transform(value => value !== '')

/** Fields whose names share their beginning ("ask.colour", "ask.swatch"), whichever of them came. */
export const group = <S extends z.ZodRawShape>(fields: S) =>
  z.preprocess(
    value => (typeof value === 'object' && value !== null && !Array.isArray(value) ? value : {}),
    z.object(fields),
  )

/** "hard water" as a field's name: "hardWater". */
export const tickName = (words: string): string => words.replace(/ (\w)/g, (_, letter: string) => letter.toUpperCase())

/** Several tick boxes under one name ("conditions.hardWater"): the words that are ticked. */
export const ticks = <W extends string>(words: readonly W[]) =>
  group(Object.fromEntries(words.map(word => [tickName(word), tick]))).transform(ticked =>
    words.filter(word => ticked[tickName(word)]),
  )

export const id = (label: string) =>
  readBy(value =>
    /^\d{1,15}$/.test(value)
      ? { ok: true, value: Number(value) }
      : { ok: false, sentence: `Choose one: ${label.toLowerCase()}.` },
  )

export const swatch = readBy<string | null>(value => {
  if (value === '') return { ok: true, value: null }
  return /^#[0-9a-f]{6}$/i.test(value)
    ? { ok: true, value: value.toLowerCase() }
    : { ok: false, sentence: 'The swatch must be a colour such as #a5482f, or left empty.' }
})

/** The one-time key and the version that a page put into its own form. */
export const key = readBy(value =>
  /^[\w-]{16,64}$/.test(value)
    ? { ok: true, value }
    : { ok: false, sentence: 'This form was not made by this page. Open the page again and send it from there.' },
)
export const version = readBy(value =>
  /^\d{1,9}$/.test(value)
    ? { ok: true, value: Number(value) }
    : { ok: false, sentence: 'This form is not whole. Open the page again and send it from there.' },
)
