// Values that stand changed on the page and are not saved yet.

export interface Held {
  open: () => boolean
  /** saves it before the page goes; left out where it is half written */
  flush?: () => void
}

export class Loose {
  private held = new Set<Held>()
  private coming = new Set<Promise<boolean>>()

  /** holds is told of a value that may stand changed; what it returns ends that. */
  holds(h: Held): () => void {
    this.held.add(h)
    return () => this.held.delete(h)
  }

  /** Something is half written, or is being looked at: it would be lost with the page. */
  get half(): boolean {
    return this.coming.size > 0 || [...this.held].some((h) => !h.flush && h.open())
  }

  /** flush saves what is only waiting for the hand to rest. */
  flush(): void {
    for (const h of this.held) if (h.open()) h.flush?.()
  }

  /** comes is told of a save from its first look on, so that an undo does not overtake it. */
  comes(saving: Promise<boolean>): Promise<boolean> {
    const done = (): boolean => this.coming.delete(saving)
    this.coming.add(saving)
    saving.then(done, done)
    return saving
  }

  /** arrived waits for what is coming; false if some of it came to nothing. */
  async arrived(): Promise<boolean> {
    return (await Promise.all(this.coming)).every(Boolean)
  }

  get any(): boolean {
    return this.coming.size > 0
  }
}
