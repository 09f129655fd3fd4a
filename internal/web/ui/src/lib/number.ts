// How numbers are written: like the program's own text (at most four significant
// digits, true minus, thin space before a unit).

export const thin = '\u2009'
export const none = '–'

/** digits writes n significant digits, without powers of ten. */
export function digits(v: number | null | undefined, n = 3): string {
  if (v == null || !Number.isFinite(v)) return none
  if (v === 0) return '0'
  const places = n - 1 - Math.floor(Math.log10(Math.abs(v)) + 1e-12)
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
  return v != null && Number(v.toFixed(n)) > 0 ? `+${text}` : text
}

/** unitWords writes a unit as it is printed: the file may have ohm and cm2. */
export function unitWords(unit: string): string {
  return unit
    .replace(/^([kKmM]?)ohms?$/i, '$1Ω')
    .replace(/\bu(?=[A-Za-z])/g, 'µ')
    .replace(/([a-z])2\b/g, '$1²')
    .replace(/([a-z])3\b/g, '$1³')
}

const sign = (text: string) => text.replace('-', '\u2212')
