// What of the candidates can be changed but has no row of its own among the figures.
import type { Field, Row } from '../lib/api'

export interface Input {
  rest: string // path below the candidate: enclosure.port.diameter
  name: string
  unit: string
  group: 'Group' | 'Box'
}

const words: Record<string, string> = { enclosure: '', group: '', rear: 'rear', front: 'front', port: 'port', losses: 'losses,', coupling: 'coupling', radiator: 'radiator', alignment: 'alignment' }

// Keys that say too little where they stand alone.
const told: Record<string, string> = {
  'duct.tuning': 'duct, quarter wave', 'duct.start': 'duct, area at its start', 'duct.end': 'duct, area at its mouth', 'duct.aspect': 'duct, wider side over narrower', 'duct.t': 'duct, T of its flare',
  driver_at: 'cone, from the closed end', front_at: 'front of the cone, from the closed end', rear_at: 'rear of the cone, from the closed end',
}

/** nameOf says what a path is in words: "port, diameter". called are the names of items
 * of lists, by the path that leads to them. */
export function nameOf(rest: string, called?: ReadonlyMap<string, string>): string {
  const item = /^(enclosure\.parts\[(\d+)\])\.(.+)$/.exec(rest)
  if (item) return `${called?.get(item[1] ?? '') ?? `part ${Number(item[2]) + 1}`}, ${nameOf(`part.${item[3]}`)}`
  const whole = told[rest.slice(rest.indexOf('.') + 1)]
  if (whole) return whole
  const parts = rest.split('.').slice(1)
  const key = (parts.pop() ?? '').replaceAll('_', ' ')
  const place = parts.map((p) => (words[p] ?? p).replaceAll('_', ' ').replace(/,$/, '').replace(/\[(\d+)\]/, (_, n: string) => ` ${Number(n) + 1}`)).filter(Boolean)
  return [...place, key.replace(/\[(\d+)\]/, (_, n: string) => ` ${Number(n) + 1}`).replace(/\[(\d+)\]/, (_, n: string) => `.${Number(n) + 1}`)].join(', ').replace(/^, /, '')
}

/** within says whether a path or one that it lies below is among those taken. */
function within(taken: ReadonlySet<string>, path: string): boolean {
  for (let at = path; at !== ''; at = at.slice(0, Math.max(0, at.lastIndexOf('.')))) if (taken.has(at)) return true
  return false
}

/** partsOf are the parts of networks by their paths below a candidate, as each is called:
 * by its name, a chamber without one by its place, another part by its kind. Where
 * candidates have different parts at one place in the list, none is named. */
function partsOf(fields: readonly Field[], names: readonly string[]): Map<string, string> {
  const said = new Map<string, Map<string, string>>()
  for (const f of fields) {
    const part = /^candidates\.([^.]+)\.(enclosure\.parts\[\d+\])\.(name|at|kind)$/.exec(f.path)
    if (!part || !f.present || !names.includes(part[1] ?? '')) continue
    const at = `${part[1]}.${part[2]}`
    said.set(at, (said.get(at) ?? new Map<string, string>()).set(part[3] ?? '', f.text))
  }
  const out = new Map<string, string>()
  for (const [at, keys] of said) {
    const path = at.slice(at.indexOf('.') + 1)
    const name = keys.get('name') ?? (keys.get('kind') === 'chamber' ? keys.get('at') : keys.get('kind')) ?? ''
    const before = out.get(path)
    out.set(path, before === undefined || before === name ? name : '')
  }
  for (const [path, name] of out) if (name === '') out.delete(path)
  return out
}

/** inputs are the fields of any candidate that no row sets, in the order of the
 * file. What a row sets for one candidate has that row: a second one of the same
 * name would only come and go with the first. */
export function inputs(fields: readonly Field[], rows: readonly Row[], names: readonly string[]): Input[] {
  const taken = new Set(rows.flatMap((r) => r.cells.flatMap((c) => c.path ?? [])))
  const out = new Map<string, Input>()
  const called = partsOf(fields, names)
  for (const f of fields) {
    const [top, name, ...more] = f.path.split('.')
    if (top !== 'candidates' || name === undefined || !names.includes(name)) continue
    const rest = more.join('.')
    const group = more[0] === 'group' ? 'Group' : more[0] === 'enclosure' ? 'Box' : undefined
    if (rest.startsWith('enclosure.duct.profile[')) continue // on the section: Profile.svelte
    if (!group || within(taken, f.path) || out.has(rest)) continue
    if (/^enclosure\.parts\[\d+\]\.kind$/.test(rest)) continue // what a part is made of goes with it: the text is the place for that
    if (!f.present || (f.sort !== 'quantity' && f.sort !== 'count' && f.sort !== 'choice' && f.sort !== 'driver')) continue
    out.set(rest, { rest, name: nameOf(rest, called), unit: f.sort === 'quantity' ? f.unit : '', group })
  }
  return [...out.values()].filter((i) => !names.some((n) => taken.has(`candidates.${n}.${i.rest}`)))
}
