// What two people changed in different lines of one text is in what is joined;
// lines that both changed are told, and nothing of either is lost.
import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { carried, choose, merge, moved } from '../../src/lib/merge'

describe('merge', () => {
  const text = 'one\ntwo\nthree\nfour\nfive\n'
  it.each([
    ['nothing', text, text, text],
    ['mine alone', text.replace('two', 'TWO'), text, text.replace('two', 'TWO')],
    ['theirs alone', text, text.replace('two', 'TWO'), text.replace('two', 'TWO')],
    ['lines apart', text.replace('two', 'TWO'), text.replace('four', 'FOUR'), 'one\nTWO\nthree\nFOUR\nfive\n'],
    ['lines that follow each other', text.replace('two', 'TWO'), text.replace('three', 'THREE'), 'one\nTWO\nTHREE\nfour\nfive\n'],
    ['the same on both sides', text.replace('two', 'TWO'), text.replace('two', 'TWO'), text.replace('two', 'TWO')],
    ['a line that is left out and one that is put in', text.replace('two\n', ''), text.replace('five\n', 'five\nsix\n'), 'one\nthree\nfour\nfive\nsix\n'],
    ['other line ends outside', text.replace('two', 'TWO'), text.replaceAll('\n', '\r\n'), 'one\r\nTWO\nthree\r\nfour\r\nfive\r\n'],
  ])('joins %s', (_, mine, theirs, want) => {
    expect(merge(text, mine, theirs)).toMatchObject({ text: want, base: theirs, meetings: [] })
  })

  it('tells which lines came from theirs', () => {
    expect(merge(text, `zero\n${text}`, text.replace('three', '3\n3½').replace('five\n', '')).outside).toEqual([
      { line: 3, count: 2, gone: 1 },
      { line: 6, count: 0, gone: 1 },
    ])
  })

  it('tells lines that both changed, joins the others, and ends when they are chosen', () => {
    const mine = text.replace('two', 'mine').replace('five', 'FIVE')
    const theirs = `zero\n${text.replace('two', 'theirs')}`
    const m = merge(text, mine, theirs)
    expect(m.text).toBe('zero\none\nmine\nthree\nfour\nFIVE\n')
    expect(m.base).toBe(`zero\n${text}`)
    expect(m.meetings).toEqual([{ was: ['two'], mine: ['mine'], theirs: ['theirs'], at: { was: 1, mine: 1, theirs: 2 } }])
    const [both] = merge(m.base, m.text, theirs).meetings
    if (!both) throw new Error('no meeting')
    for (const [which, want] of [['mine', m.text], ['theirs', m.text.replace('mine', 'theirs')]] as const) {
      const c = choose(m.base, m.text, theirs, both, which)
      expect(c.text).toBe(want)
      expect(c.base).toBe(theirs)
      expect(merge(c.base, c.text, theirs)).toMatchObject({ text: want, meetings: [] })
    }
  })

  it('takes a text of which all is other, however long, in bounded time', () => {
    const long = (word: string): string => `${Array.from({ length: 60_000 }, (_, k) => `${word} ${k}`).join('\n')}\n`
    const begun = performance.now()
    const m = merge(`${long('a')}end\n`, `${long('b')}end\n`, `${long('c')}end\n`)
    expect(m.meetings.length).toBe(1)
    expect(m.text).toBe(`${long('b')}end\n`)
    expect(performance.now() - begun).toBeLessThan(20_000) // unbounded it takes hours
  })
})

/** An edit of one base line: what stands in its place. */
type Edits = { line: number; to: string[] }[]
const apply = (base: string[], edits: Edits): string[] => base.flatMap((l, i) => edits.find((e) => e.line === i)?.to ?? [l])
const lines = (list: string[]): string => list.map((l) => `${l}\n`).join('')

describe('merge, whatever the texts', () => {
  // every base line is one of a kind, so that which line a change is about is beyond doubt
  const apart = fc.integer({ min: 1, max: 30 }).chain((n) =>
    fc.record({
      n: fc.constant(n),
      whose: fc.array(fc.constantFrom('nobody', 'mine', 'theirs', 'both'), { minLength: n, maxLength: n }),
      words: fc.array(fc.array(fc.string({ unit: 'grapheme-ascii', maxLength: 6 }).map((s) => s.replace(/[\r\n]/g, '')), { maxLength: 3 }), { minLength: n, maxLength: n }),
    }),
  )
  it('holds every change of mine and of theirs that touch no other, each in its place', () => {
    fc.assert(
      fc.property(apart, ({ n, whose, words }) => {
        const base = Array.from({ length: n }, (_, k) => `line ${k}`)
        // a line that nobody changes stands between any two that are changed by different sides
        const edits = (side: string): Edits => whose.flatMap((w, k) => (w === side && k % 2 === 0 ? [{ line: k, to: (words[k] ?? []).map((t) => `${side} ${k} ${t}`) }] : []))
        const [mine, theirs] = [edits('mine'), edits('theirs')]
        const m = merge(lines(base), lines(apply(base, mine)), lines(apply(base, theirs)))
        expect(m.meetings).toEqual([])
        expect(m.text).toBe(lines(apply(base, [...mine, ...theirs])))
        expect(m.base).toBe(lines(apply(base, theirs)))
        const came = m.text.split('\n').filter((_, k) => m.outside.some((s) => k >= s.line && k < s.line + s.count))
        expect(came).toEqual(theirs.flatMap((e) => e.to))
      }),
      { numRuns: 400 },
    )
  })

  // few words, so that lines are alike by chance; all sorts of line ends
  const any = fc.array(fc.tuple(fc.constantFrom('a', 'b', 'c', ''), fc.constantFrom('\n', '\n', '\r\n')), { maxLength: 12 }).map((l) => l.map(([w, e]) => w + e).join(''))
  it('is what one side made of it where the other changed nothing', () => {
    fc.assert(
      fc.property(any, any, (base, side) => {
        expect(merge(base, side, base)).toMatchObject({ text: side, base, outside: [], meetings: [] })
        expect(merge(base, base, side)).toMatchObject({ text: side, base: side, meetings: [] })
        expect(merge(base, side, side)).toMatchObject({ text: side, base: side, outside: [], meetings: [] })
      }),
      { numRuns: 1000 },
    )
  })

  it('is the same whoever is asked first, where nothing meets', () => {
    fc.assert(
      fc.property(any, any, any, (base, a, b) => {
        const [one, other] = [merge(base, a, b), merge(base, b, a)]
        expect(one.meetings.length).toBe(other.meetings.length)
        if (one.meetings.length === 0) expect(one.text.replaceAll('\r\n', '\n')).toBe(other.text.replaceAll('\r\n', '\n'))
      }),
      { numRuns: 1000 },
    )
  })

  it('tells each line that both changed, keeps mine until one is chosen, and then holds what was chosen', () => {
    fc.assert(
      fc.property(apart, fc.array(fc.constantFrom('mine' as const, 'theirs' as const), { minLength: 30, maxLength: 30 }), ({ n, whose, words }, chosen) => {
        const base = Array.from({ length: n }, (_, k) => `line ${k}`)
        const edits = (side: string): Edits => whose.flatMap((w, k) => ((w === side || w === 'both') && k % 2 === 0 ? [{ line: k, to: [`${side} ${k}`, ...(words[k] ?? []).map((t) => `${side} ${k} ${t}`)] }] : []))
        const [mine, theirs] = [edits('mine'), edits('theirs')]
        const b = lines(apply(base, theirs))
        let m = merge(lines(base), lines(apply(base, mine)), b)
        const met = mine.filter((e) => theirs.some((t) => t.line === e.line))
        const kept = (list: Edits): Edits => list.filter((e) => !met.some((t) => t.line === e.line))
        expect(m.meetings.map((x) => x.mine)).toEqual(met.map((e) => e.to))
        expect(m.text).toBe(lines(apply(base, [...mine, ...kept(theirs)])))
        expect(merge(m.base, m.text, b)).toMatchObject({ text: m.text, base: m.base, outside: [] })
        const want = [...kept(mine), ...kept(theirs)]
        for (const [k, e] of met.entries()) {
          const [first] = merge(m.base, m.text, b).meetings
          const which = chosen[k] ?? 'mine'
          if (!first) throw new Error(`no meeting about line ${e.line}`)
          want.push({ line: e.line, to: [...(which === 'mine' ? first.mine : first.theirs)] })
          const c = choose(m.base, m.text, b, first, which)
          m = merge(c.base, c.text, b)
          expect(m.text).toBe(c.text)
          expect(m.meetings.length).toBe(met.length - 1 - k)
        }
        expect(m.text).toBe(lines(apply(base, want)))
        expect(m.base).toBe(b)
      }),
      { numRuns: 400 },
    )
  })

  it('comes to an end by choosing, and a choice changes no more than its lines', () => {
    fc.assert(
      fc.property(any, any, any, fc.constantFrom('mine' as const, 'theirs' as const), (base, a, b, which) => {
        const m = merge(base, a, b)
        let [from, text] = [m.base, m.text]
        for (let k = 0; ; k++) {
          expect(k).toBeLessThanOrEqual(12)
          const [first] = merge(from, text, b).meetings
          if (!first) break
          const c = choose(from, text, b, first, which)
          const rest = (t: string, lines: readonly string[]): string => t.split(/\r\n|\n/).toSpliced(first.at.mine, lines.length).join('\n')
          expect(rest(c.text, which === 'mine' ? first.mine : first.theirs)).toBe(rest(text, first.mine))
          ;[from, text] = [c.base, c.text]
        }
      }),
      { numRuns: 1000 },
    )
  })
})

describe('moved', () => {
  const list = [{ line: 2, count: 3, gone: 1 }]
  it.each([
    ['before', 'x\n', '', [{ line: 1, count: 3, gone: 1 }]],
    ['behind', '', '', list],
  ])('follows what is edited %s', (_, gone, put, want) => {
    const text = 'x\ny\n1\n2\n3\nz\n'
    expect(moved(list, text, text.replace(gone, put))).toEqual(want)
  })
  it('leaves out what the person touched', () => {
    const text = 'x\ny\n1\n2\n3\nz\n'
    expect(moved(list, text, text.replace('2', 'two\nand'))).toEqual([
      { line: 2, count: 1, gone: 1 },
      { line: 5, count: 1, gone: 0 },
    ])
    expect(moved(list, text, 'x\ny\nz\n')).toEqual([])
  })
})

describe('carried', () => {
  const was = 'one\ntwo\nthree\n'
  it.each([
    ['above', 'zero\none\ntwo\nthree\n'],
    ['below', 'one\ntwo\nthree\nfour\n'],
    ['left out above', 'two\nthree\n'],
  ])('is the same place of the same line where lines are put in or left out %s', (_, is) => {
    expect(carried(was, is, was.indexOf('wo'))).toBe(is.indexOf('wo'))
  })
  it('is in the text where its line is gone', () => {
    expect(carried(was, 'one\n', was.length)).toBeLessThanOrEqual(4)
  })
})
