// What must be said stands at the top of the page; where that is out of sight, the
// band under the bar says it in short and leads there.

export interface Note {
  /** where it stands whole */
  at: HTMLElement
  short: string
  /** what the button says, and does in place of leading there */
  word: string
  press?: (() => void) | undefined
  stop: boolean
}

export class Told {
  /** what is out of sight, as it stands on the page */
  away = $state.raw<readonly Note[]>([])

  /** adds shows a note in the band; what it returns ends that. */
  adds(note: Note): () => void {
    this.away = [...this.away, note].sort((a, b) => (a.at.compareDocumentPosition(b.at) & Node.DOCUMENT_POSITION_FOLLOWING ? -1 : 1))
    return () => {
      this.away = this.away.filter((n) => n !== note)
    }
  }
}
