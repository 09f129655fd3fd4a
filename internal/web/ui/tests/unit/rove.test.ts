import { afterEach, describe, expect, it, vi } from 'vitest'
import { lineOf, rove } from '../../src/lib/rove'
import { stepped } from '../../src/parts/step'

const sheet = `<table>
<tr class="row"><th></th><th><button id="a1">more</button><button id="a1b">hide</button><ul class="menu"><li><button id="menu">copy</button></li></ul></th><th><button id="a2">more</button></th></tr>
<tr class="group"><th>Group</th></tr>
<tr class="row"><th>x</th><td><span role="spinbutton" id="b1" tabindex="0">28</span></td><td id="b2">–</td></tr>
<tr class="why"><td><button id="why">formula</button></td></tr>
<tr class="row"><th>y</th><td id="c1"><span role="combobox" id="c1w" tabindex="0" aria-expanded="false">sealed</span></td><td><button id="c2">33</button></td></tr>
</table><button id="after">Add</button>`

let end: (() => void) | undefined
afterEach(() => end?.())
function made(): (id: string) => HTMLElement {
  document.body.innerHTML = sheet
  const table = document.querySelector('table') as HTMLElement
  end = rove(table, () => [...table.querySelectorAll<HTMLTableRowElement>('tr.row')].map((r) => lineOf(r, r.previousElementSibling?.className !== 'why')))
  return (id) => document.getElementById(id) as HTMLElement
}
const press = (key: string, more: KeyboardEventInit = {}) => document.activeElement?.dispatchEvent(new KeyboardEvent('keydown', { key, bubbles: true, cancelable: true, ...more }))
const stops = () => [...document.querySelectorAll<HTMLElement>('button, [tabindex]')].filter((e) => e.tabIndex >= 0).map((e) => e.id)

describe('a table that is one stop', () => {
  it('has one stop, and leaves those that a press has opened', () => {
    made()
    expect(stops()).toEqual(['a1', 'menu', 'why', 'after'])
  })

  it('is walked by row and column, and what cannot be pressed is read', () => {
    const at = made()
    at('a1').focus()
    const walk: [string, string, KeyboardEventInit?][] = [['ArrowRight', 'a1b'], ['ArrowRight', 'a2'], ['ArrowRight', 'a2'], ['ArrowDown', 'b2'], ['ArrowDown', 'c2'], ['ArrowDown', 'c2'], ['Home', 'c1w'], ['ArrowUp', 'b1'], ['End', 'b2'], ['PageUp', 'a2'], ['PageDown', 'b2'], ['PageDown', 'c2'], ['Home', 'a1', { ctrlKey: true }], ['End', 'c2', { ctrlKey: true }], ['ArrowLeft', 'c1w']]
    for (const [key, to, more] of walk) {
      press(key, more)
      expect(document.activeElement?.id, key).toBe(to)
      expect(stops(), 'the stop goes along').toEqual(['menu', 'why', to, 'after'].filter((x, i, l) => l.indexOf(x) === i).sort((p, q) => (at(p).compareDocumentPosition(at(q)) & Node.DOCUMENT_POSITION_FOLLOWING ? -1 : 1)))
    }
  })

  it('leaves keys to an open list, and to what was opened', () => {
    const at = made()
    at('c1w').focus()
    at('c1w').setAttribute('aria-expanded', 'true')
    press('ArrowUp')
    expect(document.activeElement?.id).toBe('c1w')
    at('c1w').setAttribute('aria-expanded', 'false')
    press('ArrowDown', { altKey: true })
    expect(document.activeElement?.id).toBe('c1w')
    at('why').focus()
    press('ArrowUp')
    expect(document.activeElement?.id).toBe('why')
  })

  it('keeps one stop when what has it goes and others come', async () => {
    const at = made()
    at('c2').focus()
    at('c2').replaceWith(Object.assign(document.createElement('button'), { id: 'new' }))
    const more = document.createElement('button')
    more.id = 'late'
    at('b2').append(more)
    await vi.waitFor(() => expect(stops()).toEqual(['menu', 'why', 'new', 'after'])) // once things rest
  })
})

describe('a number that is typed is stepped', () => {
  const field = { sort: 'quantity', step: 1, min: 1, above: false, max: null, unit: 'L', number: 28 } as unknown as Parameters<typeof stepped>[0]
  const plain = { shiftKey: false, altKey: false }
  it.each([
    ['28 L', 1, plain, '29 L'],
    ['28', -1, plain, '27'],
    ['28,5 L', 1, plain, '29,5 L'],
    ['28 L', 1, { shiftKey: true, altKey: false }, '28.1 L'],
    ['28 L', 1, { shiftKey: false, altKey: true }, '38 L'],
    ['1 L', -1, plain, '1.0 L'],
    ['1 ft3', 1, plain, '2 ft3'],
    ['0.5 ft3', -1, plain, '0.4 ft3'],
    ['apples', 1, plain, undefined],
    ['1.2.3 L', 1, plain, undefined],
  ])('%s by %s', (typed, way, by, to) => expect(stepped(field, typed, way, by)).toBe(to))
})
