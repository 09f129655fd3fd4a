// What has to find room: words before a number, and columns in a row.

/** Share of the type's size that a letter takes on the average; a little much, so that nothing touches. */
const letter = 0.56

/** widthOf is how wide a text is about to be, in the unit of its size. */
export function widthOf(text: string, size: number): number {
  return text.length * size * letter
}

/** shortened ends a text that is too long for its room with an ellipsis. */
export function shortened(text: string, room: number, measure: (t: string) => number): string {
  if (measure(text) <= room) return text
  let keep = text.length - 1
  while (keep > 1 && measure(`${text.slice(0, keep)}…`) > room) keep--
  return `${text.slice(0, keep).replace(/[\s\-_.]+$/, '')}…`
}

/** columns is how many of n equal columns stand side by side so that none is
 * narrower than least and the rows are as even as can be. */
export function columns(n: number, room: number, least: number, gap: number): number {
  const most = Math.max(1, Math.floor((room + gap) / (least + gap)))
  return n < 1 ? 1 : Math.ceil(n / Math.ceil(n / most))
}
