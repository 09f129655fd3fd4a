// The line ends of a file. A text area knows one sort of line end; the lines that
// nobody touches in it must keep theirs.

/** shown is a text as a text area has it. */
export const shown = (text: string): string => text.replace(/\r\n?/g, '\n')

/** Split is the lines of a text, and the end of each; the last has none. */
export interface Split {
  lines: string[]
  ends: string[]
}

export function split(text: string): Split {
  const lines: string[] = []
  const ends: string[] = []
  let from = 0
  for (const m of text.matchAll(/\r\n|\r|\n/g)) {
    lines.push(text.slice(from, m.index))
    ends.push(m[0])
    from = m.index + m[0].length
  }
  return { lines: [...lines, text.slice(from)], ends: [...ends, ''] }
}

/** joined is the text of some lines; those without an end get what is usual, but for the last. */
export function joined({ lines, ends }: Split, fresh: string): string {
  let out = ''
  for (const [i, line] of lines.entries()) {
    let end = i === lines.length - 1 ? '' : ends[i] || fresh
    if (line === '' && end === '\n' && out.endsWith('\r')) end = '\r\n' // or the two would be one line end
    out += line + end
  }
  return out
}

/** usual is the line end that most lines have. */
export function usual(ends: readonly string[]): string {
  const count = (end: string): number => ends.filter((e) => e === end).length
  return ['\n', '\r\n', '\r'].reduce((a, b) => (count(b) > count(a) ? b : a))
}

/**
 * edited is a file's text after an edit in a text area: lines that were not touched keep
 * their ends, new ones get what most have. The lines before and behind the edit are those
 * that both texts have.
 */
export function edited(file: string, area: string): string {
  const was = split(file)
  const is = area.split('\n')
  let head = 0
  while (head < was.lines.length && head < is.length && was.lines[head] === is[head]) head++
  let tail = 0
  const most = Math.min(was.lines.length, is.length) - head
  while (tail < most && was.lines[was.lines.length - 1 - tail] === is[is.length - 1 - tail]) tail++
  const ends = is.map((_, i) => {
    const behind = is.length - 1 - i
    // the last line of the text has no end; a line that is no longer the last gets one
    return (behind < tail ? was.ends[was.lines.length - 1 - behind] : i < was.lines.length - tail ? was.ends[i] : '') ?? ''
  })
  return joined({ lines: is, ends }, usual(was.ends))
}
