// Which page is shown: it stands in the address.
export type Step = 'brief' | 'drivers' | 'loadings' | 'text' | 'versions' | 'share' | 'present'
const steps: readonly Step[] = ['brief', 'drivers', 'loadings', 'text', 'versions', 'share', 'present']

export interface Route {
  study: string
  step: Step
}

/** What is no text as addresses are written is the name of no study: the page says so. */
function decoded(name: string): string {
  try {
    return decodeURIComponent(name)
  } catch {
    return name
  }
}

function parse(path: string): Route {
  const [, s, name, step] = path.split('/')
  if (s !== 's' || !name) return { study: '', step: 'loadings' }
  return { study: decoded(name), step: steps.find((k) => k === step) ?? 'loadings' }
}

export const route = $state<{ now: Route }>({ now: parse(location.pathname) })
window.addEventListener('popstate', () => (route.now = parse(location.pathname)))

export const addressOf = (study: string, step: Step): string => `/s/${encodeURIComponent(study)}/${step}`

/** came is the step that Present was opened from. */
export const came: { step: Step } = { step: 'loadings' }

/** go shows another page without loading anew. */
export function go(to: string): void {
  const keep = to.startsWith('/s/') && parse(to).study === route.now.study ? location.search : ''
  history.pushState(null, '', to + keep)
  if (route.now.study && route.now.step !== 'present') came.step = route.now.step
  route.now = parse(to)
  scrollTo(0, 0)
}

/** follows is for links: a plain click stays in the page. */
export function follows(e: MouseEvent): void {
  if (e.button !== 0 || e.metaKey || e.ctrlKey || e.shiftKey || e.altKey) return
  e.preventDefault()
  go((e.currentTarget as HTMLAnchorElement).pathname)
}
