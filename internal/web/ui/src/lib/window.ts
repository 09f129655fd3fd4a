// What lies in the window. While a number moves only that is drawn; the rest follows
// once it is let go, and where it comes into sight.

/** How far outside the window something still counts as in it, px. */
const near = 80

/** inWindow says whether what reaches from top to bottom, in px of the window, is in it. */
export const inWindow = (top: number, bottom: number): boolean => bottom > -near && top < innerHeight + near

/** sighted are the keys of the parts that are in the window. */
export function sighted(parts: Iterable<readonly [string, Element]>): ReadonlySet<string> {
  const out = new Set<string>()
  for (const [key, part] of parts) {
    const box = part.getBoundingClientRect()
    if (inWindow(box.top, box.bottom)) out.add(key)
  }
  return out
}

/** alike says whether two sets hold the same. */
export const alike = (a: ReadonlySet<string>, b: ReadonlySet<string>): boolean => a.size === b.size && [...a].every((k) => b.has(k))
