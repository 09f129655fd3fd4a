// Words that are made in more than one place.

/** capital begins a sentence. */
export const capital = (s: string): string => s.slice(0, 1).toUpperCase() + s.slice(1)

/** freeName is a name that is not taken yet: base, or base-2 and so on. */
export function freeName(base: string, taken: Iterable<string>): string {
  const names = new Set(taken)
  if (!names.has(base)) return base
  for (let n = 2; ; n++) if (!names.has(`${base}-${n}`)) return `${base}-${n}`
}

/** together keeps a number and its unit on one line: a thin space would let them part. */
export const together = (s: string): string => s.replace(/\u2009/g, '\u202f').replace(/(\d) (?=(?:[kmµ]?(?:m|g|W|V|A|Ω|Hz|L|s)|cm|dB|m²|cm²|m\/s|EUR|USD|GBP|%|°C)(?![\p{L}\d]))/gu, '$1\u00a0')

/** clauses are the parts of a sentence between semicolons, but for those in brackets. */
export function clauses(s: string): string[] {
  const out = ['']
  let deep = 0
  for (const c of s) {
    if (c === '(') deep++
    if (c === ')') deep--
    if (c === ';' && deep === 0) out.push('')
    else out[out.length - 1] += c
  }
  return out.map((p) => p.trim()).filter((p) => p !== '')
}
