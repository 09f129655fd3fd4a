// One open study: what the server says of it, and what the person is doing to it.
// All physics is the server's. Requests while a number is dragged never queue: one
// is under way, the newest waits, what it overtook is dropped.
import { untrack } from 'svelte'
import { SvelteMap, SvelteSet } from 'svelte/reactivity'
import { followed, rename } from './follow'
import { api, Trouble, told, type Ask, type Candidate, type Change, type Clash, type Curves, type Field, type Finding, type Result, type Variant, type View } from '../lib/api'

export interface Seen {
  name: string
  index: number
  candidate: Candidate
}
/** A Draft is a text that is being written, and the revision that it began from. */
export interface Draft {
  text: string
  base: string
}
type Outcome = { data?: View; error?: unknown; response: Response }

/** How long an answer may take before the bar says that it is computing, ms. */
const late = 300
/** How many curves and drawings are kept. */
const mostKept = 300

export class StudyState {
  readonly name: string
  view = $state.raw<View>()
  good = $state.raw<View>()
  /** the last result with its mends and suggestions, which are not looked for while a number moves */
  whole = $state.raw<Result>()
  /** candidates that suggest themselves, and the variations of each: asked for once the curves stand */
  next = $state.raw<Variant[]>([])
  variants = $state.raw<ReadonlyMap<string, Variant[]>>(new Map())
  /** the last answer that lists the fields, as they are on disk */
  private full = $state.raw<View>()
  late = $state(false)
  lost = $state(false)
  gone = $state(false)
  problem = $state('')
  clash = $state.raw<Clash>()
  /** what is written in the text and not saved yet; it outlives the page */
  draft = $state.raw<Draft>()
  /** what the clash keeps from being saved */
  private refused: { changes?: Change[]; text?: string; label: string } | undefined

  yardstick = $state('')
  from = $state(10)
  to = $state(400)
  time = $state(false)
  cursor = $state(30)
  shown = $state<'values' | 'differences'>('values')
  hidden = new SvelteSet<string>()
  solo = $state('')
  /** stay shown beside whatever is shown alone, and stand first in the ledger */
  pinned = new SvelteSet<string>()
  dragging = $state(false)
  ghosts = $state.raw<Map<string, string>>(new Map())

  private kept = new SvelteMap<string, Curves>()
  private drawings = new Map<string, { section: string; wiring: string }>()
  /** of the last answer that listed them; a quick answer does not */
  private listed = $state.raw<Field[]>([])
  private byPath = $derived(new Map(this.listed.map((f) => [f.path, f])))
  private sent = 0
  private settled = 0
  private known = 0
  private underWay = false
  private waiting: Change[] | undefined
  /** changes of the file that are under way, and the end of the last */
  private writes = 0
  private written: Promise<void> = Promise.resolve()
  /** the revision that was told of while a change was under way */
  private heard = ''

  constructor(name: string) {
    this.name = name
    const q = new URLSearchParams(location.search)
    this.yardstick = q.get('y') ?? ''
    this.from = number(q.get('from'), 10)
    this.to = number(q.get('to'), 400)
    const draft = sessionStorage.getItem(`draft ${name}`)
    if (draft) this.draft = JSON.parse(draft) as Draft
    for (const n of JSON.parse(sessionStorage.getItem(`hidden ${name}`) ?? '[]') as string[]) this.hidden.add(n)
  }

  /** The last good state is shown, not the text as it stands. */
  get stale(): boolean {
    return !!this.view && this.view.faults.length > 0
  }

  get faults() {
    return this.view?.faults ?? []
  }

  /** The candidates that are drawn, in the order of the study. */
  get visible(): Seen[] {
    return this.all.filter((c) => this.pinned.has(c.name) || (this.solo ? c.name === this.solo : !this.hidden.has(c.name)))
  }

  get all(): Seen[] {
    return (this.good?.result?.candidates ?? []).map((candidate, index) => ({ name: candidate.name, index, candidate }))
  }

  field(path: string): Field | undefined {
    return this.byPath.get(path)
  }

  get fields(): Field[] {
    return this.listed
  }

  curves(name: string): Curves | undefined {
    const c = this.good?.result?.candidates.find((k) => k.name === name)
    return c && this.kept.get(c.curves_key)
  }

  drawing(name: string): { section: string; wiring: string } | undefined {
    const c = this.good?.result?.candidates.find((k) => k.name === name)
    return c && this.drawings.get(c.drawings_key)
  }

  /** The curve as it was before the drag, where it has moved. */
  ghostOf(name: string, key: keyof Curves): readonly (number | null)[] | undefined {
    const was = this.ghosts.get(name)
    const c = this.good?.result?.candidates.find((k) => k.name === name)
    if (!was || !c || c.curves_key === was) return undefined
    const curves = this.kept.get(was)
    return curves && (curves[key] as readonly (number | null)[])
  }

  // ---- asking

  /** What is asked with every request. Untracked: who asks need not ask again when an answer comes. */
  private get ask(): Ask {
    return untrack(() => ({ yardstick: this.yardstick, from: this.from, to: this.to, time: this.time, have: [...this.kept.keys(), ...this.drawings.keys()] }))
  }

  async load(): Promise<void> {
    await this.request(() => api.POST('/api/studies/{name}/view', { params: { path: { name: this.name } }, body: this.ask }))
  }

  /** try shows what changes would do, while they are being made. */
  try(changes: Change[]): void {
    if (!this.dragging) {
      this.dragging = true
      this.ghosts = new Map((this.good?.result?.candidates ?? []).map((c) => [c.name, c.curves_key]))
    }
    this.waiting = changes
    if (!this.underWay) void this.pump()
  }

  private async pump(): Promise<void> {
    this.underWay = true
    while (this.waiting) {
      const changes = this.waiting
      this.waiting = undefined
      await this.request(() => api.POST('/api/studies/{name}/try', { params: { path: { name: this.name } }, body: { ...this.ask, quick: true, base: this.view?.revision ?? '', changes } }), true)
    }
    this.underWay = false
  }

  /** check tells what would be wrong with changes; what is shown stays. */
  async check(changes: Change[]): Promise<Finding[]> {
    const path = changes[0]?.path ?? ''
    try {
      const { data, error, response } = await api.POST('/api/studies/{name}/try', { params: { path: { name: this.name } }, body: { ...this.ask, quick: true, base: this.full?.revision ?? '', changes } })
      if (!data) return [{ id: 'refused', severity: 'error', where: path, line: 0, column: 0, text: told(response.status, error).message, mend: '' }]
      const had = new Set((this.full?.faults ?? []).map((f) => f.where + f.text))
      return data.faults.filter((f) => !had.has(f.where + f.text))
    } catch {
      this.lost = true
      return [{ id: 'lost', severity: 'error', where: path, line: 0, column: 0, text: 'the server does not answer', mend: '' }]
    }
  }

  /** cancel drops what was tried. */
  cancel(): void {
    this.waiting = undefined
    this.dragging = false
    const disk = untrack(() => this.full)
    if (disk && this.lost) this.take(disk, true) // nobody is there to ask
    this.ghosts = new Map()
    void this.load()
  }

  /** write does one change of the file after another, and then hears what others changed meanwhile. */
  private write(ask: () => Promise<Outcome>): Promise<boolean> {
    this.writes++
    const turn = this.written.then(() => this.request(ask))
    this.written = turn.then(
      () => this.wrote(),
      () => this.wrote(),
    )
    return turn
  }
  /** A change of the file is under way. */
  get writing(): boolean {
    return this.writes > 0
  }
  /** settledDown waits until what is shown is what all changes so far came to. */
  async settledDown(): Promise<void> {
    await this.written
  }
  private wrote(): void {
    this.writes--
    if (this.writes > 0 || this.heard === '' || this.clash) return
    const heard = this.heard
    this.heard = ''
    if (heard !== this.full?.revision) void this.load()
  }

  /** commit saves changes; false if they could not be. */
  async commit(changes: Change[], label: string): Promise<boolean> {
    this.waiting = undefined
    this.dragging = false
    const ok = await this.write(() => api.POST('/api/studies/{name}/edit', { params: { path: { name: this.name } }, body: { ...this.ask, base: this.full?.revision ?? '', changes: changes.map((c) => this.withWas(c)), label } }))
    if (!ok && this.clash) this.refused = { changes, label }
    if (!ok) await this.load()
    this.ghosts = new Map()
    return ok
  }

  /** A change says what it replaces, so that it cannot overrule another's unseen. */
  private withWas(c: Change): Change {
    if (c.was !== undefined || (c.do !== 'set' && c.do !== 'remove')) return c
    const f = this.full?.fields.find((k) => k.path === c.path)
    return f ? { ...c, was: f.present ? f.text : '' } : c
  }

  /** setText saves a text that was made from the revision base: on another it is a clash. */
  async setText(text: string, label: string, base = this.full?.revision ?? ''): Promise<boolean> {
    const ok = await this.write(() => api.PUT('/api/studies/{name}/text', { params: { path: { name: this.name } }, body: { ...this.ask, base, text, label } }))
    if (!ok && this.clash) this.refused = { text, label }
    return ok
  }

  /** keepDraft keeps a text that is being written, and shows what it would do. */
  keepDraft(text: string): void {
    this.draft = { text, base: this.draft?.base ?? this.full?.revision ?? '' }
    sessionStorage.setItem(`draft ${this.name}`, JSON.stringify(this.draft))
  }

  async saveDraft(): Promise<boolean> {
    const d = this.draft
    if (!d) return true
    const ok = await this.setText(d.text, 'edited as text', d.base)
    // a clash keeps it too: it is shown there as mine
    if (ok || this.clash) this.forgetDraft()
    return ok
  }

  dropDraft(): void {
    this.forgetDraft()
    this.cancel()
  }

  private forgetDraft(): void {
    this.draft = undefined
    sessionStorage.removeItem(`draft ${this.name}`)
  }

  async tryText(text: string): Promise<void> {
    this.dragging = true
    await this.request(() => api.POST('/api/studies/{name}/text', { params: { path: { name: this.name } }, body: { ...this.ask, base: this.full?.revision ?? '', text } }), true)
  }

  async undo(): Promise<void> {
    await this.travel('/api/studies/{name}/undo')
  }

  async redo(): Promise<void> {
    await this.travel('/api/studies/{name}/redo')
  }

  /** restore takes back an earlier state of the history. */
  async restore(id: number): Promise<boolean> {
    return await this.write(() => api.POST('/api/studies/{name}/restore', { params: { path: { name: this.name } }, body: { ...this.ask, base: this.full?.revision ?? '', id } }))
  }

  private async travel(path: '/api/studies/{name}/undo' | '/api/studies/{name}/redo'): Promise<void> {
    await this.write(() => api.POST(path, { params: { path: { name: this.name } }, body: { ...this.ask, base: this.full?.revision ?? '' } }))
  }

  /** keepMine writes the person's version over the one on disk, which stays in the history. */
  async keepMine(): Promise<boolean> {
    const c = this.clash
    if (!c) return false
    this.clash = undefined
    return await this.setText(c.yours, this.refused?.label ?? 'kept over a change from outside', c.base)
  }

  /** keepTheirs shows what is on disk. */
  async keepTheirs(): Promise<void> {
    this.clash = undefined
    this.refused = undefined
    await this.load()
  }

  // ---- answers

  /** request asks and takes the answer, unless a later one was taken meanwhile. */
  private async request(ask: () => Promise<Outcome>, passing = false): Promise<boolean> {
    const turn = ++this.sent
    const slow = setTimeout(() => (this.late = true), late)
    const begun = performance.now()
    try {
      const { data, error, response } = await ask()
      this.lost = false
      if (!data) throw told(response.status, error)
      if (!passing && turn > this.known) {
        // what is on disk counts also where something newer is shown already
        this.known = turn
        if (data.fields.length > 0) this.full = data
      }
      if (turn < this.settled) return true
      this.settled = turn
      if (passing && !this.dragging && turn < this.sent) return true
      this.take(data, passing)
      this.problem = ''
      performance.measure('bw-answer', { start: begun, detail: data.took_ms })
      return true
    } catch (e) {
      this.fail(e)
      return false
    } finally {
      clearTimeout(slow)
      if (turn === this.sent) this.late = false
    }
  }

  private take(v: View, passing: boolean): void {
    // a quick answer leaves out the account of what did not move
    const before = new Map((this.good?.result?.candidates ?? []).map((c) => [c.curves_key, c]))
    for (const c of v.result?.candidates ?? []) {
      const same = passing ? before.get(c.curves_key) : undefined
      if (same && c.steps.length === 0) Object.assign(c, { steps: same.steps, words: same.words, findings: same.findings })
      if (c.curves) this.kept.set(c.curves_key, c.curves)
      if (c.section) this.drawings.set(c.drawings_key, { section: c.section, wiring: c.wiring ?? '' })
    }
    if (v.result && !passing) this.followNames(v.result)
    this.view = v
    if (v.fields.length > 0) this.listed = v.fields
    if (v.result) this.good = v
    if (v.result && !passing) {
      this.whole = v.result
      clearTimeout(this.later)
      this.later = setTimeout(() => void this.suggest(v.revision), 300)
    }
    this.forget()
  }

  /** followNames keeps what is said of candidates with them where their names change. */
  private followNames(now: Result): void {
    const was = untrack(() => this.whole?.candidates.map((c) => c.name))
    const names = now.candidates.map((c) => c.name)
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

  private later: ReturnType<typeof setTimeout> | undefined
  /** suggest asks what else could be tried with the study as it is; late or failed answers are no loss. */
  private async suggest(revision: string): Promise<void> {
    try {
      const { data } = await api.POST('/api/studies/{name}/view', { params: { path: { name: this.name } }, body: { ...this.ask, suggest: true } })
      if (!data?.result || data.revision !== revision || this.full?.revision !== revision) return
      this.next = data.result.next
      this.variants = new Map(data.result.candidates.map((c) => [c.name, c.variants]))
    } catch {
      // the next answer asks again
    }
  }

  /** forget drops what is neither shown nor a ghost, the oldest first. */
  private forget(): void {
    const used = new Set([...(this.good?.result?.candidates ?? []).flatMap((c) => [c.curves_key, c.drawings_key]), ...this.ghosts.values()])
    for (const map of [this.kept, this.drawings] as Map<string, unknown>[])
      for (const key of map.keys()) {
        if (map.size <= mostKept) break
        if (!used.has(key)) map.delete(key)
      }
  }

  private fail(e: unknown): void {
    if (e instanceof Trouble && e.status === 409 && e.body && typeof e.body === 'object' && 'theirs' in e.body) this.clash = e.body as Clash
    else if (e instanceof Trouble) {
      this.problem = e.message
      this.gone = e.status === 404
    } else {
      this.lost = true
    }
  }

  // ---- the file on disk

  /** follow keeps the study as it is on disk; what it returns ends that. */
  follow(): () => void {
    const source = new EventSource('/api/events')
    source.addEventListener('hello', () => {
      const again = this.lost
      this.lost = false
      if (again) void this.load()
    })
    source.addEventListener('error', () => (this.lost = true))
    source.addEventListener('change', (m) => {
      const e = JSON.parse((m as MessageEvent<string>).data) as { name: string; revision: string; gone: boolean }
      if (e.name !== this.name) return
      this.gone = e.gone
      if (e.gone || e.revision === this.full?.revision) return
      if (this.writes > 0 || this.dragging) this.heard = e.revision
      else void this.load()
    })
    return () => source.close()
  }

  // ---- what is shown

  setYardstick(name: string): void {
    this.yardstick = name
    this.remember()
    void this.load()
  }

  /** setRange is false where such a range cannot be shown. */
  setRange(from: number, to: number): boolean {
    if (!(from >= 1 && to <= 20000 && from * 1.2 <= to)) return false
    this.from = from
    this.to = to
    this.remember()
    void this.load()
    return true
  }

  setTime(on: boolean): void {
    if (on === this.time) return
    this.time = on
    if (on) void this.load()
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

  private remember(): void {
    const q = new URLSearchParams(location.search)
    const set = (k: string, v: string, standard: string) => (v === standard || v === '' ? q.delete(k) : q.set(k, v))
    set('y', this.yardstick, '')
    set('from', String(this.from), '10')
    set('to', String(this.to), '400')
    history.replaceState(history.state, '', location.pathname + (q.size > 0 ? `?${q}` : ''))
  }

  /** painted is called when a strip has drawn; for measuring. */
  painted = (): void => {
    performance.mark('bw-painted')
  }
}

const number = (text: string | null, standard: number): number => {
  const v = Number(text)
  return text && Number.isFinite(v) && v > 0 ? v : standard
}
