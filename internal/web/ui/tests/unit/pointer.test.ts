// A pointer that is held: heard as soon as the browser knows where it is, and no more often than once a frame.
import { afterEach, beforeEach, describe, expect, it, vi } from 'vitest'
import { follows } from '../../src/lib/pointer'

let node: HTMLElement
let heard: string[]
let end: (() => void) | undefined
let frames: (() => void)[]
const frame = (): void => {
  for (const f of frames.splice(0)) f()
}
const tell = (type: string, x: number, pointerType = 'mouse'): void => {
  node.dispatchEvent(Object.assign(new MouseEvent(type, { clientX: x }), { pointerType }))
}

function held(early: boolean): void {
  node = document.createElement('span')
  if (early) Object.assign(node, { onpointerrawupdate: null })
  node.addEventListener('pointerup', () => heard.push('up'))
  end = follows((e) => heard.push(`${e.type} ${e.clientX}`))(node)
}

beforeEach(() => {
  heard = []
  frames = []
  vi.stubGlobal('requestAnimationFrame', (f: () => void) => frames.push(f))
  vi.stubGlobal('cancelAnimationFrame', () => frames.splice(0))
})
afterEach(() => {
  end?.()
  vi.unstubAllGlobals()
})

describe('a browser that tells at once', () => {
  beforeEach(() => held(true))

  it('is heard at once, and then with the next frame, where it is by then', () => {
    for (const x of [1, 2, 3]) tell('pointerrawupdate', x)
    expect(heard).toEqual(['pointerrawupdate 1'])
    frame()
    expect(heard).toEqual(['pointerrawupdate 1', 'pointerrawupdate 3'])
  })

  it('is heard no more often than there are frames', () => {
    for (let x = 1; x <= 9; x++) {
      tell('pointerrawupdate', x)
      if (x % 3 === 0) frame()
    }
    expect(heard).toEqual(['pointerrawupdate 1', 'pointerrawupdate 3', 'pointerrawupdate 6', 'pointerrawupdate 9'])
  })

  it('is not heard twice for what it tells once a frame too', () => {
    tell('pointerrawupdate', 1)
    tell('pointermove', 1)
    frame()
    frame()
    expect(heard).toEqual(['pointerrawupdate 1'])
  })

  it('is heard to the end before it is let go', () => {
    tell('pointerrawupdate', 1)
    tell('pointerrawupdate', 2)
    tell('pointerup', 2)
    frame()
    expect(heard).toEqual(['pointerrawupdate 1', 'pointerrawupdate 2', 'up'])
  })

  it('is not heard any more once it is taken away', () => {
    tell('pointerrawupdate', 1)
    tell('pointerrawupdate', 2)
    tell('pointercancel', 2)
    frame()
    expect(heard).toEqual(['pointerrawupdate 1'])
  })

  it('is not heard after it is pressed of where it was before', () => {
    tell('pointerrawupdate', 1)
    tell('pointerrawupdate', 2)
    tell('pointerdown', 9)
    frame()
    tell('pointerup', 9)
    expect(heard).toEqual(['pointerrawupdate 1', 'up'])
  })

  it.each(['touch', 'pen'])('is heard once a frame of a %s, which may scroll', (type) => {
    tell('pointerrawupdate', 1, type)
    tell('pointermove', 2, type)
    expect(heard).toEqual(['pointermove 2'])
  })

  it('is not heard when nobody listens', () => {
    tell('pointerrawupdate', 1)
    tell('pointerrawupdate', 2)
    end?.()
    frame()
    tell('pointerrawupdate', 3)
    expect(heard).toEqual(['pointerrawupdate 1'])
  })
})

it('is heard once a frame of a browser that tells no sooner', () => {
  held(false)
  tell('pointermove', 2)
  tell('pointermove', 3)
  expect(heard).toEqual(['pointermove 2', 'pointermove 3'])
})
