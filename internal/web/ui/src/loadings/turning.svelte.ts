// The drive turned up and down in decibels: a number that begins at 0 wherever the
// drive stands. By how much it grows for a decibel is the server's to say.
import type { Change, Finding, Result } from '../lib/api'
import { Changing } from '../parts/edit.svelte'
import type { StudyState } from '../state/study.svelte'

export type Drive = Result['drive']

/** decibels reads a number of decibels as typed; undefined if it is none. */
export function decibels(text: string): number | undefined {
  const m = /^\s*([+\-−]?)(\d*[.,]?\d+)\s*(?:dB)?\s*$/i.exec(text)
  if (!m) return undefined
  return (m[1] === '' || m[1] === '+' ? 1 : -1) * Number((m[2] ?? '').replace(',', '.'))
}

/** turned is a drive that is so many decibels louder, as it is written: four digits. */
export function turned(drive: Drive, db: number): string {
  return `${Number((drive.value * drive.per_db ** db).toPrecision(4))} ${drive.unit}`
}

export class Turning extends Changing {
  private study: StudyState
  private drive: () => Drive | undefined

  constructor(study: StudyState, drive: () => Drive | undefined) {
    super(() => ({ study, path: drive()?.path ?? '', label: 'drive' }))
    this.study = study
    this.drive = drive
  }

  override change(text: string): Change[] {
    const drive = this.drive()
    const db = decibels(text)
    return drive?.path && db !== undefined ? [{ do: 'set', path: drive.path, value: turned(drive, db) }] : []
  }

  override whole(text: string): string {
    return text.trim()
  }

  override try(text: string): void {
    const changes = this.change(text)
    if (changes.length > 0) this.study.try(changes)
  }

  override async sound(text: string): Promise<boolean> {
    const changes = this.change(text)
    this.faults = changes.length > 0 ? await this.study.check(changes) : text.trim() === '' ? [] : [no]
    return this.faults.length === 0
  }

  override async save(text: string): Promise<boolean> {
    const db = decibels(text)
    if (text.trim() === '' || db === 0) {
      this.drop()
      return true
    }
    if (!(await this.sound(text))) return false
    const changes = this.change(text)
    return (await this.study.commit(changes, `drive: ${changes[0]?.value ?? ''}`)) || this.study.clash !== undefined
  }
}

const no: Finding = { id: 'no-number', severity: 'error', where: 'drive', line: 0, column: 0, text: 'this is no number of decibels', mend: 'write one such as 3 dB' }
