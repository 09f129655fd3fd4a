// Keys that are a single letter or sign, and what they do. Who speaks to the machine,
// or hits keys unmeant, switches them off or gives them others, also with alt
// (WCAG 2.1.4); all that they do has a button too.

/** acts are what such a key does; what is written here is what does it where nothing else was chosen. */
const standard = { differences: 'd', yardstick: 'y', present: 'P', strip: 's', keys: '?' } as const
export type Act = keyof typeof standard
export const acts = Object.keys(standard) as Act[]

const switched = 'single keys'
const chosen = 'keys'

function read(): Record<Act, string> {
  try {
    const own: unknown = JSON.parse(localStorage.getItem(chosen) ?? '{}')
    const of = (a: Act): string => {
      const key = (own as Record<string, unknown> | null)?.[a]
      return typeof key === 'string' && key !== '' ? key : standard[a]
    }
    return Object.fromEntries(acts.map((a) => [a, of(a)])) as Record<Act, string>
  } catch {
    return { ...standard }
  }
}

let on = $state(localStorage.getItem(switched) !== 'off')
let keys = $state(read())

type Press = Pick<KeyboardEvent, 'key' | 'ctrlKey' | 'altKey' | 'metaKey'>

/** nameOf is a press as it is kept: "d", "alt d"; undefined for what has its own use everywhere. */
export function nameOf(e: Press): string | undefined {
  if (e.metaKey || [...e.key].length !== 1 || e.key === ' ' || /[0-9+=-]/.test(e.key)) return undefined
  if (e.ctrlKey) return undefined // the browser's, and what copies and pastes
  return `${e.altKey ? 'alt ' : ''}${e.key}`
}
/** same: a small letter is meant with and without shift, a capital one with it alone. */
const same = (key: string, pressed: string): boolean => key === pressed || (key === key.toLowerCase() && key === pressed.toLowerCase())

export const single = {
  get on(): boolean {
    return on
  },
  set on(to: boolean) {
    on = to
    if (to) localStorage.removeItem(switched)
    else localStorage.setItem(switched, 'off')
  },
  /** of is the key that does it. */
  of: (act: Act): string => keys[act],
  /** does is what a press does, if it does anything here: one with alt also where single keys are off. */
  does(e: Press): Act | undefined {
    const pressed = nameOf(e)
    if (pressed === undefined || (!on && pressed.length === 1)) return undefined
    return acts.find((a) => same(keys[a], pressed))
  },
  /** give has another key do it; what has that already is told, and nothing changes. */
  give(act: Act, key: string): Act | undefined {
    const taken = acts.find((a) => a !== act && (same(keys[a], key) || same(key, keys[a])))
    if (taken) return taken
    keys = { ...keys, [act]: key }
    const own = Object.fromEntries(acts.filter((a) => keys[a] !== standard[a]).map((a) => [a, keys[a]]))
    if (Object.keys(own).length > 0) localStorage.setItem(chosen, JSON.stringify(own))
    else localStorage.removeItem(chosen)
    return undefined
  },
  get changed(): boolean {
    return acts.some((a) => keys[a] !== standard[a])
  },
  reset(): void {
    keys = { ...standard }
    localStorage.removeItem(chosen)
  },
}
