import { describe, expect, it } from 'vitest'
import { edited, shown } from '../../src/lib/ends'

/** Each edit as a text area makes it: a stretch of what it shows is replaced. */
const typed = (file: string, from: number, to: number, text: string): string => {
  const area = shown(file)
  return edited(file, area.slice(0, from) + text + area.slice(to))
}

describe('line ends', () => {
  it('are those of the file on lines that nobody touched', () => {
    const file = '\ufeffstudy: A\r\nunits: metric\r\n# end\r\n'
    expect(typed(file, shown(file).length, shown(file).length, '# mine\n')).toBe(`${file}# mine\r\n`)
    expect(typed(file, 0, 0, '')).toBe(file)
    const at = shown(file).indexOf('metric')
    expect(typed(file, at, at + 6, 'imperial')).toBe(file.replace('metric', 'imperial'))
    expect(typed(file, at, at, 'a\nb')).toBe('\ufeffstudy: A\r\nunits: a\r\nbmetric\r\n# end\r\n')
  })
  it('stay mixed where they are', () => {
    const file = 'a\r\nb\nc\rd\r\ne'
    expect(typed(file, 2, 3, 'B')).toBe('a\r\nB\nc\rd\r\ne')
    expect(typed(file, 8, 9, 'E\nf')).toBe('a\r\nb\nc\rd\r\nE\r\nf')
    expect(typed(file, 1, 7, '')).toBe('a\r\ne')
    expect(shown(typed('a\rb\nc\nd\n', 2, 3, ''))).toBe('a\n\nc\nd\n')
    expect(typed('a\nb', 3, 3, '\r')).toBe('a\nb\r') // what no text area gives is left alone
  })
  it('of every line outside of an edit are kept, whatever the edit', () => {
    let seed = 1
    const random = (n: number): number => {
      seed = (seed * 48271) % 2147483647
      return seed % n
    }
    const of = <T>(list: readonly T[]): T => list[random(list.length)] as T
    for (let k = 0; k < 3000; k++) {
      let file = ''
      for (let n = random(8); n > 0; n--) file += `${of(['a', 'b', ''])}${n}${of(['\n', '\r\n'])}`
      file += of(['', 'z'])
      const area = shown(file)
      const from = random(area.length + 1)
      const to = from + random(area.length + 1 - from)
      const text = of(['', 'x', '\n', 'y\nw', 'q\n\nr']) 
      const out = typed(file, from, to, text)
      expect(shown(out)).toBe(area.slice(0, from) + text + area.slice(to))
      // the lines wholly before the edit, and wholly behind it
      const before = area.slice(0, from).split('\n').length - 1
      const behind = area.slice(to).split('\n').length - 1
      const starts = [0, ...[...file.matchAll(/\r\n|\r|\n/g)].map((m) => m.index + m[0].length)]
      expect(out.startsWith(file.slice(0, starts[before]))).toBe(true)
      if (behind > 0) expect(out.endsWith(file.slice(starts[starts.length - behind]))).toBe(true)
    }
  })
})
