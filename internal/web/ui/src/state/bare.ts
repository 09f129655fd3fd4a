import type { View } from '../lib/api'

/** bare tells of an answer that its text only lacks what it has not been given yet, woofers or
 * candidates: a sound study with nothing in it, not one with a fault. */
export const bare = (v: Pick<View, 'faults'>): boolean => v.faults.length > 0 && v.faults.every((f) => f.id === 'missing-key' && (f.where === 'drivers' || f.where === 'candidates'))
