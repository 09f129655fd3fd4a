// What of the candidates can be changed but has no row of its own among the figures.
import type { Field, Row } from '../lib/api'

export interface Input {
  rest: string // path below the candidate: enclosure.port.diameter
  name: string
  unit: string
  group: 'Group' | 'Box'
}

const words: Record<string, string> = { enclosure: '', group: '', rear: 'rear', front: 'front', port: 'port', losses: 'losses,', coupling: 'coupling', radiator: 'radiator', alignment: 'alignment' }

/** nameOf says what a path is in words: "port, diameter". */
export function nameOf(rest: string): string {
  const parts = rest.split('.').slice(1)
  const key = (parts.pop() ?? '').replaceAll('_', ' ')
  const place = parts.map((p) => (words[p] ?? p).replaceAll('_', ' ').replace(/,$/, '')).filter(Boolean)
  return [...place, key.replace(/\[(\d+)\]/, (_, n: string) => ` ${Number(n) + 1}`).replace(/\[(\d+)\]/, (_, n: string) => `.${Number(n) + 1}`)].join(', ').replace(/^, /, '')
}

/** within says whether a path or one that it lies below is among those taken. */
function within(taken: ReadonlySet<string>, path: string): boolean {
  for (let at = path; at !== ''; at = at.slice(0, Math.max(0, at.lastIndexOf('.')))) if (taken.has(at)) return true
  return false
}

/** inputs are the fields of any candidate that no row sets, in the order of the
 * file. What a row sets for one candidate has that row: a second one of the same
 * name would only come and go with the first. */
export function inputs(fields: readonly Field[], rows: readonly Row[], names: readonly string[]): Input[] {
  const taken = new Set(rows.flatMap((r) => r.cells.map((c) => c.path)).filter(Boolean))
  const out = new Map<string, Input>()
  for (const f of fields) {
    const [top, name, ...more] = f.path.split('.')
    if (top !== 'candidates' || name === undefined || !names.includes(name)) continue
    const rest = more.join('.')
    const group = more[0] === 'group' ? 'Group' : more[0] === 'enclosure' ? 'Box' : undefined
    if (rest.startsWith('enclosure.duct.profile[')) continue // on the section: Profile.svelte
    if (!group || within(taken, f.path) || out.has(rest)) continue
    if (!f.present || (f.sort !== 'quantity' && f.sort !== 'count' && f.sort !== 'choice' && f.sort !== 'driver')) continue
    out.set(rest, { rest, name: nameOf(rest), unit: f.sort === 'quantity' ? f.unit : '', group })
  }
  return [...out.values()].filter((i) => !names.some((n) => taken.has(`candidates.${n}.${i.rest}`)))
}
