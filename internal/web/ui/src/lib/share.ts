/**
 * share is now, with all that is as it was taken from was: what is drawn from a part that
 * has not changed need not be looked at, and what only looks the same is let go. Now is
 * written into, but never made to say anything else. Both are what JSON can say; what else
 * they hold, as the numbers of a curve, is the same or not.
 */
export function share<T>(was: T | undefined, now: T): T {
  if (was === now || typeof was !== 'object' || typeof now !== 'object' || was === null || now === null || ArrayBuffer.isView(now)) return now
  const [a, b] = [was as Record<string, unknown>, now as Record<string, unknown>]
  const keys = Object.keys(b)
  let same = Array.isArray(was) === Array.isArray(now) && keys.length === Object.keys(a).length
  for (const k of keys) {
    b[k] = share(a[k], b[k])
    if (a[k] !== b[k] || !Object.hasOwn(a, k)) same = false
  }
  return same ? was : now
}
