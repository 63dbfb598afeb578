import type { Working } from '../../src/domain/working.js'

/** Works the printed numbers out again, without their units: what a line shows must be what was reckoned. */
export const workedAgain = ({ numbers }: Working): { left: number; right: number } => {
  const sides = numbers.split(' = ').map(side => sum(tokensOf(side)))
  return { left: sides[0] ?? Number.NaN, right: sides[1] ?? Number.NaN }
}

const tokensOf = (text: string): string[] => text.match(/\d+(?:\.\d+)?|[()+−×÷]/g) ?? []

const sum = (tokens: string[]): number => {
  let total = productOf(tokens)
  while (tokens[0] === '+' || tokens[0] === '−') total += (tokens.shift() === '+' ? 1 : -1) * productOf(tokens)
  return total
}

const productOf = (tokens: string[]): number => {
  let total = factor(tokens)
  while (tokens[0] === '×' || tokens[0] === '÷') {
    const by = tokens.shift()
    const next = factor(tokens)
    total = by === '×' ? total * next : total / next
  }
  return total
}

const factor = (tokens: string[]): number => {
  const token = tokens.shift()
  if (token === '−') return -factor(tokens)
  if (token !== '(') return Number(token)
  const inside = sum(tokens)
  tokens.shift()
  return inside
}
