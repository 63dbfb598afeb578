/** What an entry of the right shape may still not say: names of entries that are not there, and figures at odds. */
import type { Entry, Figure, Rule, Substance } from './catalogue.js'
import { Refusal } from './refusal.js'

/** The entries beside this one. `atHandIds`: the substances that can be chosen, since none of them is withdrawn. */
export type KnownIds = {
  fibreIds: ReadonlySet<string>
  substanceIds: ReadonlySet<string>
  atHandIds: ReadonlySet<string>
}

export function checkSense({ kind, entry }: Entry, known: KnownIds): void {
  if (kind === 'substance') checkSubstance(entry, known)
  if (kind === 'rule') checkRule(entry, known)
}

function checkSubstance(substance: Substance, { atHandIds }: KnownIds): void {
  const { id, kind, dyeClass, metal, metalFraction, owfPercent, vat } = substance
  checkGoesWith(id, substance.assistants, 'assistants', atHandIds)
  checkGoesWith(id, substance.mordantAssistants, 'mordantAssistants', atHandIds)
  checkGoesWith(id, vat?.perGram ?? [], 'vat.perGram', atHandIds)
  if (kind === 'dyestuff' && dyeClass === null) refuse('dyeClass', 'A dyestuff needs its class of dye: choose one.')
  if (metalFraction !== null && metal === null)
    refuse('metal', 'Choose the metal that is in it, or leave how much of it as not known.')
  inOrder(owfPercent.pale, owfPercent.medium, 'owfPercent.pale', 'A pale shade takes no more than a medium one')
  inOrder(owfPercent.medium, owfPercent.deep, 'owfPercent.deep', 'A deep shade takes no less than a medium one')
  inOrder(owfPercent.pale, owfPercent.deep, 'owfPercent.deep', 'A deep shade takes no less than a pale one')
  if (vat === null) return
  inOrder(vat.lowestPh, vat.highestPh, 'vat.highestPh', 'The highest pH is not below the lowest')
  inOrder(vat.lowestC, vat.highestC, 'vat.highestC', 'The highest temperature is not below the lowest')
}

function inOrder(low: Figure | null, high: Figure | null, field: string, words: string): void {
  if (low === null || high === null || low.value <= high.value) return
  refuse(field, `${words}: change both together.`)
}

function checkGoesWith(id: string, rows: { substanceId: string }[], list: string, atHand: ReadonlySet<string>): void {
  rows.forEach(({ substanceId }, n) => {
    const field = `${list}.${n}.substanceId`
    if (substanceId === id) refuse(field, 'It cannot go with itself: choose another substance.')
    if (!atHand.has(substanceId))
      refuse(field, `The catalogue has no "${substanceId}" that can be chosen: choose another substance.`)
    if (rows.findIndex(one => one.substanceId === substanceId) < n)
      refuse(field, `"${substanceId}" is there already: give it one row.`)
  })
}

function checkRule(rule: Rule, { fibreIds, substanceIds }: KnownIds): void {
  checkNamed(rule.fibreIds, 'fibreIds', fibreIds)
  checkNamed(rule.dyeIds, 'dyeIds', substanceIds)
  checkNamed(rule.mordantIds, 'mordantIds', substanceIds)
  const asks = [rule.fibreIds, rule.fibreParts, rule.dyeIds, rule.dyeClasses, rule.mordantIds, rule.conditions]
  if (asks.every(list => list.length === 0))
    refuse('fibreIds', 'Tick at least one thing that the rule speaks of: otherwise it would speak of every lot.')
}

function checkNamed(ids: string[], field: string, known: ReadonlySet<string>): void {
  const stranger = ids.find(id => !known.has(id))
  if (stranger !== undefined) refuse(field, `The catalogue has no "${stranger}": choose one of its entries.`)
}

function refuse(field: string, sentence: string): never {
  throw new Refusal('wrong', sentence, field)
}
