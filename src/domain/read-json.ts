/**
 * Readers for unknown JSON, strict: a missing, strange or mistyped field is refused by its dotted path, in words.
 * They give typed values without a cast, so what was read is what its type says.
 */
import { Refusal } from './refusal.js'

export type Fields = Record<string, unknown>
/** `path` is where the value stands: "dyes.0.share", or '' for the whole. */
export type Reader<T> = (value: unknown, path: string) => T

export const isFields = (value: unknown): value is Fields =>
  typeof value === 'object' && value !== null && !Array.isArray(value)

/** A set of named fields, none of which is a stranger; `whole` names it in a sentence where there is no path. */
export function fieldsOf(value: unknown, path: string, known: readonly string[], whole = 'This'): Fields {
  const name = path === '' ? whole : `"${path}"`
  if (!isFields(value)) throw refusal(path, `${name} must be a set of named fields: ${known.join(', ')}.`)
  const stranger = Object.keys(value).find(key => !known.includes(key))
  if (stranger === undefined) return value
  const place = at(path, stranger)
  throw refusal(place, `There is no field "${place}" here. Known are: ${known.join(', ')}.`)
}

export function needed<T>(fields: Fields, key: string, path: string, reader: Reader<T>): T {
  const place = at(path, key)
  if (fields[key] === undefined) throw refusal(place, `"${place}" is missing: give it a value.`)
  return reader(fields[key], place)
}

export function optional<T>(fields: Fields, key: string, path: string, reader: Reader<T>, otherwise: T): T {
  return fields[key] === undefined ? otherwise : reader(fields[key], at(path, key))
}

export function words(value: unknown, path: string): string {
  if (typeof value !== 'string' || value.trim() === '') throw refusal(path, `"${path}" must be words in quotes.`)
  return value
}

export function number(value: unknown, path: string): number {
  if (typeof value !== 'number' || !Number.isFinite(value))
    throw refusal(path, `"${path}" must be a number, without a unit.`)
  return value
}

export function yesOrNo(value: unknown, path: string): boolean {
  if (typeof value !== 'boolean') throw refusal(path, `"${path}" must be true or false.`)
  return value
}

export function oneOf<T extends string>(choices: readonly T[]): Reader<T> {
  return (value, path) => {
    const found = choices.find(choice => choice === value)
    if (found === undefined) throw refusal(path, `"${path}" must be one of: ${choices.join(', ')}.`)
    return found
  }
}

export function listOf<T>(reader: Reader<T>): Reader<T[]> {
  return (value, path) => {
    if (!Array.isArray(value)) throw refusal(path, `"${path}" must be a list in square brackets.`)
    return value.map((one, place) => reader(one, at(path, String(place))))
  }
}

export function orNull<T>(reader: Reader<T>): Reader<T | null> {
  return (value, path) => (value === null ? null : reader(value, path))
}

const at = (path: string, key: string): string => (path === '' ? key : `${path}.${key}`)

const refusal = (path: string, sentence: string): Refusal => new Refusal('wrong', sentence, path)
