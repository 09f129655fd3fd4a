// Times as they are said on the page: 14:02, 25 Nov 2026 14:02. By hand: the browser's own
// formats take a new page a tenth of a second to make, before anything is seen.
const two = (n: number): string => String(n).padStart(2, '0')
const months = ['Jan', 'Feb', 'Mar', 'Apr', 'May', 'Jun', 'Jul', 'Aug', 'Sept', 'Oct', 'Nov', 'Dec']
const clock = (d: Date): string => `${two(d.getHours())}:${two(d.getMinutes())}`
const exact = (d: Date): string => `${clock(d)}:${two(d.getSeconds())}`
const day = (d: Date): string => `${d.getDate()} ${months[d.getMonth()]} ${d.getFullYear()}`

const at = (t: string): Date | undefined => {
  const d = new Date(t)
  return Number.isFinite(d.getTime()) && d.getTime() > 0 ? d : undefined
}
const today = (d: Date): boolean => day(d) === day(new Date())

/** short is the clock today, the date before. */
export function short(t: string): string {
  const d = at(t)
  return d ? (today(d) ? clock(d) : day(d)) : ''
}
/** full is date and clock; today without the date. */
export function full(t: string): string {
  const d = at(t)
  return d ? (today(d) ? `today ${clock(d)}` : `${day(d)}, ${clock(d)}`) : ''
}
/** precise has seconds, for what is done one after the other. */
export function precise(t: string): string {
  const d = at(t)
  return d ? (today(d) ? exact(d) : `${day(d)}, ${exact(d)}`) : ''
}
