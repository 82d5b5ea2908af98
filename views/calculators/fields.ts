// What does each calculator ask, and by which formula does it answer?

import type { QuantityKind, UnitOf } from '../../server/trade/units.ts'
import type { Option, UnitOption } from '../parts/field.tsx'
import { unitOptions } from '../section-tests/unit-options.ts'

interface Asked {
  name: string
  label: string
  hint?: string
  required?: boolean
}
export type CalculatorField =
  | (Asked & { ask: 'quantity'; quantity: string; units: UnitOption[]; unit: string })
  | (Asked & { ask: 'number' })
  | (Asked & { ask: 'moment' })
  | (Asked & { ask: 'choice'; options: Option[]; value?: string; choose?: string })
  | { ask: 'decay-readings'; name: string; rows: number; units: UnitOption[]; unit: string }

export interface Calculator {
  title: string
  /** What it is for, in a line. */
  lead: string
  fields: CalculatorField[]
  /** The formula in words, and where it is from. */
  formula: string
}

export type CalculatorPath =
  | 'torque-setting'
  | 'pressure-hold'
  | 'hold-time'
  | 'vacuum-decay'
  | 'charge'
  | 'room-area'
  | 'saturation'

const quantity = <Kind extends QuantityKind>(
  kind: Kind,
  units: readonly [UnitOf<Kind>, ...UnitOf<Kind>[]],
  asked: Asked,
): CalculatorField => ({
  ask: 'quantity',
  quantity: kind,
  units: unitOptions(kind, units),
  unit: units[0],
  required: true,
  ...asked,
})
const gauge = (name: string, label: string, more: Partial<Asked> = {}) =>
  quantity('gauge-pressure', ['MPa', 'psi', 'bar', 'kPa'], { name, label, ...more })
const degrees = (name: string, label: string, more: Partial<Asked> = {}) =>
  quantity('temperature', ['degC', 'degF'], { name, label, ...more })
const difference = (name: string, label: string, more: Partial<Asked> = {}) =>
  quantity('temperature-difference', ['K', 'degF.diff'], { name, label, ...more })
const vacuum = (name: string, label: string, more: Partial<Asked> = {}) =>
  quantity('absolute-pressure', ['micron', 'Pa', 'mbar', 'torr'], { name, label, ...more })
const torque = (name: string, label: string) =>
  quantity('torque', ['N.m', 'ft.lbf', 'in.lbf', 'kgf.cm'], { name, label })
const size = (name: string, label: string, more: Partial<Asked> = {}) =>
  quantity('length', ['mm', 'in'], { name, label, ...more })
const run = (name: string, label: string) => quantity('length', ['m', 'ft'], { name, label })
const mass = (name: string, label: string) => quantity('mass', ['kg', 'g', 'oz', 'lb'], { name, label })
const inside = (required: boolean) =>
  quantity('volume', ['L', 'mL', 'cu.in'], {
    name: 'internalVolume',
    label: 'Volume inside',
    hint: 'Of the tubes under test; needed for a leak rate.',
    required,
  })
const height = quantity('length', ['m', 'ft'], {
  name: 'siteElevation',
  label: 'Height above the sea',
  hint: 'Empty: at sea level.',
  required: false,
})
const refrigerant = (names: readonly string[], required = true): CalculatorField => ({
  ask: 'choice',
  name: 'refrigerant',
  label: 'Refrigerant',
  options: names.map((name) => ({ value: name, label: name })),
  required,
  ...(required ? {} : { choose: 'None' }),
})
const ALL = ['R-32', 'R-454B', 'R-410A', 'R-290', 'R-134a', 'R-22']
const FLAMMABLE = ['R-32', 'R-454B', 'R-290']
const errors = [
  gauge('gaugeUncertainty', 'One gauge reading, ±', {
    hint: 'Empty: 7.5 kPa, a quarter of a 0.5 % gauge of 6 MPa (common practice, no source).',
    required: false,
  }),
  difference('temperatureUncertainty', 'One temperature reading, ±', {
    hint: 'Empty: 0.125 K, a quarter of a 0.5 K thermometer (common practice, no source).',
    required: false,
  }),
]

export const CALCULATORS: Record<CalculatorPath, Calculator> = {
  'torque-setting': {
    title: 'Torque setting',
    lead: 'What to set on the wrench so that the nut gets the middle of its range.',
    fields: [
      torque('low', 'Range at the nut, from'),
      torque('high', 'to'),
      size('adapter.wrenchLength', 'Wrench: drive to grip', {
        hint: 'Only with an adapter.',
        required: false,
      }),
      size('adapter.offset', 'Adapter: drive to nut', {
        hint: 'With a minus when it is turned back towards your hand.',
        required: false,
      }),
      {
        ask: 'number',
        name: 'adapter.angleDegrees',
        label: 'Angle between the two, degrees',
        hint: 'Empty: in line.',
        required: false,
      },
    ],
    formula:
      'Setting = torque × L ÷ (L + E × cos a): L from drive to grip, E from drive to nut, a the angle (US Army TM 9-254).',
  },
  'pressure-hold': {
    title: 'Pressure hold',
    lead: 'Whether the change of a standing pressure is more than temperature and instruments explain.',
    fields: [
      gauge('start.gaugePressure', 'Gauge pressure at the start'),
      degrees('start.temperature', 'Temperature at the start'),
      { ask: 'moment', name: 'start.at', label: 'When it started' },
      gauge('end.gaugePressure', 'Gauge pressure at the end'),
      degrees('end.temperature', 'Temperature at the end'),
      { ask: 'moment', name: 'end.at', label: 'When it ended' },
      inside(false),
      refrigerant(ALL, false),
      height,
      ...errors,
    ],
    formula:
      'A closed volume keeps its density: end = start × (Z₂ T₂) ÷ (Z₁ T₁), absolute, with nitrogen’s Z (Span et al. 2000). Change = read − expected; its uncertainty: √(2 g² + 2 (s t)² + (0.3 s ΔT)²), s the rise per kelvin.',
  },
  'hold-time': {
    title: 'Hold time',
    lead: 'How long to hold so that a leak of a given size would show.',
    fields: [
      gauge('gaugePressure', 'Test pressure, gauge'),
      inside(true),
      refrigerant(ALL),
      quantity('mass-rate', ['g/yr'], {
        name: 'leakToSee',
        label: 'Leak to see',
        hint: 'Of refrigerant in service, in a year.',
      }),
      difference('temperatureChange', 'Temperature change meanwhile', {
        hint: 'Empty: none.',
        required: false,
      }),
      height,
      ...errors,
    ],
    formula:
      'Time = volume × the smaller of (1 % of the pressure, at least 25 kPa) and twice the uncertainty, ÷ leak of test gas. From refrigerant to test gas by viscous flow, (p₁² − p₂²) ÷ viscosity: an estimate (EN 1779, from memory).',
  },
  'vacuum-decay': {
    title: 'Vacuum decay',
    lead: 'Whether the rise after isolating looks tight, moist or leaking.',
    fields: [
      {
        ask: 'decay-readings',
        name: 'readings',
        rows: 10,
        units: unitOptions('absolute-pressure', ['micron', 'Pa', 'mbar', 'torr']),
        unit: 'micron',
      },
      degrees('temperature', 'Warmest part', { hint: 'Empty: 20 °C is assumed.', required: false }),
      vacuum('target', 'Pulled to', { hint: 'Empty: 500 micron.', required: false }),
      vacuum('riseLimit', 'Not above', { hint: 'Empty: 1500 micron.', required: false }),
      inside(false),
    ],
    formula:
      'Four curves are fitted by least squares: level, straight, flattening, and flattening with a climb; the one that explains most with least (AICc) is taken. Moisture can’t rise above water’s vapour pressure (IAPWS).',
  },
  charge: {
    title: 'Charge',
    lead: 'What a line of this length asks for, by the figures of your equipment’s manual.',
    fields: [
      mass('factoryCharge', 'From the factory'),
      run('prechargedLength', 'Pre-charged for'),
      run('length', 'Length of the line'),
      quantity('mass-per-length', ['g/m', 'oz/ft'], { name: 'adder', label: 'For each length more' }),
      refrigerant(ALL),
    ],
    formula: 'To add = (length − pre-charged length) × mass per length, never below nothing.',
  },
  'room-area': {
    title: 'Room area',
    lead: 'How large an unventilated room must be for all of a circuit’s flammable refrigerant.',
    fields: [
      refrigerant(FLAMMABLE),
      mass('charge', 'Charge of the whole circuit'),
      {
        ask: 'choice',
        name: 'mounting',
        label: 'The unit hangs at',
        options: [
          { value: 'floor', label: 'The floor, 0.6 m' },
          { value: 'window', label: 'A window, 1.0 m' },
          { value: 'wall', label: 'The wall, 1.8 m' },
          { value: 'ceiling', label: 'The ceiling, 2.2 m' },
        ],
        value: 'wall',
        required: true,
      },
    ],
    formula:
      'Area = (mass ÷ (2.5 × LFL^1.25 × height))², and for A2L at least mass ÷ (0.75 × LFL × height); none is asked up to 6 × LFL, 4 × for others (IEC 60335-2-40 Annex GG).',
  },
  saturation: {
    title: 'Saturation',
    lead: 'Boiling and condensing of a refrigerant: give one of the three.',
    fields: [
      refrigerant(ALL),
      gauge('gaugePressure', 'Gauge pressure', { required: false }),
      quantity('absolute-pressure', ['MPa', 'bar', 'kPa', 'psi'], {
        name: 'absolutePressure',
        label: 'or absolute pressure',
        required: false,
      }),
      degrees('temperature', 'or temperature', { required: false }),
      height,
    ],
    formula:
      'Our own fits to published equations of state, −40 to 65 °C. Subcooling counts from the bubble point, superheat from the dew point.',
  },
}
