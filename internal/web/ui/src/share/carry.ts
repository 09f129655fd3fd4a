// Files that leave the page are fetched by it, and not by the browser alone: so what
// keeps one from coming can be said, and a busy server be asked again.
import { told, Trouble } from '../lib/api'

export interface Carried {
  blob: Blob
  name: string
}

/** carry fetches a file, or the trouble with it. */
export async function carry(url: string, signal: AbortSignal): Promise<Carried> {
  let r: Response
  try {
    r = await fetch(url, { signal })
  } catch {
    throw new Trouble(0, 'the server does not answer', undefined)
  }
  if (!r.ok) throw told(r.status, await r.json().catch(() => undefined), r)
  const name = /filename\*=UTF-8''([^;]+)/.exec(r.headers.get('Content-Disposition') ?? '')?.[1]
  return { blob: await r.blob(), name: name ? decodeURIComponent(name) : '' }
}

/** hand gives a file to the browser to save. */
export function hand({ blob, name }: Carried): void {
  const a = document.createElement('a')
  a.href = URL.createObjectURL(blob)
  a.download = name
  a.click()
  setTimeout(() => URL.revokeObjectURL(a.href), 60_000) // long after it has been read
}
