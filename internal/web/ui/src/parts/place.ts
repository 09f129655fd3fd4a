// Where what floats stands: beside what it belongs to, inside the window, and above
// all parts of the page: one that scrolls or is laid out by itself would cut it off,
// or be what its place is counted from.
export function place(float: HTMLElement, beside: HTMLElement, side: 'above' | 'below'): void {
  if ('showPopover' in float && !float.matches(':popover-open')) float.showPopover()
  float.style.maxHeight = '' // its own, before it is measured
  const at = beside.getBoundingClientRect()
  const room = Math.max(innerHeight - at.bottom, at.top) - 8
  if (float.offsetHeight > room) float.style.maxHeight = `${Math.floor(room)}px` // what is too long for either side scrolls
  const own = float.getBoundingClientRect()
  const gap = 4
  const above = at.top - gap - own.height
  const below = at.bottom + gap
  const fitsBelow = below + own.height <= innerHeight
  const top = side === 'above' ? (above >= 0 ? above : below) : fitsBelow || above < 0 ? below : above
  float.style.top = `${Math.max(0, Math.round(top))}px`
  float.style.left = `${Math.max(4, Math.min(Math.round(at.left) - 8, document.documentElement.clientWidth - own.width - 4))}px`
}
