// What a person has done and not saved yet, kept by the browser: for this tab
// over a reload, and a text that is being written also over a closed tab.
import type { Change, Clash } from '../lib/api'
import type { Stretch } from '../lib/merge'

/** A Draft is a text that is being written, and the revision that it began from. */
export interface Draft {
  text: string
  base: string
  /** the text that it began from; where lines met others and are not chosen yet, as it was before both */
  from?: string
  /** lines that others changed meanwhile */
  outside?: Stretch[]
  /** what changed them, where it was the person, on another step or by an undo */
  own?: string
}
/** Left is a draft that a tab left behind, or that another tab is writing. */
export interface Left extends Draft {
  at: string
}
/** Refused is what a clash keeps from being saved. */
export interface Refused {
  changes?: Change[]
  text?: string
  label: string
  /** the text is the draft */
  draft?: boolean
}
/** Met is an edit that met another, until the person has chosen. */
export interface Met {
  clash: Clash
  refused: Refused | undefined
}

/** put keeps a value; false if the browser has no room for it. undefined forgets it. */
export function put(store: Storage, key: string, value: unknown): boolean {
  try {
    if (value === undefined) store.removeItem(key)
    else store.setItem(key, JSON.stringify(value))
    return true
  } catch {
    store.removeItem(key) // an older one would pass for this
    return false
  }
}

export function get<T>(store: Storage, key: string): T | undefined {
  const text = store.getItem(key)
  if (text === null) return undefined
  try {
    return JSON.parse(text) as T
  } catch {
    return undefined
  }
}

/** putDraft keeps a draft for this tab, and a copy for the day after, unless another stands there undecided. */
export function putDraft(name: string, draft: Draft, copy: boolean): boolean {
  if (copy) put(localStorage, `draft ${name}`, { ...draft, at: new Date().toISOString() })
  return put(sessionStorage, `draft ${name}`, draft)
}

/** dropDraft forgets a draft; the copy that another tab may have written stays. */
export function dropDraft(name: string, draft: Draft): void {
  put(sessionStorage, `draft ${name}`, undefined)
  if (get<Left>(localStorage, `draft ${name}`)?.text === draft.text) put(localStorage, `draft ${name}`, undefined)
}

/** putMet keeps a clash; its lines only if there is room, for its texts are what must not be lost. */
export function putMet(name: string, met: Met | undefined): boolean {
  const key = `clash ${name}`
  return put(sessionStorage, key, met) || (!!met && put(sessionStorage, key, { ...met, clash: { ...met.clash, lines: [] } }))
}

/** Sheet is a datasheet that is being typed or was pasted, and not taken yet. */
export interface Sheet {
  text: string
  name: string
  /** what was decided, by the line's text: lines move while a sheet is put right */
  chosen: Record<string, string>
}
