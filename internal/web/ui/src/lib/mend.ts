// What a finding's own words offer to do, for buttons. Where they offer nothing
// that can be done with one press, there is no button: the words stand alone.
import type { Finding } from './api'

/** spotted divides a line at the faulty characters. */
export function spotted(line: string, column: number): [string, string, string] {
  const before = [...line].slice(0, Math.max(0, column - 1)).join('')
  const rest = line.slice(before.length)
  const bad = (/^[\p{L}\p{N}_-]+(?=\s*:(\s|$))/u.exec(rest) ?? /^("[^"]*"|'[^']*')/.exec(rest) ?? /^[^,}\]#]+/.exec(rest))?.[0].trimEnd() ?? rest
  return [before, bad, rest.slice(bad.length)]
}

/** offers are the texts that may stand in place of the faulty ones. */
export function offers(f: Finding): string[] {
  const m = /^(write|did you mean) (.+?)\??$/.exec(f.mend)
  if (!m?.[2]) return []
  const all = m[2].split(/, | or /)
  const fits = m[1] === 'write' && f.id !== 'unknown-word' ? /^[+-]?\d[\d.,]* ?[\p{L}%/²³0-9]*$/u : /^[\w-]+( \S+)?$/
  const value = f.id === 'bad-quantity' || f.id === 'unknown-word' || f.id === 'unknown-key' || f.id === 'unknown-driver'
  return value && all.every((o) => fits.test(o)) ? all : []
}

/** replaced is the text with another one in place of the faulty characters. */
export function replaced(text: string, f: Finding, by: string): string {
  const lines = text.split('\n')
  const line = lines[f.line - 1]
  if (line === undefined) return text
  const [before, , after] = spotted(line, f.column)
  lines[f.line - 1] = before + by + after
  return lines.join('\n')
}

/** A Disagreement is what a sheet says twice, differently. */
export interface Disagreement {
  key: string
  says: string
  follows: string
  from: string
  formula: string
  allows: string
  /** the key can lead in place of the others */
  leads: boolean
}

export function disagreement(f: Finding): Disagreement | undefined {
  if (f.id !== 'sheet-disagrees') return undefined
  const m = /^(\S+) (.+?) disagrees with (.+?), which follows from (.+?) by (.+?)(?:; the printed digits allow (.+))?$/.exec(f.text)
  if (!m) return undefined
  const [, key = '', says = '', follows = '', from = '', formula = '', allows = ''] = m
  return { key, says, follows, from, formula, allows, leads: f.mend.includes(`trust: [${key}]`) }
}

/** plain is a printed value as it is typed. */
export function plain(printed: string): string {
  return printed.replace(/[\u2009\u00a0]/g, ' ').replaceAll('\u2212', '-')
}
