/** Walks a running site as a stranger to its code would: follows every link, and finds every form. */
import type { FastifyInstance } from 'fastify'
import { parse } from 'node-html-parser'

export type FoundForm = { page: string; action: string; fields: { name: string; value: string; kind: string }[] }
export type FoundPage = { url: string; status: number; type: string; body: string }

/** /lots/12/recipe and /lots/13/recipe are one kind of page; of each kind only so many are opened. */
export const kindOf = (url: string): string =>
  url
    .replace(/\?.*/, '?')
    .replace(/\/catalogue\/(?!new)[\w-]+/, '/catalogue/ENTRY')
    .replace(/\/photographs\/[0-9a-f]{64}\.jpg/, '/photographs/HASH.jpg')
    .replace(/\d+/g, 'N')

export async function crawl(
  app: FastifyInstance,
  cookie: string,
  perKind: number,
): Promise<{ pages: FoundPage[]; forms: FoundForm[] }> {
  const seen = new Map<string, number>()
  const queued = new Set(['/'])
  const queue = ['/']
  const pages: FoundPage[] = []
  const forms = new Map<string, FoundForm>()
  for (let url = queue.shift(); url !== undefined; url = queue.shift()) {
    const answer = await app.inject({ url, headers: { cookie, accept: 'text/html' } })
    pages.push({ url, status: answer.statusCode, type: String(answer.headers['content-type']), body: answer.body })
    if (!String(answer.headers['content-type']).startsWith('text/html')) continue
    const root = parse(answer.body)
    for (const link of root.querySelectorAll('a[href], link[href], script[src]')) {
      const next =
        (link.getAttribute('href') ?? link.getAttribute('src') ?? '').replaceAll('&amp;', '&').split('#')[0] ?? ''
      const kind = kindOf(next)
      if (!next.startsWith('/') || queued.has(next) || (seen.get(kind) ?? 0) >= perKind) continue
      seen.set(kind, (seen.get(kind) ?? 0) + 1)
      queued.add(next)
      queue.push(next)
    }
    for (const form of root.querySelectorAll('form')) {
      if ((form.getAttribute('method') ?? 'get').toLowerCase() !== 'post') continue
      const action = (form.getAttribute('action') || url).replaceAll('&amp;', '&')
      const fields = form.querySelectorAll('input, select, textarea, button[name]').map(field => ({
        name: field.getAttribute('name') ?? '',
        value: field.getAttribute('value') ?? (field.tagName === 'TEXTAREA' ? field.text : ''),
        kind: field.tagName === 'INPUT' ? (field.getAttribute('type') ?? 'text') : field.tagName.toLowerCase(),
      }))
      const key = `${kindOf(action)} ${fields
        .filter(field => field.kind !== 'hidden')
        .map(field => kindOf(field.name))
        .join()}`
      if (!forms.has(key)) forms.set(key, { page: url, action, fields: fields.filter(field => field.name !== '') })
    }
  }
  return { pages, forms: [...forms.values()] }
}
