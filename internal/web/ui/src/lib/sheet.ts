// How the rows of a datasheet are called and grouped. What is not in this list
// still shows, under its own words, at the end.
import type { Driver } from './api'

export interface Entry {
  key: string
  name: string
  symbol?: string
  /** of the completed sheet, where no key gives it */
  step?: string
}
export interface Group {
  name: string
  /** is shown although no sheet gives it */
  basic: boolean
  /** takes what the model of the coil adds */
  coil?: boolean
  entries: Entry[]
}

const row = (key: string, name: string, symbol?: string): Entry => (symbol ? { key, name, symbol } : { key, name })

export const groups: readonly Group[] = [
  {
    name: 'Small signal',
    basic: true,
    entries: [
      row('fs', 'Resonance', 'fs'),
      row('qms', 'Mechanical Q', 'Qms'),
      row('qes', 'Electrical Q', 'Qes'),
      row('qts', 'Total Q', 'Qts'),
      row('vas', 'Volume', 'Vas'),
      row('sd', 'Cone area', 'Sd'),
      row('re', 'Coil resistance', 'Re'),
      row('bl', 'Force factor', 'Bl'),
      row('mms', 'Moving mass', 'Mms'),
      row('cms', 'Compliance', 'Cms'),
      row('rms', 'Resistance', 'Rms'),
      { key: '', name: 'Sensitivity at 1 W', step: 'Sensitivity at 1 W' },
      { key: '', name: 'Sensitivity at 2.83 V', step: 'Sensitivity at 2.83 V' },
    ],
  },
  {
    name: 'In place of these',
    basic: false,
    entries: [row('effective_diameter', 'Cone diameter', 'd'), row('sensitivity.level', 'Printed sensitivity'), row('sensitivity.at', 'measured at'), row('trust', 'Leading parameters')],
  },
  {
    name: 'Voice coil',
    basic: false,
    coil: true,
    entries: [
      row('le', 'Inductance', 'Le'),
      row('rated_impedance', 'Rated impedance'),
      row('voice_coil', 'Model of its impedance'),
      row('coils.count', 'Coils on the former'),
      row('coils.quoted', 'Sheet quotes'),
      row('coils.driven', 'Coils driven'),
      row('coils.other', 'The others are'),
    ],
  },
  {
    name: 'Large signal',
    basic: false,
    entries: [row('xmax', 'Excursion, one way', 'xmax'), row('xmax_peak_to_peak', 'Excursion, both ways'), row('xmech', 'Excursion to the stop'), row('rated_power', 'Rated power')],
  },
  {
    name: 'Suspension and air',
    basic: false,
    entries: [
      row('suspension.creep', 'Creep', 'λ'),
      row('suspension.form', 'Form of the creep'),
      row('air.temperature', 'Air when measured'),
      row('air.humidity', 'Its humidity'),
      row('air.pressure', 'Its pressure'),
      row('air.speed_of_sound', 'Its speed of sound'),
      row('air.density', 'Its density'),
    ],
  },
  {
    name: 'Body',
    basic: false,
    entries: [
      row('mounting_depth', 'Depth'),
      row('flange', 'Flange'),
      row('flange_thickness', 'Flange, thickness'),
      row('cutout', 'Cutout'),
      row('magnet_diameter', 'Magnet'),
      row('coil_diameter', 'Coil, diameter'),
      row('winding_height', 'Winding, height'),
      row('gap_height', 'Gap, height'),
      row('displacement', 'Takes from the box'),
      row('mass', 'Weight'),
      row('price', 'Price'),
    ],
  },
]

/** known tells whether a key of a driver has its place above. */
export const known = new Set(groups.flatMap((g) => g.entries.map((e) => e.key)))

/** parts divide a symbol in its letter and its index: Qms is Q with ms. */
export function parts(symbol: string): [string, string] {
  if (symbol === 'Bl' || symbol.length < 2) return [symbol, '']
  if (symbol === 'xmax') return ['x', 'max']
  return [symbol.slice(0, 1), symbol.slice(1)]
}

/** blank is a sheet to be typed: the names, without values. */
export const blank = ['fs', 'Qms', 'Qes', 'Vas', 'Sd', 'Re', 'Le', 'Xmax'].map((n) => `${n} `).join('\n')

/** shared is the unit that all values of a row have; undefined if they differ. */
export function shared(units: readonly string[]): string | undefined {
  return units.length > 0 && units.every((u) => u === units[0]) ? units[0] : undefined
}

/** warnings is how many values of the woofers are marked. */
export const warnings = (drivers: readonly Driver[]): number => drivers.reduce((n, d) => n + new Set(d.findings.filter((f) => f.severity === 'warning').map((f) => f.where)).size, 0)
