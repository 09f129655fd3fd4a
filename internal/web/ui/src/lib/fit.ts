// What has to find room: words before a number, and columns in a row.

/** Share of the type's size that a letter takes on the average; a little much, so that nothing touches. */
const letter = 0.56

/** widthOf is how wide a text is about to be, in the unit of its size. */
export function widthOf(text: string, size: number): number {
  return text.length * size * letter
}

/** boxOf is how large a drawing is in its own units. */
export function boxOf(svg: string): { width: number; height: number } | undefined {
  const box = /viewBox="[\d.-]+ [\d.-]+ ([\d.]+) ([\d.]+)"/.exec(svg)
  return box ? { width: Number(box[1]), height: Number(box[2]) } : undefined
}

let pen: CanvasRenderingContext2D | null | undefined
const widths = new Map<string, number>()
const mostWidths = 500

/** measured is how wide a strong text is, px. It is asked anew with every answer, and the
 * names are the same: what was measured is kept. */
export function measured(text: string, size: number): number {
  const key = `${size} ${text}`
  let width = widths.get(key)
  if (width === undefined) {
    pen ??= document.createElement('canvas').getContext?.('2d') ?? null
    if (!pen) return widthOf(text, size)
    pen.font = `600 ${size}px system-ui, sans-serif`
    width = pen.measureText(text).width
    if (widths.size >= mostWidths) widths.clear()
    widths.set(key, width)
  }
  return width
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
