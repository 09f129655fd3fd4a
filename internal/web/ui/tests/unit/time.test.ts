import { afterEach, beforeEach, describe, expect, it, vi } from 'vitest'
import { full, precise, short } from '../../src/lib/time'

const there = (...at: [number, number, number, number, number, number]): string => new Date(...at).toISOString()

describe('times', () => {
  beforeEach(() => {
    vi.useFakeTimers()
    vi.setSystemTime(new Date(2026, 10, 25, 14, 2, 3))
  })
  afterEach(() => vi.useRealTimers())
  it('are a clock today, and have their date before', () => {
    const [today, before] = [there(2026, 10, 25, 9, 5, 7), there(2025, 8, 1, 23, 59, 0)]
    expect([short(today), full(today), precise(today)]).toEqual(['09:05', 'today 09:05', '09:05:07'])
    expect([short(before), full(before), precise(before)]).toEqual(['1 Sept 2025', '1 Sept 2025, 23:59', '1 Sept 2025, 23:59:00'])
  })
  it('are as the browser’s own format of British English has them', () => {
    const day = new Intl.DateTimeFormat('en-GB', { day: 'numeric', month: 'short', year: 'numeric' })
    for (let m = 0; m < 12; m++) expect(short(there(2024, m, 9, 12, 0, 0))).toBe(day.format(new Date(2024, m, 9, 12)))
  })
  it('are nothing where there is none', () => {
    for (const t of ['', 'soon', '0001-01-01T00:00:00Z']) expect(short(t) + full(t) + precise(t)).toBe('')
  })
})
