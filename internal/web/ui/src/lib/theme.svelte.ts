// Light or dark: as the system says, unless the person chose.
const key = 'theme'
const system = matchMedia('(prefers-color-scheme: dark)')

function wanted(): 'light' | 'dark' {
  const own = localStorage.getItem(key)
  return own === 'light' || own === 'dark' ? own : system.matches ? 'dark' : 'light'
}

export const theme = $state<{ now: 'light' | 'dark' }>({ now: wanted() })

function apply(): void {
  theme.now = wanted()
  document.documentElement.dataset.theme = theme.now
}
export function turn(): void {
  const to = theme.now === 'dark' ? 'light' : 'dark'
  if ((to === 'dark') === system.matches) localStorage.removeItem(key)
  else localStorage.setItem(key, to)
  apply()
}
export function begin(): void {
  apply()
  system.addEventListener('change', apply)
}
