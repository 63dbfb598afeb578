/** The lines of a recipe in draft: which substance goes into which bath, and the factors of its amount. */
import type { Dose, Substance } from './catalogue.js'
import { findSubstance } from './catalogue-look-up.js'
import { product } from './how.js'
import type { DyeShare, HowInput, MordantUse } from './recipe.js'
import { type Bench, bathKeys, type Draft, mainBath, mordantBath, typedHere } from './recipe-bench.js'
import { doseInputs, dyeInputs, typedInputs } from './recipe-dose.js'
import { usedBeside, usedInputs } from './recipe-used.js'

/** An assistant that a dye, a mordant or the dyer asks for in one bath; `host` is what "per gram" refers to. */
type Asked = { bathKey: string; dose: Dose; host: HowInput[] | null }
type Part = { draft: Draft; asked: Asked[] }

/** All drafts, bath by bath, in the order in which they are weighed out. */
export function draftsOf(bench: Bench): Draft[] {
  const plain = draftsFor({ ...bench, job: { ...bench.job, usedRates: [] } }, [])
  if (bench.job.usedRates.length === 0) return plain
  const drafts = draftsFor(bench, plain)
  const all = [...drafts, ...usedBeside(bench, drafts)]
  return bathKeys(bench).flatMap(key => all.filter(draft => draft.bathKey === key))
}

function draftsFor(bench: Bench, plain: Draft[]): Draft[] {
  const mordants = bench.job.mordants.map((use, at) => mordantPart(bench, plain, use, at))
  const dyes = bench.job.dyes.map((dye, at) => dyePart(bench, plain, dye, at))
  const parts = [...mordants, ...dyes]
  const asked = [...parts.flatMap(part => part.asked), ...extraDoses(bench)]
  return bathKeys(bench).flatMap(key => {
    const here = parts.map(part => part.draft).filter(draft => draft.bathKey === key)
    const wanted = asked.filter(one => one.bathKey === key && !here.some(draft => draft.substance.id === idOf(one)))
    return [...here, ...assistantDrafts(bench, plain, key, wanted)]
  })
}

const idOf = (asked: Asked): string => asked.dose.substanceId

function mordantPart(bench: Bench, plain: Draft[], use: MordantUse, at: number): Part {
  const substance = findSubstance(bench.catalogue, use.substanceId, `mordants.${at}.substanceId`)
  const bathKey = mordantBath(bench, use)
  const inputs = usedInputs(bench, plain, substance, bathKey) ?? mordantInputs(bench, substance, use)
  const role = substance.metal === 'iron' ? 'iron' : 'mordant'
  const draft: Draft = { substance, role, bathKey, inputs, field: `mordants.${at}.owfPercent` }
  return { draft, asked: substance.mordantAssistants.map(dose => ({ bathKey, dose, host: inputs })) }
}

function mordantInputs(bench: Bench, substance: Substance, use: MordantUse): HowInput[] | null {
  if (use.owfPercent !== null) return typedInputs(bench, substance, use.owfPercent)
  return substance.mordantDose === null ? null : doseInputs(bench, substance, substance.mordantDose, null)
}

function dyePart(bench: Bench, plain: Draft[], dye: DyeShare, at: number): Part {
  const substance = findSubstance(bench.catalogue, dye.substanceId, `dyes.${at}.substanceId`)
  const bathKey = bench.job.route === 'indigo' ? 'stock' : mainBath(bench)
  const inputs = usedInputs(bench, plain, substance, bathKey) ?? dyeInputs(bench, substance, dye)
  const role = substance.dyeClass === 'iron' ? 'iron' : 'dye'
  const draft: Draft = { substance, role, bathKey, inputs, field: `dyes.${at}.owfPercent` }
  const inStock = stockDoses(bench, substance).map(dose => ({ bathKey, dose, host: inputs }))
  const inBath = substance.assistants.map(dose => ({ bathKey: mainBath(bench), dose, host: inputs }))
  return { draft, asked: [...inStock, ...inBath] }
}

function stockDoses(bench: Bench, { vat }: Substance): Dose[] {
  if (bench.job.route !== 'indigo' || vat === null) return []
  return vat.perGram.map(({ substanceId, ratio, words }) => ({ substanceId, basis: 'per gram', amount: ratio, words }))
}

function extraDoses(bench: Bench): Asked[] {
  return bench.job.extras.map(({ substanceId, basis, amount }) => {
    const dose: Dose = { substanceId, basis, amount: { value: amount, provenance: typedHere }, words: 'typed' }
    return { bathKey: mainBath(bench), dose, host: null }
  })
}

/** One draft for each assistant of a bath: what was really used, else what the dyer typed, else the largest dose. */
function assistantDrafts(bench: Bench, plain: Draft[], bathKey: string, wanted: Asked[]): Draft[] {
  const typed = bathKey === mainBath(bench) ? bench.job.extras.map(extra => extra.substanceId) : []
  return [...new Set(wanted.map(idOf))].map(id => {
    const substance = findSubstance(bench.catalogue, id, 'catalogue')
    const doses = wanted.filter(one => idOf(one) === id)
    const standing = typed.includes(id) ? doses.slice(-1) : doses
    const inputs = usedInputs(bench, plain, substance, bathKey) ?? largest(bench, substance, standing)
    return { substance, role: bathKey === 'stock' ? 'vat' : 'assistant', bathKey, inputs, field: null }
  })
}

function largest(bench: Bench, substance: Substance, doses: Asked[]): HowInput[] | null {
  const known = doses.map(one => doseInputs(bench, substance, one.dose, one.host)).filter(inputs => inputs !== null)
  const falling = known.sort((one, other) => product(other) - product(one))
  return falling[0] ?? null
}
