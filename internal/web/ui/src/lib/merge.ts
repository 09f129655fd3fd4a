// Two texts that began as one, line by line: what only one of them changed is
// joined; lines that both changed stand as they are in mine, and are told, for a
// person to choose.
import { diffArrays } from 'diff'
import { joined, split, usual, type Split } from './ends'

/** Stretch is some lines of a text that come from elsewhere, and how many were there before. */
export interface Stretch {
  line: number
  count: number
  gone: number
}
/** Meeting is lines that both changed, and where they begin in each of the three texts. */
export interface Meeting {
  was: readonly string[]
  mine: readonly string[]
  theirs: readonly string[]
  at: { was: number; mine: number; theirs: number }
}
export interface Merged {
  text: string
  /** what the text began from by now: theirs, but for the lines of the meetings */
  base: string
  /** of the text: what came from theirs */
  outside: Stretch[]
  meetings: Meeting[]
}

/** Beyond so many lines of difference all between what two texts begin and end with counts as changed:
 * the time that a comparison takes grows with the square of it. */
const mostChanged = 2000

/** Hunk is lines of the base that one side has otherwise. */
interface Hunk {
  at: number
  gone: number
  from: number
  count: number
}
const endOf = (h: Hunk): number => h.at + h.gone

function hunks(base: readonly string[], side: readonly string[]): Hunk[] {
  const parts = diffArrays([...base], [...side], { maxEditLength: mostChanged })
  if (!parts) return whole(base, side)
  const out: Hunk[] = []
  let at = 0
  let from = 0
  let open: Hunk | undefined
  for (const p of parts) {
    if (!p.added && !p.removed) {
      at += p.count
      from += p.count
      open = undefined
      continue
    }
    if (!open) {
      open = { at, gone: 0, from, count: 0 }
      out.push(open)
    }
    if (p.removed) {
      open.gone += p.count
      at += p.count
    } else {
      open.count += p.count
      from += p.count
    }
  }
  return out
}

/** whole is all between what both begin and end with as one. */
function whole(base: readonly string[], side: readonly string[]): Hunk[] {
  let head = 0
  while (head < base.length && head < side.length && base[head] === side[head]) head++
  let tail = 0
  const most = Math.min(base.length, side.length) - head
  while (tail < most && base[base.length - 1 - tail] === side[side.length - 1 - tail]) tail++
  return [{ at: head, gone: base.length - tail - head, from: head, count: side.length - tail - head }]
}

/** Two changes touch where they share a line, or one puts lines in where the other changed something:
 * which of the two comes first could not be told. */
function touches(a: Hunk, b: Hunk): boolean {
  if (a.gone === 0 || b.gone === 0) return a.at <= endOf(b) && b.at <= endOf(a)
  return a.at < endOf(b) && b.at < endOf(a)
}

/** Side is one of the two, and how far it is read. */
interface Side {
  text: Split
  hunks: Hunk[]
  next: number
  /** how far its lines are behind those of the base */
  shift: number
}
const sideOf = (base: Split, text: string): Side => {
  const s = split(text)
  return { text: s, hunks: hunks(base.lines, s.lines), next: 0, shift: 0 }
}
const peek = (s: Side): Hunk | undefined => s.hunks[s.next]

/** group takes the changes of both sides that belong together, in the order of the base. */
function group(a: Side, b: Side): { a: Hunk[]; b: Hunk[] } {
  const out = { a: [] as Hunk[], b: [] as Hunk[] }
  const [x, y] = [peek(a), peek(b)]
  const first = !y || (x && x.at <= y.at) ? 'a' : 'b'
  const take = (of: 'a' | 'b'): void => {
    const s = of === 'a' ? a : b
    const h = peek(s)
    if (h) out[of].push(h)
    s.next++
  }
  take(first)
  for (;;) {
    const [x, y] = [peek(a), peek(b)]
    if (x && out.b.some((h) => touches(h, x))) take('a')
    else if (y && out.a.some((h) => touches(h, y))) take('b')
    else return out
  }
}

export function merge(base: string, mine: string, theirs: string): Merged {
  const o = split(base)
  const a = sideOf(o, mine)
  const b = sideOf(o, theirs)
  const text: Split = { lines: [], ends: [] }
  const from: Split = { lines: [], ends: [] }
  const outside: Stretch[] = []
  const meetings: Meeting[] = []
  const put = (to: Split, of: Split, begin: number, end: number): void => {
    for (let k = begin; k < end; k++) {
      to.lines.push(of.lines[k] ?? '')
      to.ends.push(of.ends[k] ?? '')
    }
  }
  let at = 0
  const unchanged = (until: number): void => {
    for (; at < until; at++) {
      const ends = { was: o.ends[at] ?? '', mine: a.text.ends[at + a.shift] ?? '', theirs: b.text.ends[at + b.shift] ?? '' }
      const line = o.lines[at] ?? ''
      text.lines.push(line)
      text.ends.push(ends.theirs === ends.was ? ends.mine : ends.theirs)
      from.lines.push(line)
      from.ends.push(ends.theirs)
    }
  }
  while (peek(a) || peek(b)) {
    const g = group(a, b)
    const all = [...g.a, ...g.b]
    const begin = Math.min(...all.map((h) => h.at))
    const end = Math.max(...all.map(endOf))
    unchanged(begin)
    const range = (s: Side, list: Hunk[]): [number, number] => {
      const first = begin + s.shift
      for (const h of list) s.shift += h.count - h.gone
      return [first, end + s.shift]
    }
    const [a0, a1] = range(a, g.a)
    const [b0, b1] = range(b, g.b)
    const [yours, others] = [a.text.lines.slice(a0, a1), b.text.lines.slice(b0, b1)]
    const line = text.lines.length
    if (g.a.length === 0) {
      put(text, b.text, b0, b1)
      put(from, b.text, b0, b1)
      outside.push({ line, count: b1 - b0, gone: end - begin })
    } else if (g.b.length === 0 || same(yours, others)) {
      put(text, a.text, a0, a1)
      put(from, b.text, b0, b1)
    } else {
      meetings.push({ was: o.lines.slice(begin, end), mine: yours, theirs: others, at: { was: begin, mine: a0, theirs: b0 } })
      put(text, a.text, a0, a1)
      put(from, o, begin, end)
    }
    at = end
  }
  unchanged(o.lines.length)
  const fresh = usual(b.text.ends)
  return { text: joined(text, fresh), base: joined(from, fresh), outside, meetings }
}

const same = (a: readonly string[], b: readonly string[]): boolean => a.length === b.length && a.every((l, i) => l === b[i])

/** choose ends a meeting of the three texts: mine or theirs stand in the text, which began from theirs there. */
export function choose(base: string, text: string, theirs: string, m: Meeting, which: 'mine' | 'theirs'): { base: string; text: string } {
  const t = split(theirs)
  const swap = (of: string, at: number, gone: number): string => {
    const s = split(of)
    s.lines.splice(at, gone, ...m.theirs)
    s.ends.splice(at, gone, ...t.ends.slice(m.at.theirs, m.at.theirs + m.theirs.length))
    return joined(s, usual(t.ends))
  }
  return { base: swap(base, m.at.was, m.was.length), text: which === 'mine' ? text : swap(text, m.at.mine, m.mine.length) }
}

/** moved is where stretches of a text are after it was edited; lines that were touched are the person's. */
export function moved(list: readonly Stretch[], was: string, is: string): Stretch[] {
  if (list.length === 0) return []
  const [edit] = whole(split(was).lines, split(is).lines)
  if (!edit) return []
  const by = edit.count - edit.gone
  return list.flatMap((s): Stretch[] => {
    const end = s.line + s.count
    if (s.count === 0) return s.line <= edit.at ? [s] : s.line >= endOf(edit) ? [{ ...s, line: s.line + by }] : []
    const before = { ...s, count: Math.min(end, edit.at) - s.line }
    const first = Math.max(s.line, endOf(edit))
    const behind = { line: first + by, count: end - first, gone: before.count > 0 ? 0 : s.gone }
    return [before, behind].filter((p) => p.count > 0)
  })
}

/** carried is the place in a text that was at a place of the one before. */
export function carried(was: string, is: string, at: number): number {
  const [before, after] = [split(was).lines, split(is).lines]
  const head = split(was.slice(0, at)).lines
  const column = head.at(-1)?.length ?? 0
  let line = head.length - 1
  for (const h of hunks(before, after).reverse()) {
    if (endOf(h) <= line && (h.gone > 0 || h.at <= line)) line += h.count - h.gone
    else if (h.at <= line && line < endOf(h)) line = Math.min(line, h.at + Math.max(0, h.count - 1))
  }
  const start = after.slice(0, line).reduce((n, l) => n + l.length + 1, 0)
  return start + Math.min(column, after[line]?.length ?? 0)
}
