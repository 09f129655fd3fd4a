// What of a study is shown, and how: it is the page's own, and changes nothing in the file.
import { SvelteSet } from 'svelte/reactivity'
import type { Cellmark, Result } from '../lib/api'
import { followed, rename } from './follow'
import { get, put } from './kept'
import { alike, assigned, read, type Looks } from './looks'

export class Shown {
  yardstick = $state('')
  from = $state(10)
  to = $state(400)
  time = $state(false)
  cursor = $state(30)
  /** the cell of the ledger whose origin is asked for with every request, so that it follows a drag */
  open = $state.raw<Cellmark>()
  shown = $state<'values' | 'differences'>('values')
  hidden = new SvelteSet<string>()
  solo = $state('')
  /** stay shown beside whatever is shown alone, and stand first in the ledger */
  pinned = new SvelteSet<string>()

  private looks = $state.raw<Looks>({})

  constructor(readonly name: string) {
    this.looks = read(get(localStorage, `looks ${name}`))
    const q = new URLSearchParams(location.search)
    this.yardstick = q.get('y') ?? ''
    this.from = number(q.get('from'), 10)
    this.to = number(q.get('to'), 400)
    for (const n of get<string[]>(sessionStorage, `hidden ${name}`) ?? []) this.hidden.add(n)
  }

  /** lookOf is which colour and dash a candidate has. */
  lookOf(name: string, place: number): number {
    return this.looks[name] ?? place
  }

  /** shows tells whether a candidate is drawn. */
  shows(name: string): boolean {
    return this.pinned.has(name) || (this.solo ? name === this.solo : !this.hidden.has(name))
  }

  /** narrow is false where such a range cannot be shown. */
  protected narrow(from: number, to: number): boolean {
    if (!(from >= 1 && to <= 20000 && from * 1.2 <= to)) return false
    this.from = from
    this.to = to
    this.remember()
    return true
  }

  pin(name: string): void {
    if (!this.pinned.delete(name)) this.pinned.add(name)
  }

  toggle(name: string): void {
    if (this.hidden.has(name)) this.hidden.delete(name)
    else this.hidden.add(name)
    sessionStorage.setItem(`hidden ${this.name}`, JSON.stringify([...this.hidden]))
  }

  showAll(): void {
    this.solo = ''
    this.hidden.clear()
    sessionStorage.removeItem(`hidden ${this.name}`)
  }

  /** followNames keeps what is said of candidates with them where their names change. */
  protected followNames(was: string[] | undefined, now: Result): void {
    const names = now.candidates.map((c) => c.name)
    // another page of this browser may have seen more
    const looks = assigned(read(get(localStorage, `looks ${this.name}`) ?? this.looks), names, was && followed(was, names))
    if (!alike(looks, this.looks)) this.looks = looks
    put(localStorage, `looks ${this.name}`, looks)
    // of what another visit has hidden, only what is still there is known
    const to = was ? followed(was, names) : new Map([...this.hidden].map((n) => [n, names.includes(n) ? n : undefined]))
    if (rename(this.hidden, to)) sessionStorage.setItem(`hidden ${this.name}`, JSON.stringify([...this.hidden]))
    rename(this.pinned, to)
    if (to.has(this.solo)) this.solo = to.get(this.solo) ?? ''
    const yardstick = to.get(this.yardstick) ?? ''
    if (yardstick === this.yardstick || !to.has(this.yardstick)) return
    this.yardstick = yardstick
    this.remember()
  }

  protected remember(): void {
    const q = new URLSearchParams(location.search)
    const set = (k: string, v: string, standard: string) => (v === standard || v === '' ? q.delete(k) : q.set(k, v))
    set('y', this.yardstick, '')
    set('from', String(this.from), '10')
    set('to', String(this.to), '400')
    history.replaceState(history.state, '', location.pathname + (q.size > 0 ? `?${q}` : ''))
  }
}

const number = (text: string | null, standard: number): number => {
  const v = Number(text)
  return text && Number.isFinite(v) && v > 0 ? v : standard
}
