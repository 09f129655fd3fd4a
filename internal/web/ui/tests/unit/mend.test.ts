import { describe, expect, it } from 'vitest'
import type { Finding } from '../../src/lib/api'
import { disagreement, offers, plain, replaced, spotted } from '../../src/lib/mend'

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

describe('offers', () => {
  it.each([
    ['bad-quantity', 'write 28 L, 28 dm3 or 0.99 ft3', ['28 L', '28 dm3', '0.99 ft3']],
    ['unknown-key', 'did you mean volume?', ['volume']],
    ['unknown-word', 'write free, half, quarter or eighth', ['free', 'half', 'quarter', 'eighth']],
    ['bad-quantity', 'write it as in 28 L', []],
    ['bad-quantity', 'write a number and its unit, such as 28 L', []],
    ['bad-group', 'write 1 or more, or leave it out for 1', []],
    ['bad-quantity', 'write a plain number, such as 0.4', []],
    ['duplicate-key', 'keep one of the two', []],
  ])('of %s: %s', (id, mend, want) => expect(offers(finding({ id, mend }))).toEqual(want))

  it('replace the faulty characters and nothing else', () => {
    const text = 'a: 1\nb: {volume: 28, fs: 30 Hz} # kept\n'
    expect(replaced(text, finding({ line: 2, column: 13 }), '28 L')).toBe('a: 1\nb: {volume: 28 L, fs: 30 Hz} # kept\n')
    expect(replaced(text, finding({ line: 9, column: 1 }), 'x')).toBe(text)
  })
})

describe('a disagreement', () => {
  const f = finding({
    id: 'sheet-disagrees',
    text: 'bl 10.0 T m disagrees with 11.61\u2009T\u00a0m, which follows from re, sd, fs, qes and vas by Bl = √(2π · fs · Mms · Re / Qes); the printed digits allow 11.37\u2009T\u00a0m to 11.85\u2009T\u00a0m',
    mend: 'correct the sheet, or let bl lead with trust: [bl]',
  })
  it('is taken apart', () => {
    expect(disagreement(f)).toEqual({ key: 'bl', says: '10.0 T m', follows: '11.61\u2009T\u00a0m', from: 're, sd, fs, qes and vas', formula: 'Bl = √(2π · fs · Mms · Re / Qes)', allows: '11.37\u2009T\u00a0m to 11.85\u2009T\u00a0m', leads: true })
    expect(plain('11.61\u2009T\u00a0m')).toBe('11.61 T m')
  })
  it('without a range of digits too', () => expect(disagreement({ ...f, text: f.text.split(';')[0] ?? '' })?.allows).toBe(''))
  it('leads only where the mend says so', () => expect(disagreement({ ...f, mend: 'correct the sheet, or leave it out' })?.leads).toBe(false))
  it('is nothing else', () => expect(disagreement(finding({ id: 'bad-sheet', text: f.text }))).toBeUndefined())
})
