// The text of a study that is being written and not saved yet. What others change in
// the file meanwhile is joined to it line by line; where both changed the same lines,
// the person's stand in it until one of the two is chosen.
import { choose, merge, moved, type Meeting } from '../lib/merge'
import { dropDraft, get, put, putDraft, type Draft, type Left } from './kept'

/** Disk is the text of the file, and its revision. */
interface Disk {
  text: string
  revision: string
}

export class Drafting {
  /** it outlives the page */
  draft = $state.raw<Draft>()
  /** what another tab wrote and did not save */
  left = $state.raw<Left>()
  /** how often something was joined that the person did not write here */
  joins = $state(0)
  /** the history holds what was being written as it was when it met another change */
  inHistory = $state(false)
  /** the browser had room to keep it */
  kept = true
  private theirs = $state.raw<string>()
  /** what is on its way to the file: met there, it is no other's */
  private saving: string | undefined
  /** the lines that the person and another changed, in the order of the text */
  readonly meetings: readonly Meeting[] = $derived.by(() => {
    const d = this.draft
    if (d?.from === undefined || this.theirs === undefined || d.from === this.theirs) return []
    return merge(d.from, d.text, this.theirs).meetings
  })

  constructor(private readonly name: string) {
    this.draft = get<Draft>(sessionStorage, `draft ${name}`)
    if (!this.draft) this.left = get<Left>(localStorage, `draft ${name}`)
  }

  /** keep keeps a text that is being written; without a draft it begins from what is on disk. */
  keep(text: string, disk: Disk): void {
    const d = this.draft
    if (!d) this.theirs = disk.text
    this.put(d ? { ...d, text, outside: moved(d.outside ?? [], d.text, text) } : { text, base: disk.revision, from: disk.text })
  }
  private put(d: Draft): void {
    this.draft = d
    this.kept = putDraft(this.name, d, !this.left)
  }

  /** meets joins what is on disk, and tells whether that meets lines of the person's.
   * own is what changed it, where the person did. */
  meets(disk: Disk, own = ''): boolean {
    const d = this.draft
    if (!d || disk.text === this.saving) return false
    const seen = disk.text === this.theirs
    if (seen && d.base === disk.revision) return false
    const fresh = (d.outside ?? []).length === 0 && this.meetings.length === 0
    this.theirs = disk.text
    // of what began before a reload the choices stand; what was kept without its beginning cannot be joined
    if (d.base === disk.revision || d.from === undefined) return this.meetings.length > 0
    const m = merge(d.from, d.text, disk.text)
    const outside = [...moved(d.outside ?? [], d.text, m.text), ...m.outside].sort((a, b) => a.line - b.line)
    const alone = fresh || d.own ? own : '' // what others did is not one's own because that came after it
    this.put({ text: m.text, base: disk.revision, from: m.base, outside, ...(alone && { own: alone }) })
    if (m.text !== d.text || m.meetings.length > 0) this.joins++
    return m.meetings.length > 0
  }

  /** choose ends the first meeting like that: mine or theirs stand in the text. */
  choose(m: Meeting, which: 'mine' | 'theirs'): void {
    const d = this.draft
    if (d?.from === undefined || this.theirs === undefined) return
    const c = choose(d.from, d.text, this.theirs, m, which)
    this.put({ ...d, from: c.base, text: c.text, outside: moved(d.outside ?? [], d.text, c.text) })
    if (c.text !== d.text) this.joins++
    if (this.meetings.length === 0) this.inHistory = false
  }

  /** seen forgets which lines came from elsewhere. */
  seen(): void {
    if (!this.draft) return
    const { own, ...d } = this.draft
    this.put({ ...d, outside: [], ...(own && this.meetings.length > 0 && { own }) })
  }

  /** saves is told of a text on its way to the file. */
  saves(text: string | undefined): void {
    this.saving = text
  }
  /** saved: what was written on since then goes on from what is on disk now. */
  saved(text: string, disk: Disk): void {
    const d = this.draft
    if (!d || d.text === text) this.forget()
    else {
      this.theirs = disk.text
      this.put({ text: d.text, base: disk.revision, from: disk.text })
    }
  }

  forget(): void {
    if (this.draft) dropDraft(this.name, this.draft)
    this.draft = undefined
    this.kept = true
  }

  /** takeLeft goes on with what another tab wrote; dropLeft forgets it. */
  takeLeft(disk: Disk | undefined): boolean {
    const { left } = this
    this.left = undefined
    if (!left) return false
    this.put({ text: left.text, base: left.base, ...(left.from === undefined ? {} : { from: left.from }) })
    return !!disk && this.meets(disk)
  }
  dropLeft(): void {
    this.left = undefined
    put(localStorage, `draft ${this.name}`, undefined)
  }
}
