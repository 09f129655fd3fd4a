// A table of many things to press is one stop for the Tab key: arrows go between its
// cells, as in a sheet, and Tab goes on to what stands behind it.

/** Line is what stands beside one another: of each cell, what can have the focus. */
export interface Line {
  cells: HTMLElement[][]
  /** begins a group, to which the page keys go */
  first: boolean
}

/** what in a cell can have the focus; what a press has opened keeps stops of its own */
const held = 'button, input, [role=spinbutton], [role=combobox], [role=button]'

/** lineOf is a row of a table; a cell with nothing to press has the focus itself, so that it can be read. */
export function lineOf(row: HTMLTableRowElement, first: boolean): Line {
  const cells = [...row.cells].slice(1).map((cell) => {
    const inside = [...cell.querySelectorAll<HTMLElement>(held)].filter((e) => !e.closest('[role=listbox], .menu'))
    return inside.length > 0 ? inside : [cell]
  })
  return { cells, first }
}

/** rove makes one stop of all that lines() gives, as it is at any time; what it returns ends that. */
export function rove(host: HTMLElement, lines: () => Line[]): () => void {
  let at: { line: number; cell: number; item: number } = { line: 0, cell: 0, item: 0 }

  const among = (all: Line[], to: typeof at): HTMLElement | undefined => {
    const cells = all[Math.min(to.line, all.length - 1)]?.cells
    const cell = cells?.[Math.min(to.cell, cells.length - 1)]
    return cell?.[Math.min(to.item, cell.length - 1)]
  }
  function find(all: Line[], e: Element): typeof at | undefined {
    for (const [line, l] of all.entries())
      for (const [cell, items] of l.cells.entries()) {
        const item = items.indexOf(e as HTMLElement)
        if (item >= 0) return { line, cell, item }
      }
    return undefined
  }
  /** one lets Tab stop at one of all. */
  function one(all = lines()): void {
    const stop = among(all, at)
    for (const l of all)
      for (const items of l.cells)
        for (const e of items) {
          const index = e === stop ? 0 : -1
          if (e.getAttribute('tabindex') !== String(index)) e.setAttribute('tabindex', String(index))
        }
  }
  function focused(e: FocusEvent): void {
    const all = lines()
    at = find(all, e.target as Element) ?? at
    one(all)
  }

  function next(all: Line[], from: typeof at, e: KeyboardEvent): typeof at | undefined {
    const row = all[from.line]?.cells ?? []
    const end = (line: number): typeof at => ({ line, cell: Math.max(0, (all[line]?.cells.length ?? 1) - 1), item: 1e9 })
    switch (e.key) {
      case 'ArrowRight':
        if (from.item + 1 < (row[from.cell]?.length ?? 0)) return { ...from, item: from.item + 1 }
        return from.cell + 1 < row.length ? { ...from, cell: from.cell + 1, item: 0 } : from
      case 'ArrowLeft':
        if (from.item > 0) return { ...from, item: from.item - 1 }
        return from.cell > 0 ? { ...from, cell: from.cell - 1, item: 1e9 } : from
      case 'ArrowDown':
        return { ...from, line: Math.min(from.line + 1, all.length - 1) }
      case 'ArrowUp':
        return { ...from, line: Math.max(from.line - 1, 0) }
      case 'Home':
        return { line: e.ctrlKey ? 0 : from.line, cell: 0, item: 0 }
      case 'End':
        return end(e.ctrlKey ? all.length - 1 : from.line)
      case 'PageDown': {
        const to = all.findIndex((l, k) => k > from.line && l.first)
        return { ...from, line: to < 0 ? all.length - 1 : to }
      }
      case 'PageUp':
        return { ...from, line: Math.max(0, all.findLastIndex((l, k) => k < from.line && l.first)) }
    }
    return undefined
  }
  function keys(e: KeyboardEvent): void {
    const target = e.target as Element
    // what is typed or chosen from has its own use for these keys; alt opens a list
    if (e.altKey || e.metaKey || target.matches('input, textarea, select, [aria-expanded=true][role=combobox]')) return
    if (e.ctrlKey && e.key !== 'Home' && e.key !== 'End') return
    const all = lines()
    const from = find(all, target)
    const to = from && next(all, from, e)
    if (!to) return
    e.preventDefault()
    e.stopPropagation()
    among(all, to)?.focus()
  }

  // What comes and goes while a number moves is looked at once it rests: on a slow machine
  // too, where a step takes a tenth of a second.
  const rest = 200 // ms
  let later: ReturnType<typeof setTimeout> | undefined
  one()
  const seen = new MutationObserver(() => {
    clearTimeout(later)
    later = setTimeout(() => one(), rest)
  })
  seen.observe(host, { childList: true, subtree: true })
  host.addEventListener('focusin', focused)
  host.addEventListener('keydown', keys, true)
  return () => {
    clearTimeout(later)
    seen.disconnect()
    host.removeEventListener('focusin', focused)
    host.removeEventListener('keydown', keys, true)
  }
}
