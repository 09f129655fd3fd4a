// Times as they are said on the page: 14:02, 25 Nov 2026 14:02.
const clock = new Intl.DateTimeFormat('en-GB', { hour: '2-digit', minute: '2-digit' })
const day = new Intl.DateTimeFormat('en-GB', { day: 'numeric', month: 'short', year: 'numeric' })
const exact = new Intl.DateTimeFormat('en-GB', { hour: '2-digit', minute: '2-digit', second: '2-digit' })

const at = (t: string): Date | undefined => {
  const d = new Date(t)
  return Number.isFinite(d.getTime()) && d.getTime() > 0 ? d : undefined
}
const today = (d: Date): boolean => day.format(d) === day.format(new Date())

/** short is the clock today, the date before. */
export function short(t: string): string {
  const d = at(t)
  return d ? (today(d) ? clock.format(d) : day.format(d)) : ''
}
/** full is date and clock; today without the date. */
export function full(t: string): string {
  const d = at(t)
  return d ? (today(d) ? `today ${clock.format(d)}` : `${day.format(d)}, ${clock.format(d)}`) : ''
}
/** precise has seconds, for what is done one after the other. */
export function precise(t: string): string {
  const d = at(t)
  return d ? (today(d) ? exact.format(d) : `${day.format(d)}, ${exact.format(d)}`) : ''
}
