// Whether what was refused is in the file after all.
import type { Finding, View } from '../lib/api'
import type { Refused } from './kept'

/** stands tells whether a file has what was refused. */
export function stands(r: Refused, file: View): boolean {
  if (r.text !== undefined) return r.text === file.text
  if (!r.changes?.length || file.fields.length === 0) return false
  return r.changes.every((c) => {
    const f = file.fields.find((k) => k.path === c.path)
    if (c.do === 'remove') return !f?.present
    return c.do === 'set' && f?.present === true && f.text === c.value
  })
}

/** alike tells whether two changes are of the same thing, so that the later replaces the earlier. */
export function alike(a: Refused, b: Refused): boolean {
  if (a.draft || b.draft) return a.draft === b.draft
  if (a.changes?.length && b.changes?.length) return a.changes.every((c) => b.changes?.some((k) => k.path === c.path))
  return a.label === b.label
}

/** fault is what makes two findings the same, wherever their line has moved to. */
export const fault = (f: Finding): string => f.where + f.text
