// What a finding offers to do, done to the text.
import type { Finding } from './api'

/** spotted divides a line at the faulty characters. */
export function spotted(line: string, column: number): [string, string, string] {
  const before = [...line].slice(0, Math.max(0, column - 1)).join('')
  const rest = line.slice(before.length)
  const bad = (/^[\p{L}\p{N}_-]+(?=\s*:(\s|$))/u.exec(rest) ?? /^("[^"]*"|'[^']*')/.exec(rest) ?? /^[^,}\]#]+/.exec(rest))?.[0].trimEnd() ?? rest
  return [before, bad, rest.slice(bad.length)]
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

/** plain is a printed value as it is typed. */
export function plain(printed: string): string {
  return printed.replace(/[\u2009\u00a0]/g, ' ').replaceAll('\u2212', '-')
}
