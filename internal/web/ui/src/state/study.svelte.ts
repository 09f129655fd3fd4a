// One open study: what the server says of it, and what the person is doing to it.
// All physics is the server's. Requests while a number is dragged never queue: one
// is under way, the newest waits, what it overtook is dropped.
import { untrack } from 'svelte'
import { SvelteMap } from 'svelte/reactivity'
import { listen } from '../lib/stream'
import { bare } from './bare'
import { Loose } from './loose'
import { Drafting } from './drafting.svelte'
import { get, putMet, type Met, type Refused } from './kept'
import { alike, fault, stands } from './refused'
import { Shown } from './shown.svelte'
import { insist } from '../lib/busy'
import { Held } from '../lib/held'
import { opening } from '../lib/opening'
import { share } from '../lib/share'
import { Tries, type Outcome } from '../lib/tries'
import { api, got, Trouble, told, type Ask, type Candidate, type Cellmark, type Change, type Clash, type Composed, type Course, type Driver, type Field, type Finding, type Result, type Remark, type Variant, type View } from '../lib/api'
import { drawn, type Drawn, type Points } from '../lib/curves'

export interface Seen {
  name: string
  index: number
  /** which colour and dash it has */
  look: number
  candidate: Candidate
}
export interface Drawing {
  section: string
  course: Course | undefined
  told: Remark[]
}

/** How long an answer may take before the bar says that it is computing, ms. */
const late = 300
/** How many curves are kept, and how many of whatever else comes under keys. */
const mostKept = 300
/** How many of these a request may name: the server's bound (web/anew.go). */
export const mostHave = 322

export class StudyState extends Shown {
  view = $state.raw<View>()
  good = $state.raw<View & { result?: Composed }>()
  /** the last result with its mends and suggestions, which are not looked for while a number moves */
  whole = $state.raw<Composed>()
  /** the space as last drawn: also that of a study that has no candidate yet */
  space = $state('')
  /** candidates that suggest themselves, and the variations of each: asked for once the curves stand */
  next = $state.raw<Variant[]>([])
  variants = $state.raw<ReadonlyMap<string, Variant[]>>(new Map())
  /** the revision that they are of: those of another would put back what has changed since */
  private suggested = $state('')
  get fresh(): boolean {
    return this.suggested === this.view?.revision
  }
  /** the last answer on what is on disk, and the last one that lists its fields: a text
   * that cannot be read has none. Nothing is drawn from them, so they are no state. */
  private disk: View | undefined
  private full: View | undefined
  late = $state(false)
  lost = $state(false)
  /** why changes of the file are not told, in the server's words */
  deaf = $state('')
  /** the state of the history with another program's edit that a save came before; 0: none */
  overtaken = $state(0)
  gone = $state(false)
  problem = $state('')
  /** what was not saved, and why: it stays until the person has read it */
  refusal = $state.raw<{ label: string; reason: string }>()
  /** nothing was saved since that was refused */
  unkept = $state(false)
  private refusalOf: Refused | undefined
  /** an edit that met another; it outlives the page until the person has chosen */
  clash = $state.raw<Clash>()
  /** what is written in the text and not saved yet */
  readonly drafting: Drafting
  /** what the clash keeps from being saved */
  refused: Refused | undefined
  private choosing = false
  /** the browser had room to keep the clash */
  private metKept = true
  /** a text is being tried: what is on disk is not shown */
  private texting = false
  readonly loose = new Loose()
  private readonly tries: Tries

  dragging = $state(false)
  ghosts = $state.raw<Map<string, string>>(new Map())

  private kept = new SvelteMap<string, Drawn>()
  private drawings = new Map<string, Drawing>()
  private wirings = new Map<string, string>()
  private held = new Held()
  /** all that is kept under keys */
  private readonly stores = [this.kept, this.drawings, this.wirings, ...this.held.maps] as readonly Map<string, unknown>[]
  /** of the last answer that listed them; a quick answer does not */
  private listed = $state.raw<Field[]>([])
  /** the values as they were written when what is shown was computed */
  private computed = $state.raw<ReadonlyMap<string, string>>(new Map())
  /** the faults of the file were there before its last change */
  inherited = $state(false)
  private byPath = $derived(new Map(this.listed.map((f) => [f.path, f])))
  private sent = 0
  private settled = 0
  private lasting = new Set<number>()
  private known = 0
  private underWay = false
  private waiting: (() => Promise<Outcome>) | undefined
  /** changes of the file that are under way, and the end of the last */
  private writes = 0
  /** there are any */
  writing = $state(false)
  private written: Promise<void> = Promise.resolve()
  /** the revision that was told of while a change was under way */
  private heard = ''

  constructor(name: string) {
    super(name)
    this.drafting = new Drafting(name)
    this.tries = new Tries(name)
    const met = get<Met>(sessionStorage, `clash ${name}`)
    this.clash = met?.clash
    this.refused = met?.refused
  }

  /** The last good state is shown, not the text as it stands. */
  get stale(): boolean {
    return !!this.view && this.view.faults.length > 0
  }

  /** It only lacks what it has not been given yet: there is nothing to mend, and nothing to show. */
  get bare(): boolean {
    return !!this.view && bare(this.view)
  }

  /** The woofers whose sheets are sound, also before the first candidate or where another part has a fault. */
  get drivers(): Driver[] {
    const alone = this.view && !this.view.result ? this.view.drivers : []
    return alone.length > 0 ? alone : (this.good?.result?.drivers ?? [])
  }

  get faults() {
    return this.view?.faults ?? []
  }

  /** The candidates that are drawn, in the order of the study. */
  get visible(): Seen[] {
    return this.all.filter((c) => this.shows(c.name))
  }

  get all(): Seen[] {
    return (this.good?.result?.candidates ?? []).map((candidate, index) => ({ name: candidate.name, index, look: this.lookOf(candidate.name, index), candidate }))
  }

  field(path: string): Field | undefined {
    return this.byPath.get(path)
  }

  /** What is shown was computed from another value than the file has by now. */
  outdated(path: string): boolean {
    if (!this.stale) return false
    const f = this.field(path)
    return !!f && this.computed.get(path) !== (f.present ? f.text : '')
  }

  get fields(): Field[] {
    return this.listed
  }

  curves(name: string): Drawn | undefined {
    const c = this.good?.result?.candidates.find((k) => k.name === name)
    return c && this.kept.get(c.curves_key)
  }

  wiring(name: string): string {
    const c = this.good?.result?.candidates.find((k) => k.name === name)
    return (c && this.wirings.get(c.wiring_key)) ?? ''
  }

  drawing(name: string): Drawing | undefined {
    const c = this.good?.result?.candidates.find((k) => k.name === name)
    return c && this.drawings.get(c.drawings_key)
  }

  /** The curve as it was before the drag, where it has moved. */
  ghostOf(name: string, key: keyof Drawn): Points | undefined {
    const was = this.ghosts.get(name)
    const c = this.good?.result?.candidates.find((k) => k.name === name)
    if (!was || !c || c.curves_key === was) return undefined
    const curves = this.kept.get(was)
    return curves?.[key]
  }

  // ---- asking

  /** What is asked with every request. Untracked: who asks need not ask again when an answer comes. */
  private get ask(): Ask {
    return untrack(() => ({ yardstick: this.yardstick, from: this.from, to: this.to, time: this.time, ...(this.open && { open: this.open }), have: this.have }))
  }

  /** What is shown or was before the drag, and is here: what else is kept may be asked for again. */
  private get have(): string[] {
    return [...this.used].filter((k) => this.stores.some((s) => s.has(k))).slice(0, mostHave)
  }
  private get used(): Set<string> {
    return new Set([...this.keysOf(this.good?.result), ...this.ghosts.values()])
  }
  private keysOf(r: Result | null | undefined): string[] {
    return r ? [r.heads_key, r.frequency_key, ...r.candidates.flatMap((c) => [c.curves_key, c.drawings_key, c.wiring_key, c.cells_key])] : []
  }

  async load(): Promise<void> {
    const ask = { params: { path: { name: this.name } }, body: this.ask }
    await this.request(() => opening(this.name) ?? api.POST('/api/studies/{name}/view', ask))
  }

  /** unfold opens a cell of the ledger, or none. */
  unfold(cell: Cellmark | undefined): void {
    this.open = cell
    if (cell && !this.dragging) void this.written.then(() => this.load())
  }

  /** try shows what changes would do, while they are being made. */
  try(changes: Change[]): void {
    if (!this.dragging) {
      this.dragging = true
      this.giveUp()
      this.ghosts = new Map((this.good?.result?.candidates ?? []).map((c) => [c.name, c.curves_key]))
    }
    void this.pump(() => this.tries.ask({ ...this.ask, quick: true, changes }))
  }

  private async pump(ask: () => Promise<Outcome>): Promise<void> {
    this.waiting = ask
    if (this.underWay) return
    this.underWay = true
    while (this.waiting) {
      const next = this.waiting
      this.waiting = undefined
      await this.request(next, { passing: true })
    }
    this.underWay = false
  }

  /** check tells what would be wrong with changes; what is shown stays. */
  async check(changes: Change[]): Promise<Finding[]> {
    const path = changes[0]?.path ?? ''
    try {
      const { data, error, response } = await api.POST('/api/studies/{name}/try', { params: { path: { name: this.name } }, body: { ...this.ask, quick: true, changes } })
      if (!data) return [{ id: 'refused', severity: 'error', where: path, line: 0, column: 0, text: told(response.status, error).message, mend: '' }]
      const had = new Set((this.disk?.faults ?? []).map(fault))
      return data.faults.filter((f) => !had.has(fault(f)))
    } catch {
      this.lost = true
      return [{ id: 'lost', severity: 'error', where: path, line: 0, column: 0, text: 'the server does not answer', mend: '' }]
    }
  }

  /** cancel drops what was tried. */
  cancel(): Promise<void> {
    this.waiting = undefined
    this.dragging = this.texting = false
    const disk = untrack(() => this.full)
    if (disk && this.lost) this.take(disk, true) // nobody is there to ask
    this.ghosts = new Map()
    return this.load()
  }

  /** write does one change of the file after another, and then hears what others changed meanwhile. */
  private write(what: Refused, ask: () => Promise<Outcome>): Promise<boolean> {
    this.writes++
    this.writing = true
    const turn = this.written.then(() => this.request(ask, { what }))
    this.written = turn.then(
      () => this.wrote(),
      () => this.wrote(),
    )
    return turn
  }
  /** inTurn does what depends on what is shown, once that is what all changes so far came to: also those that waited as this does. */
  async inTurn<T>(act: () => Promise<T>): Promise<T> {
    for (;;) {
      const written = this.written
      await written
      if (written === this.written) return await act()
    }
  }
  private wrote(): void {
    this.writes--
    this.writing = this.writes > 0
    this.listen()
  }
  private listen(): void {
    if (this.writes > 0 || this.heard === '' || this.clash) return
    const heard = this.heard
    this.heard = ''
    if (heard !== this.disk?.revision) void this.load()
  }
  /** The revision on disk as it was last told. */
  private get base(): string {
    return this.disk?.revision ?? ''
  }

  // ---- what is not saved yet

  /** Leaving now would lose something. */
  get unsaved(): boolean {
    return this.writes > 0 || this.loose.half || !this.drafting.kept || !this.metKept
  }

  /** commit saves changes; false if they could not be. parting: the page may be gone before the answer. */
  async commit(changes: Change[], label: string, parting = false): Promise<boolean> {
    this.waiting = undefined
    this.dragging = this.texting = false
    const ok = await this.write({ changes, label }, () =>
      api.POST('/api/studies/{name}/edit', { params: { path: { name: this.name } }, body: { ...this.ask, base: this.base, changes: changes.map((c) => this.withWas(c)), label }, keepalive: parting }),
    )
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
  setText(text: string, label: string, base = this.base): Promise<boolean> {
    return this.putText(base, { text, label })
  }

  /** What the person was told is gone is written anew. */
  private putText(base: string, what: Refused & { text: string }): Promise<boolean> {
    return this.write(what, () => api.PUT('/api/studies/{name}/text', { params: { path: { name: this.name } }, body: { ...this.ask, base, text: what.text, label: what.label, ...(this.gone ? { anew: true } : {}) } }))
  }

  get draft() {
    return this.drafting.draft
  }
  get left() {
    return this.drafting.left
  }

  /** keepDraft keeps a text that is being written. */
  keepDraft(text: string): void {
    this.drafting.keep(text, { text: this.disk?.text ?? '', revision: this.base })
  }

  /** saveDraft saves it; what the file holds otherwise by then is joined first. */
  async saveDraft(): Promise<boolean> {
    this.waiting = undefined
    this.dragging = this.texting = false
    const tries = 5 // a program that keeps writing
    for (let k = 0; k < tries; k++) {
      const d = this.draft
      if (!d) return true
      if (this.drafting.meetings.length > 0) {
        this.refuse({ label: 'edited as text', draft: true }, 'the file has some of its lines otherwise by now; choose which to keep')
        return false
      }
      this.drafting.saves(d.text)
      const ok = await this.putText(d.base, { text: d.text, label: 'edited as text', draft: true })
      this.drafting.saves(undefined)
      if (ok || this.draft?.base === d.base) return ok
    }
    this.refuse({ label: 'edited as text', draft: true }, 'another program keeps writing the file')
    return false
  }

  dropDraft(): void {
    this.drafting.forget()
    void this.cancel()
  }

  takeLeft(): void {
    if (this.drafting.takeLeft(this.disk)) void this.keepInHistory()
  }
  dropLeft(): void {
    this.drafting.dropLeft()
  }

  tryText(text: string): void {
    this.dragging = this.texting = true
    void this.pump(() => api.POST('/api/studies/{name}/text', { params: { path: { name: this.name } }, body: { ...this.ask, text } }))
  }

  /** joinDisk joins what is on disk to what is being written, and tells whether that meets lines of it. */
  private joinDisk(disk: { text: string; revision: string }, own = ''): void {
    const was = this.draft?.text ?? ''
    if (this.drafting.meets(disk, own)) void this.keepInHistory(was)
  }
  /** keepInHistory sees that what met another change is kept, whatever the person chooses. */
  private async keepInHistory(text = this.draft?.text ?? ''): Promise<void> {
    try {
      const { data } = await api.POST('/api/studies/{name}/keep', { params: { path: { name: this.name } }, body: { text, label: 'edited as text' } })
      this.drafting.inHistory = !!data
    } catch {
      this.drafting.inHistory = false // which the panel then does not say
    }
  }

  async undo(): Promise<void> {
    await this.travel('undo', '/api/studies/{name}/undo')
  }

  async redo(): Promise<void> {
    await this.travel('redo', '/api/studies/{name}/redo')
  }

  /** restore takes back an earlier state of the history. */
  async restore(id: number): Promise<boolean> {
    await this.loose.arrived()
    const ok = await this.write({ label: 'an earlier version taken back' }, () => api.POST('/api/studies/{name}/restore', { params: { path: { name: this.name } }, body: { ...this.ask, base: this.base, id, ...(this.gone ? { anew: true } : {}) } }))
    if (!ok) await this.load()
    return ok
  }

  /** anew writes the file that is gone as it was last seen. */
  async anew(): Promise<boolean> {
    return !!this.disk && (await this.putText(this.base, { text: this.disk.text, label: 'written anew' }))
  }

  private async travel(label: string, path: '/api/studies/{name}/undo' | '/api/studies/{name}/redo'): Promise<void> {
    // it is for what is being typed; where that came to nothing, nothing else is taken back
    const met = this.clash
    if (this.loose.any && (!(await this.loose.arrived()) || this.clash !== met)) return
    await this.write({ label }, () => api.POST(path, { params: { path: { name: this.name } }, body: { ...this.ask, base: this.base } }))
  }

  /** refuse tells what was not saved, and why. */
  refuse(what: Refused, reason: string): void {
    this.refusal = { label: what.label, reason }
    this.refusalOf = what
    this.unkept = true
  }

  /** heed ends what is told as not saved. */
  heed(): void {
    this.refusal = this.refusalOf = undefined
    this.unkept = false
  }

  /** compare ends what is told as not saved where it was saved after all: the file has
   * it, or the same was changed again; and it learns whether faults are older than the last change. */
  private compare(was: View | undefined, is: View, saved?: Refused): void {
    if (this.refusalOf && (stands(this.refusalOf, is) || (saved && alike(this.refusalOf, saved)))) this.heed()
    else if (saved) this.unkept = false
    if (was?.revision === is.revision) return
    const had = new Set((was?.faults ?? []).map(fault))
    this.inherited = had.size > 0 && is.faults.every((f) => had.has(fault(f)))
  }

  /** meet shows an edit that met another, or ends that. */
  private meet(clash: Clash | undefined, refused?: Refused): void {
    this.clash = clash
    this.refused = refused
    this.metKept = putMet(this.name, clash && { clash, refused })
  }

  /** keepMine writes the person's version over the one on disk, which stays in the history.
   * Until it is written, both stay with the person. */
  async keepMine(): Promise<boolean> {
    const c = this.clash
    if (!c || this.choosing) return false
    this.choosing = true
    const mine: Refused & { text: string } = { label: 'kept over a change from outside', ...this.refused, text: c.yours }
    const ok = await this.putText(c.base, mine)
    this.choosing = false
    if (!ok) return false
    this.meet(undefined)
    this.listen()
    return true
  }

  /** keepTheirs shows what is on disk. */
  async keepTheirs(): Promise<void> {
    // what was written on since then was never refused
    if (this.refused?.draft && this.draft?.text === this.clash?.yours) this.drafting.forget()
    this.meet(undefined)
    this.heard = ''
    await this.load()
  }

  // ---- answers

  /** request asks and takes the answer, unless a later one was taken meanwhile. */
  private async request(ask: () => Outcome | Promise<Outcome>, { passing = false, unseen = false, what }: { passing?: boolean; unseen?: boolean; what?: Refused } = {}): Promise<boolean> {
    const turn = ++this.sent
    const gone = this.gone
    const slow = setTimeout(() => this.waits(turn, true), late)
    const begun = performance.now()
    try {
      const { data, error, response } = await ask()
      this.lost = false
      if (!data) throw told(response.status, error)
      if (!passing && turn > this.known) {
        // what is on disk counts also where something newer is shown already
        this.known = turn
        this.compare(this.disk, data, what)
        this.disk = data
        if (data.fields.length > 0) {
          this.full = data
          this.listed = data.fields // who changes a value again says what it replaces by them
        }
        if (what?.draft && what.text !== undefined) this.drafting.saved(what.text, data)
        else this.joinDisk(data, what?.label)
      }
      if (gone) this.gone = false // it was asked for after it had gone
      if (unseen) return true
      if (turn < this.settled) return true
      this.settled = turn
      if (passing && !this.dragging && turn < this.sent) return true
      this.take(data, passing)
      this.problem = ''
      performance.measure('bw-answer', { start: begun, detail: response.headers?.get('Server-Timing') })
      return true
    } catch (e) {
      this.fail(e, what)
      return false
    } finally {
      clearTimeout(slow)
      this.waits(turn, false)
    }
  }
  /** waits notes whether a request lasts; one whose answer would be dropped does not count. */
  private waits(turn: number, lasts: boolean): void {
    if (lasts) this.lasting.add(turn)
    else this.lasting.delete(turn)
    this.late = [...this.lasting].some((t) => t >= this.settled)
  }

  private take(v: View, passing: boolean): void {
    // a quick answer leaves out the account of what moves
    const before = new Map((this.good?.result?.candidates ?? []).map((c) => [c.name, c]))
    for (const c of v.result?.candidates ?? []) {
      const was = before.get(c.name)
      const same = passing ? was : undefined
      if (same) Object.assign(c, { steps: same.steps, words: same.words })
      if (c.curves) this.kept.set(c.curves_key, drawn(c.curves, was && this.kept.get(was.curves_key)))
      if (c.section) this.drawings.set(c.drawings_key, { section: c.section, course: c.course, told: c.told ?? [] })
      if (c.wiring) this.wirings.set(c.wiring_key, c.wiring)
      for (const k of ['curves', 'section', 'course', 'told', 'wiring'] as const) delete c[k] // kept above, under their keys
    }
    const result = v.result && share(this.good?.result, this.held.composed(v.result))
    if (result && !passing) this.followNames(untrack(() => this.whole?.candidates.map((c) => c.name)), result)
    this.view = v
    if (v.fields.length > 0) this.listed = v.fields
    if (v.fields.length > 0 && !passing) this.space = v.space
    if (result) this.good = Object.assign(v, { result })
    else if (bare(v)) this.clear() // what was there before is no last good state of a study that has nothing
    if (result && !passing) {
      this.computed = new Map(v.fields.map((f) => [f.path, f.present ? f.text : '']))
      this.whole = result
      this.sized = new Set()
      this.giveUp()
      this.later = setTimeout(() => void this.suggest(v.revision), 300)
    }
    this.forget()
  }

  /** clear leaves nothing of a study that had candidates. */
  private clear(): void {
    clearTimeout(this.later)
    this.good = this.whole = undefined
    this.next = []
    this.variants = this.computed = new Map()
    this.ghosts = new Map()
  }

  /** whose box of every kind is wanted: to size ducts takes long, so it is done for one at a time */
  private wanted = $state('')
  /** for whom that was done, with the study as it is */
  private sized = $state.raw<ReadonlySet<string>>(new Set())
  /** sizing says whether the enclosures with a duct that a candidate could have are still on their way. */
  sizing(name: string): boolean {
    return this.wanted === name && !this.sized.has(name)
  }
  /** size asks for them, unless they are there or on their way. */
  size(name: string): void {
    untrack(() => {
      if (this.wanted === name || this.sized.has(name)) return
      this.wanted = name
      void this.suggest(this.base)
    })
  }

  private later: ReturnType<typeof setTimeout> | undefined
  /** that of what is asked about the study as it is, given up once that has changed */
  private current = new AbortController()
  /** giveUp asks no more about the study as it was: it has changed, or is about to, and a number that moves waits for nothing. Once it rests that is asked anew. */
  private giveUp(): void {
    this.current.abort()
    this.current = new AbortController()
    clearTimeout(this.later)
  }
  /** suggest asks what else could be tried with the study as it is, of a busy server again; late answers are no loss. */
  private async suggest(revision: string): Promise<void> {
    const kinds = untrack(() => this.wanted)
    const { signal } = this.current
    const body: Ask = { ...this.ask, suggest: true, ...(kinds ? { kinds } : {}) }
    try {
      const data = await insist(() => got(api.POST('/api/studies/{name}/view', { params: { path: { name: this.name } }, body, signal })), () => undefined, signal)
      if (!data.result || data.revision !== revision || this.base !== revision) return
      this.next = data.result.next
      this.suggested = revision
      this.variants = new Map(data.result.candidates.map((c) => [c.name, c.name !== kinds && this.sized.has(c.name) ? (this.variants.get(c.name) ?? []) : c.variants]))
      this.sized = new Set([...this.sized, kinds])
    } catch {
      if (!signal.aborted && this.wanted === kinds) this.wanted = '' // nothing is on its way, and who looks again asks again
    }
  }

  /** forget drops what is neither shown nor a ghost, the oldest first. */
  private forget(): void {
    const used = new Set([...this.used, ...this.keysOf(this.full?.result)]) // which may be shown again with nobody to ask
    for (const map of this.stores)
      for (const key of map.keys()) {
        if (map.size <= mostKept) break
        if (!used.has(key)) map.delete(key)
      }
  }

  /** fail says what kept a request from being answered; what is given for a change of the file. */
  private fail(e: unknown, what?: Refused): void {
    if (e instanceof Trouble && e.status === 409 && e.body && typeof e.body === 'object' && 'theirs' in e.body) {
      const c = e.body as Clash
      if (what?.draft && this.draft?.from !== undefined) this.joinDisk({ text: c.theirs, revision: c.base })
      else if (c.yours || !this.clash?.yours) this.meet(c, what) // an undo that meets another holds nothing of the person's
    } else if (e instanceof Trouble) {
      if (e.status === 404) this.gone = true
      if (what) this.refuse(what, e.message)
      else if (!this.gone) this.problem = e.message
    } else {
      this.lost = true
      if (what) this.refuse(what, 'the server gave no answer; look whether it was saved when it is back')
    }
  }

  // ---- the file on disk

  /** follow keeps the study as it is on disk; what it returns ends that. */
  follow(): () => void {
    return listen({
      hello: () => {
        this.lost = false
        this.deaf = ''
        this.look('anything')
      },
      away: (why) => {
        this.deaf = why
        this.lost = why === '' // who refuses is there
      },
      change: (e) => {
        if (e.name !== this.name) return
        this.gone = e.gone
        if (e.overtaken > 0) this.overtaken = e.overtaken
        // the answer to what is being written may be older than this: what it then says is held against it
        if (this.writes > 0) this.heard = e.gone ? 'gone' : e.revision
        else if (!e.gone && e.revision !== this.base) this.look(e.revision)
      },
    })
  }
  /** look sees what is on disk, once nothing is under way. */
  private look(revision: string): void {
    if (this.writes > 0 || (this.dragging && !this.texting)) this.heard = revision
    else void (this.texting ? this.learn() : this.load())
  }
  /** learn sees what is on disk while a text is tried, which stays shown. */
  private async learn(): Promise<void> {
    await this.request(() => api.POST('/api/studies/{name}/view', { params: { path: { name: this.name } }, body: this.ask }), { unseen: true })
  }

  // ---- what is shown

  setYardstick(name: string): void {
    this.yardstick = name
    this.remember()
    void this.load()
  }

  /** setRange is false where such a range cannot be shown. */
  setRange(from: number, to: number): boolean {
    if (!this.narrow(from, to)) return false
    void this.load()
    return true
  }

  setTime(on: boolean): void {
    if (on === this.time) return
    this.time = on
    if (on) void this.load()
  }

  /** How many parts of the loadings have been on the screen, one after the other, from the top. */
  partsSeen = $state(0)

  /** painted is called when a strip has drawn; for measuring. */
  painted = (): void => {
    performance.mark('bw-painted')
  }
}
