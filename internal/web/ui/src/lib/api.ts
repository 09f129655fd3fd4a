// The server's interface, typed from its own description.
import createClient from 'openapi-fetch'
import type { components, paths } from '../api.gen'

type Schemas = components['schemas']
export type View = Schemas['View']
export type Result = Schemas['Result']
export type Candidate = Schemas['Candidate']
export type Curves = Schemas['Curves']
export type Field = Schemas['Field']
export type Change = Schemas['Change']
export type Clash = Schemas['Clash']
export type Driver = Schemas['Driver']
export type Finding = Schemas['Finding']
export type Head = Schemas['Head']
/** Row is a row of the ledger: its head, and a cell for each candidate. */
export type Row = Head & { cells: Cell[] }
/** Composed is a result with what the page held of it (lib/held.ts). */
export type Composed = Result & { rows: Row[]; frequency: NonNullable<Result['frequency']> }
export type Cell = Schemas['Cell']
export type Cellmark = Schemas['Cellmark']
export type Course = Schemas['Course']
export type Step = Schemas['Step']
export type Remark = Schemas['Remark']
export type Variant = Schemas['Variant']
export type Ask = Schemas['Ask']
/** Told is what the stream of events says of a study. */
export type Told = paths['/api/events']['get']['responses'][200]['content']['text/event-stream']
export type Large = Schemas['Large']
export type LargeAsk = Schemas['LargeAsk']

export const api = createClient<paths>({ baseUrl: '/' })

/** Trouble is a request that did not give what was asked: why, in words. */
export class Trouble extends Error {
  constructor(
    readonly status: number,
    message: string,
    readonly body: unknown,
    /** when to ask again, s; 0: it does not say */
    readonly after = 0,
  ) {
    super(message)
  }
}

/** told turns an error of the interface into words. */
export function told(status: number, body: unknown, response?: Response): Trouble {
  const after = Number(response?.headers.get('Retry-After')) || 0
  if (typeof body === 'string' && body.trim()) return new Trouble(status, body.trim(), body, after) // refused before the interface was asked
  const b = (body ?? {}) as { detail?: string; errors?: { message?: string; location?: string }[]; title?: string }
  const more = (b.errors ?? []).map((e) => e.message).filter(Boolean)
  return new Trouble(status, [b.detail ?? b.title ?? `the server answered ${status}`, ...more].join('; '), body, after)
}

/** got is the answer of a request, or its trouble in words. */
export async function got<T>(asked: Promise<{ data?: T; error?: unknown; response: Response }>): Promise<T> {
  let a: Awaited<typeof asked>
  try {
    a = await asked
  } catch {
    throw new Trouble(0, 'the server does not answer', undefined)
  }
  if (a.data === undefined) throw told(a.response.status, a.error, a.response)
  return a.data
}
