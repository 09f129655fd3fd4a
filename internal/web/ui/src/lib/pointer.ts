/**
 * Where a pointer is that is held. A browser tells it once a frame (pointermove), up to a
 * frame after it knew, and what is asked for then is seen a frame later than it could be.
 * Where it tells as soon as it knows (pointerrawupdate, in secure contexts), the first of
 * each frame is taken at once and the last of the rest with the next frame: no more often
 * than before, so that no answer comes that no frame shows. A finger or a pen is told once
 * a frame: only then has the browser decided whether it scrolls.
 */
export function follows(move: (e: PointerEvent) => void): (node: HTMLElement) => () => void {
  return (node) => {
    const early = 'onpointerrawupdate' in node
    let last: PointerEvent | undefined // told since, and not taken yet
    let frame: number | undefined
    const take = (): void => {
      const e = last
      last = undefined
      if (e) move(e)
    }
    /** takes what was told, and nothing more before the next frame */
    const once = (): void => {
      frame = undefined
      if (!last) return
      frame = requestAnimationFrame(once)
      take()
    }
    const told = (e: PointerEvent): void => {
      if (e.pointerType !== 'mouse') return
      last = e
      if (frame === undefined) once()
    }
    const framed = (e: PointerEvent): void => {
      if (!early || e.pointerType !== 'mouse') move(e)
    }
    const drop = (): void => {
      last = undefined
    }
    const on = [['pointerrawupdate', told], ['pointermove', framed], ['pointerdown', drop], ['pointerup', take], ['pointercancel', drop]] as const
    for (const [type, hear] of on) node.addEventListener(type, hear as (e: Event) => void, true) // before what else hears it here
    return () => {
      for (const [type, hear] of on) node.removeEventListener(type, hear as (e: Event) => void, true)
      if (frame !== undefined) cancelAnimationFrame(frame)
    }
  }
}
