// Whether keys that are single letters, digits or signs do anything by
// themselves. Who speaks to the machine, or hits keys unmeant, switches them off
// (WCAG 2.1.4); all that they do has a button too.
const kept = 'single keys'

let on = $state(localStorage.getItem(kept) !== 'off')

export const single = {
  get on(): boolean {
    return on
  },
  set on(to: boolean) {
    on = to
    if (to) localStorage.removeItem(kept)
    else localStorage.setItem(kept, 'off')
  },
}
