/** The form of a page as a browser would send it when nothing was touched. */
import { type HTMLElement, parse } from 'node-html-parser'

export function formOnPage(html: string): Record<string, string> {
  const form = parse(html).querySelector('form[method="post"]')
  const fields = form?.querySelectorAll('input, select, textarea').flatMap(sentBy) ?? []
  return Object.fromEntries(fields)
}

function sentBy(field: HTMLElement): [string, string][] {
  const name = field.getAttribute('name') ?? ''
  const kind = field.getAttribute('type') ?? 'text'
  if ((kind === 'radio' || kind === 'checkbox') && !field.hasAttribute('checked')) return []
  if (field.tagName === 'TEXTAREA') return [[name, unescaped(field.text.replace(/^\r?\n/, ''))]]
  if (field.tagName !== 'SELECT') return [[name, field.getAttribute('value') ?? '']]
  const choices = field.querySelectorAll('option')
  const chosen = choices.find(option => option.hasAttribute('selected')) ?? choices[0]
  return [[name, chosen?.getAttribute('value') ?? '']]
}

const unescaped = (text: string): string =>
  text
    .replace(/&#39;/g, "'")
    .replace(/&quot;/g, '"')
    .replace(/&lt;/g, '<')
    .replace(/&gt;/g, '>')
    .replace(/&amp;/g, '&')
