// What was said of a candidate by its name (hidden, pinned, alone, the yardstick)
// follows the name, whoever changes it, and ends with it.

/** followed is what has become of each name: its new one, or undefined where it
 * is gone. A name is taken for a new one where the list is otherwise as it was. */
export function followed(was: readonly string[], now: readonly string[]): Map<string, string | undefined> {
  const there = new Set(now)
  const before = new Set(was)
  const renamed = was.length === now.length && was.every((n, i) => n === now[i] || (!there.has(n) && !before.has(now[i] ?? n)))
  return new Map(was.map((n, i) => [n, there.has(n) ? n : renamed ? now[i] : undefined]))
}

/** rename changes the names of a set in place; true if any did. */
export function rename(names: Set<string>, to: ReadonlyMap<string, string | undefined>): boolean {
  const out = [...names].flatMap((n) => (to.has(n) ? (to.get(n) ?? []) : n))
  if (out.length === names.size && out.every((n) => names.has(n))) return false
  names.clear()
  for (const n of out) names.add(n)
  return true
}
