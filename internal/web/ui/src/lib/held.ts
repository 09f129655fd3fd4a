// What of a result stays as it is while a number moves comes under a key, and is left out where
// the page names that: the heads of the ledger’s rows, each candidate’s column of cells, and the
// frequencies of the curves. It is put together here.
import type { Cell, Composed, Head, Result } from './api'

/** blank stands for what came before, and was forgotten while this answer was on its way: the next brings it. */
const blank: Cell = { text: '' }

export class Held {
  private readonly heads = new Map<string, Head[]>()
  private readonly columns = new Map<string, Cell[]>()
  private readonly frequencies = new Map<string, Composed['frequency']>()
  /** all that is held, by its keys */
  readonly maps: readonly Map<string, unknown>[] = [this.heads, this.columns, this.frequencies]

  /** composed is a result with all of its ledger. It is written into; cells are those that came, so that a column that did not change is the same. */
  composed(r: Result): Composed {
    if (r.heads) this.heads.set(r.heads_key, r.heads)
    if (r.frequency) this.frequencies.set(r.frequency_key, r.frequency)
    for (const c of r.candidates) if (c.cells) this.columns.set(c.cells_key, c.cells)
    const columns = r.candidates.map((c) => this.columns.get(c.cells_key) ?? [])
    const rows = (this.heads.get(r.heads_key) ?? []).map((h, k) => ({ ...h, cells: columns.map((c) => c[k] ?? blank) }))
    delete r.heads
    for (const c of r.candidates) delete c.cells
    return Object.assign(r, { rows, frequency: this.frequencies.get(r.frequency_key) ?? [] })
  }
}
