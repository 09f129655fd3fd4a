// Light or dark: as the system says, unless the person chose.
const key = 'theme'
const system = matchMedia('(prefers-color-scheme: dark)')

export function theme(): 'light' | 'dark' {
  const own = localStorage.getItem(key)
  return own === 'light' || own === 'dark' ? own : system.matches ? 'dark' : 'light'
}
function apply(): void {
  document.documentElement.dataset.theme = theme()
}
export function turn(): void {
  const to = theme() === 'dark' ? 'light' : 'dark'
  if ((to === 'dark') === system.matches) localStorage.removeItem(key)
  else localStorage.setItem(key, to)
  apply()
}
export function begin(): void {
  apply()
  system.addEventListener('change', apply)
}
