/** What can be drawn, by the server's names, with words. */
export const figures = [
  ['level', 'the level'],
  ['greatest', 'the greatest level'],
  ['plain-level', 'the level in the plain space'],
  ['excursion', 'the excursion'],
  ['impedance', 'the impedance'],
  ['phase', 'the impedance’s phase'],
  ['group-delay', 'the group delay'],
  ['port-speed', 'the port air speed'],
  ['power', 'the heat'],
  ['step', 'the step response'],
  ['impulse', 'the impulse response'],
  ['section', 'the sections'],
] as const

export const capital = (s: string): string => s.slice(0, 1).toUpperCase() + s.slice(1)
