// Words that are made in more than one place.

/** capital begins a sentence. */
export const capital = (s: string): string => s.slice(0, 1).toUpperCase() + s.slice(1)

/** freeName is a name that is not taken yet: base, or base-2 and so on. */
export function freeName(base: string, taken: Iterable<string>): string {
  const names = new Set(taken)
  if (!names.has(base)) return base
  for (let n = 2; ; n++) if (!names.has(`${base}-${n}`)) return `${base}-${n}`
}
