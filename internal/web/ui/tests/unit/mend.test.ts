import { describe, expect, it } from 'vitest'
import type { Finding } from '../../src/lib/api'
import { plain, replaced, spotted } from '../../src/lib/mend'

const finding = (f: Partial<Finding>): Finding => ({ id: 'bad-quantity', severity: 'error', where: '', line: 1, column: 1, text: '', mend: '', ...f })

describe('faulty characters', () => {
  it.each([
    ['    enclosure: {kind: sealed, volume: 28}', 39, '28'],
    ['    enclosure: {kind: sealed, volumne: 16 L}', 31, 'volumne'],
    ['  fs: 30.5', 7, '30.5'],
    ['  fs: "30.5, about" # said', 7, '"30.5, about"'],
    ['  fs: 30.5 # no unit', 7, '30.5'],
    ['größe: 3', 1, 'größe'],
  ])('of %s at %d are %s', (line, column, bad) => {
    const parts = spotted(line, column)
    expect(parts[1]).toBe(bad)
    expect(parts.join('')).toBe(line)
  })

  it('counts characters, not bytes or halves', () => {
    expect(spotted('note: {a: 🎵🎵, b: 3}', 18)[1]).toBe('3')
  })
  it('stays whole beyond the end of a line', () => expect(spotted('ab', 9).join('|')).toBe('ab||'))
})

describe('what is written', () => {
  it('replaces the faulty characters and nothing else', () => {
    const text = 'a: 1\nb: {volume: 28, fs: 30 Hz} # kept\n'
    expect(replaced(text, finding({ line: 2, column: 13 }), '28 L')).toBe('a: 1\nb: {volume: 28 L, fs: 30 Hz} # kept\n')
    expect(replaced(text, finding({ line: 9, column: 1 }), 'x')).toBe(text)
  })
})

describe('a printed value', () => {
  it('is typed with plain signs', () => expect(plain('\u221211.61\u2009T\u00a0m')).toBe('-11.61 T m'))
})
