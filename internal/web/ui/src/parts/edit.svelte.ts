// What it takes to change one value, however it is changed.
import type { Change, Field, Finding } from '../lib/api'
import type { Held } from '../state/loose'
import { headed, type Heading } from './unit'
import type { StudyState } from '../state/study.svelte'

interface Of {
  study: StudyState
  path: string
  label: string
  row?: Heading | undefined
}

/** How long a faulty value's fault stays readable after it was let go, ms. */
const readable = 6000

export class Changing {
  typing = $state(false)
  /** what the typed text begins with */
  start = $state('')
  faults = $state.raw<Finding[]>([])
  /** where the focus goes when the input is gone */
  back = false
  private seen: string | undefined
  private of: () => Of
  /** what the person acts on: the page may have been left when an answer comes, and tells it no more then */
  private acted: Of | undefined
  private fade: ReturnType<typeof setTimeout> | undefined

  constructor(of: () => Of) {
    this.of = of
  }

  get field(): Field | undefined {
    const { study, path } = this.of()
    return study.field(path)
  }

  change(value: string): Change[] {
    return [{ do: 'set', path: this.of().path, value }]
  }

  /** A number alone has the unit that is shown there: the row's, or as it is written or usual. */
  whole(value: string): string {
    const text = value.trim()
    const f = this.field && headed(this.field, this.of().row)
    return f?.unit && /^[+-]?[\d.,]+$/.test(text) ? `${text} ${f.unit}` : text
  }

  /** begin remembers what the person saw before: what came from elsewhere since is not overruled unseen. */
  begin(): void {
    const f = this.field
    this.acted = this.of()
    if (this.acted.study.writing) return // what is shown is about to change by the person's own hand
    this.seen ??= f?.present ? f.text : ''
  }

  type(start: string): void {
    this.begin()
    this.faults = []
    this.start = start
    this.typing = true
  }

  /** The last answer that was taken: another means that what was tried can be seen. */
  get answer(): unknown {
    return this.of().study.view
  }

  try(value: string): void {
    this.of().study.try(this.change(value))
  }

  /** sound asks whether a value can stand; if not, its faults are shown. */
  async sound(value: string): Promise<boolean> {
    clearTimeout(this.fade)
    this.tell(value.trim() === '' ? [] : await this.of().study.check(this.change(this.whole(value))))
    return this.faults.length === 0
  }

  /** holds is told of a value that stands changed and is not saved; what it returns ends that. */
  holds(h: Held): () => void {
    return this.of().study.loose.holds(h)
  }

  /** parting is how to save a value that was seen to stand, from where nothing of this is here any more. */
  parting(value: string): () => void {
    const { study, path, label } = this.of()
    const was = this.seen
    return () => void study.commit([{ do: 'set', path, value, ...(was === undefined ? {} : { was }) }], `${label}: ${value}`, true)
  }

  /** untaken drops a value that was let go and cannot stand, and says so where its place cannot: it may be gone. */
  async untaken(value: string): Promise<void> {
    const { study, path, label } = this.acted ?? this.of()
    const what = { label: `${label}: ${value}`, changes: [{ do: 'set', path, value } as const] }
    const why = this.faults.find((f) => f.id === 'refused')
    this.seen = undefined
    this.fading()
    await study.cancel()
    if (why) study.refuse(what, why.text)
    else if (!study.field(path)?.present) study.refuse(what, 'its place is no longer in the study, which was changed elsewhere')
  }

  /** lost drops a typed value that cannot stand and whose page was left, and says so. */
  async lost(value: string): Promise<void> {
    const { study, path, label } = this.acted ?? this.of()
    const what = { label: `${label}: ${value}`, changes: [{ do: 'set', path, value } as const] }
    const why = this.faults[0]?.text ?? 'its place is no longer in the study, which was changed elsewhere'
    this.seen = undefined
    await study.cancel()
    study.refuse(what, why)
  }

  /** tell shows what is wrong with a value: for a while, unless it is still being typed. */
  private tell(faults: Finding[]): void {
    const mend = this.typing ? 'what you typed stays here; enter it again when the server is back' : 'this is as it was, and nothing was saved; change it again when the server is back'
    this.faults = faults.map((f) => (f.id === 'lost' ? { ...f, mend } : f))
    if (!this.typing && faults.length > 0) this.fading()
  }

  /** save writes a value; an empty one is left out. What cannot stand is not saved. */
  save(value: string): Promise<boolean> {
    return this.of().study.loose.comes(this.saving(value))
  }

  /** turn makes changes of the whole that the value belongs to. What cannot stand is not saved. */
  turn(changes: Change[], label: string): Promise<boolean> {
    return this.of().study.loose.comes(this.turning(changes, label))
  }

  private async turning(changes: Change[], label: string): Promise<boolean> {
    const { study } = this.of()
    this.acted = this.of()
    this.tell(await study.check(changes))
    if (this.faults.length > 0) return false
    const met = study.clash
    this.seen = undefined
    return (await study.commit(changes, label)) || study.clash !== met
  }

  private async saving(value: string): Promise<boolean> {
    const of = this.of()
    const { study, path, label } = of
    this.acted = of
    const f = this.field
    if (!f) return false
    if (value.trim() === '' && !f.required) {
      if (!f.present) return true
      const remove: Change = { do: 'remove', path }
      this.tell(await study.check([remove]))
      if (this.faults.length > 0) return false // it cannot be left out
      return await this.commit(of, remove, `${label} left out`)
    }
    const whole = this.whole(value)
    if (f.present && whole === f.text) {
      this.drop()
      return true
    }
    if (!(await this.sound(whole))) return false
    return await this.commit(of, { do: 'set', path, value: whole }, `${label}: ${whole}`)
  }

  /** commit is true also where the change met another: both are with the person then. */
  private async commit({ study }: Of, change: Change, label: string): Promise<boolean> {
    const was = this.seen
    const met = study.clash
    this.seen = undefined
    return (await study.commit([was === undefined ? change : { ...change, was }], label)) || study.clash !== met
  }

  drop(): void {
    this.seen = undefined
    void this.of().study.cancel()
  }

  /** fading keeps the faults readable for a while after the value went back. */
  fading(): void {
    clearTimeout(this.fade)
    this.fade = setTimeout(() => (this.faults = []), readable)
  }
}
