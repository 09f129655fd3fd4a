// What stays at the top of the window, px: the bar, the band under it, and below
// both what a page keeps there. What gets the focus must come to stand under it.
export const roof = $state({ row: 0, band: 0, kept: 0 })
