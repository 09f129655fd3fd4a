// How numbers are written: like the program's own text (at most four significant
// digits, true minus, thin space before a unit).

export const thin = '\u2009'
export const none = '–'

/** digits writes n significant digits, without powers of ten. */
export function digits(v: number | null | undefined, n = 3): string {
  if (v == null || !Number.isFinite(v)) return none
  if (v === 0) return '0'
  const places = n - 1 - Math.floor(Math.log10(Math.abs(Number(v.toPrecision(n)))) + 1e-12)
  const text = places >= 0 ? v.toFixed(Math.min(places, 12)) : String(Math.round(v / 10 ** -places) * 10 ** -places)
  return sign(text)
}

/** fixed writes n digits behind the point. */
export function fixed(v: number | null | undefined, n = 1): string {
  if (v == null || !Number.isFinite(v)) return none
  const text = v.toFixed(n)
  return sign(Number(text) === 0 ? text.replace('-', '') : text)
}

/** signed is fixed with its sign. */
export function signed(v: number | null | undefined, n = 1): string {
  const text = fixed(v, n)
  return v != null && Number.isFinite(v) && Number(v.toFixed(n)) > 0 ? `+${text}` : text
}

/** decimals counts the digits that a value needs behind the point, as written: 12.5, 12 1/4, 5e-4. */
export function decimals(written: string): number {
  const half = /^[^\d/]*(?:\d+ )?\d+\/(\d+)/.exec(written)?.[1]
  if (half) return Math.min(6, Math.ceil(Math.log2(Number(half))))
  const [, behind = '', power = '0'] = /^[^\d.,]*\d*(?:[.,](\d+))?(?:e([+-]?\d+))?/i.exec(written) ?? []
  return Math.min(12, Math.max(0, behind.length - Number(power)))
}

/** unitWords is a unit of the study file as it is printed. */
export function unitWords(unit: string): string {
  if (unit === 'C' || unit === 'F') return `°${unit}`
  return unit
    .replace(/\b([kmM]?)ohms?\b/, '$1Ω')
    .replace(/([a-z])([23])\b/g, (_, u: string, n: string) => u + (n === '2' ? '²' : '³'))
    .replace(/\bu(?=[A-Za-z])/g, 'µ')
    .replace(/(?<=[A-Za-zΩ]) (?=[A-Za-z])/, '\u00a0')
}

/** printed is a value as written ("2 ohm") as it is printed ("2 Ω"). */
export function printed(written: string): string {
  const m = /^([+-]?[\d.,]+)\s*(.*)$/.exec(written.trim())
  if (!m) return written
  return sign(m[1] ?? '') + (m[2] ? thin + unitWords(m[2]) : '')
}

const sign = (text: string) => text.replace('-', '\u2212')
