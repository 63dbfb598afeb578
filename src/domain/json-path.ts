/** Places inside plain JSON by dotted path: "vat.perGram.0.ratio". */

const isTree = (value: unknown): value is Record<string, unknown> => typeof value === 'object' && value !== null

/** What stands at the path; undefined where there is nothing. */
export function valueAt(json: unknown, path: string): unknown {
  return path.split('.').reduce<unknown>((node, key) => (isTree(node) ? node[key] : undefined), json)
}

/** The same JSON with another value at the path; what was given stays as it is. */
export function withValue(json: unknown, path: string, value: unknown): unknown {
  const [key = '', ...rest] = path.split('.')
  const inside = (node: unknown): unknown => (rest.length === 0 ? value : withValue(node, rest.join('.'), value))
  if (Array.isArray(json)) return json.map((one: unknown, n) => (String(n) === key ? inside(one) : one))
  const node = isTree(json) ? json : {}
  return { ...node, [key]: inside(node[key]) }
}
