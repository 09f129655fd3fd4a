// The focus must not fall out of the page where an act takes away what was pressed:
// who works by keyboard would begin again at the top.

/** what can be reached by Tab */
const reachable = 'a[href], button:not(:disabled), input:not(:disabled), select:not(:disabled), textarea:not(:disabled), [tabindex="0"]'

/** keepFocus watches a page and its bar; when what has the focus is taken away, the
 * focus goes to the next that can have it in what is left around that place.
 * What it returns ends that. */
export function keepFocus(page: HTMLElement): () => void {
  let last: { at: Element; around: HTMLElement[]; before: Set<Element> } | undefined
  let byKey = false

  function focused(e: FocusEvent): void {
    const around: HTMLElement[] = []
    for (let el = (e.target as Element).parentElement; el && el !== page; el = el.parentElement) around.push(el)
    const all = [...document.querySelectorAll(reachable)]
    last = { at: e.target as Element, around, before: new Set(all.slice(0, Math.max(0, all.indexOf(e.target as Element)))) }
  }
  function gone(e: FocusEvent): void {
    // who clicks beside everything wants the focus nowhere; what is taken away never says so
    const at = e.target as Element
    setTimeout(() => {
      if (last?.at === at && at.isConnected) last = undefined
    })
  }
  function look(): void {
    if (!last || last.at.isConnected || (document.activeElement ?? document.body) !== document.body) return
    const { around, before } = last
    last = undefined
    let to = page
    for (const near of around) {
      if (!near.isConnected || near.contains(page)) continue
      const left = [...near.querySelectorAll<HTMLElement>(reachable)].filter((el) => el.checkVisibility?.() !== false)
      const next = left.find((el) => !before.has(el)) ?? left.at(-1)
      if (!next) continue
      to = next
      break
    }
    to.focus({ preventScroll: !byKey || to === page })
  }
  const key = (): void => {
    byKey = true
  }
  const pointer = (): void => {
    byKey = false
  }

  // after the page has put the focus where it means to
  const seen = new MutationObserver(() => setTimeout(look))
  seen.observe(document.body, { childList: true, subtree: true })
  document.addEventListener('focusin', focused)
  document.addEventListener('focusout', gone)
  addEventListener('keydown', key, true)
  addEventListener('pointerdown', pointer, true)
  return () => {
    seen.disconnect()
    document.removeEventListener('focusin', focused)
    document.removeEventListener('focusout', gone)
    removeEventListener('keydown', key, true)
    removeEventListener('pointerdown', pointer, true)
  }
}
