// What does each calculator ask, and by which formula does it answer?

import type { QuantityKind, UnitOf } from '../../server/trade/units.ts'
import type { Harm } from '../parts/caution.tsx'
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
  | (Asked & { ask: 'text' })
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
  /** Where what is worked out here can hurt somebody. */
  cautions: readonly CalculatorCaution[]
}

interface CalculatorCaution {
  harm: Harm
  text: string
}

export type CalculatorPath =
  | 'torque-setting'
  | 'pressure-hold'
  | 'hold-time'
  | 'vacuum-decay'
  | 'charge'
  | 'room-area'
  | 'saturation'
  | 'flare'
  | 'fill-pressure'
  | 'leak-rate'
  | 'tube-volume'
  | 'running-check'
  | 'units'
  | 'callback-rate'

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
const torque = (name: string, label: string, more: Partial<Asked> = {}) =>
  quantity('torque', ['N.m', 'ft.lbf', 'in.lbf', 'kgf.cm'], { name, label, ...more })
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
const errors = () => [
  gauge('gaugeUncertainty', 'One gauge reading, ±', {
    hint: 'Empty: 7.5 kPa, a quarter of a 0.5 % gauge of 6 MPa (common practice, no source).',
    required: false,
  }),
  difference('temperatureUncertainty', 'One temperature reading, ±', {
    hint: 'Empty: 0.125 K, a quarter of a 0.5 K thermometer (common practice, no source).',
    required: false,
  }),
]

const UNDER_PRESSURE = {
  harm: 'pressure',
  text: 'Don’t tighten, loosen or knock a joint under test pressure, never go above the plate’s pressure, and stay to the side of the gauge.',
} as const
const NITROGEN = {
  harm: 'oxygen',
  text: 'Dry nitrogen only: oxygen or air with oil in the lines explodes.',
} as const
const FLAMMABLE_ROOM = {
  harm: 'flammable',
  text: 'No ignition source near it. A room that is too small is never made good by a note: another method needs its own document.',
} as const

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
      {
        ask: 'number',
        name: 'wrenchAccuracyPercent',
        label: 'The wrench’s accuracy, ± %',
        hint: 'Empty: 4, the usual class above 10 N·m (ISO 6789, from memory).',
        required: false,
      },
      torque('reading', 'What it showed, or was set to', {
        hint: 'To judge a torque that was pulled.',
        required: false,
      }),
    ],
    cautions: [
      {
        harm: 'pressure',
        text: 'Never tighten or loosen a joint under test pressure: release it first. An over-tight flare is damaged, not extra safe.',
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
      ...errors(),
    ],
    cautions: [UNDER_PRESSURE, NITROGEN],
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
      ...errors(),
    ],
    cautions: [UNDER_PRESSURE, NITROGEN],
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
      vacuum('gaugeResolution', 'The gauge’s smallest step', { hint: 'Empty: 1 micron.', required: false }),
      inside(false),
    ],
    cautions: [
      {
        harm: 'electricity',
        text: 'Never run a compressor, or test its insulation, while the lines are under vacuum.',
      },
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
    cautions: [
      {
        harm: 'frostbite',
        text: 'Liquid refrigerant freezes skin and eyes: gloves and eye protection. Certified persons only where the law says so.',
      },
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
      quantity('area', ['m2', 'sq.ft'], {
        name: 'floorArea',
        label: 'Floor area of the room',
        hint: 'The smallest with an indoor unit or a field-made joint; to judge it.',
        required: false,
      }),
    ],
    cautions: [FLAMMABLE_ROOM],
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
    cautions: [],
    formula:
      'Our own fits to published equations of state, −40 to 65 °C. Subcooling counts from the bubble point, superheat from the dew point.',
  },
  flare: {
    title: 'Flare',
    lead: 'How wide a flare should be, how far the tube stands out of the die, and which nut belongs to it.',
    fields: [
      size('tubeOd', 'Tube, outer diameter', { hint: '6.35, 9.52, 12.7, 15.88 or 19.05 mm.' }),
      {
        ask: 'choice',
        name: 'flareClass',
        label: 'Made for',
        options: [
          { value: 'class-2', label: 'R-410A, R-32 and their like: class 2' },
          { value: 'class-1', label: 'R-22, R-134a: class 1' },
        ],
        value: 'class-2',
        required: true,
      },
      {
        ask: 'choice',
        name: 'tool',
        label: 'Tool',
        options: [
          { value: 'clutch-made-for-class-2', label: 'Clutch, made for R-410A and R-32' },
          { value: 'clutch', label: 'Clutch, older' },
          { value: 'wing', label: 'Wing nut' },
        ],
        choose: 'Not asked',
        required: false,
      },
      size('outerDiameter', 'Measured across the flare', { required: false }),
      size('projection', 'Tube above the die', { required: false }),
      size('nutAcrossFlats', 'Nut, across flats', { required: false }),
      size('tubeWall', 'Wall of the tube', { required: false }),
      gauge('gaugePressure', 'Highest pressure it will see, gauge', { required: false }),
    ],
    cautions: [
      {
        harm: 'pressure',
        text: 'Thin tube, or a nut or flare of the older class, can burst at the pressures of R-410A and R-32.',
      },
    ],
    formula:
      'Bands by tube size and class (JIS B 8607 as commonly printed, from memory); projection: common practice, no source.',
  },
  'fill-pressure': {
    title: 'Fill pressure',
    lead: 'How high to fill nitrogen so that the warmest hour to come stays below the limit.',
    fields: [
      gauge('limit', 'Limit of the weakest part, gauge'),
      degrees('temperature', 'Temperature now'),
      degrees('warmest', 'Warmest to come'),
      gauge('filled', 'Filled to', { hint: 'To see what it becomes.', required: false }),
      gauge('gaugeError', 'The gauge’s error, ±', {
        hint: 'Empty: 30 kPa, a 0.5 % gauge of 6 MPa (common practice, no source).',
        required: false,
      }),
      height,
    ],
    cautions: [UNDER_PRESSURE, NITROGEN],
    formula:
      'Fill = (limit − gauge error) carried from the warmest temperature back to now at constant density, with nitrogen’s Z (Span et al. 2000).',
  },
  'leak-rate': {
    title: 'Leak rate',
    lead: 'One leak in Pa·m³/s, mbar·L/s and grams of each gas a year.',
    fields: [
      {
        ask: 'quantity',
        quantity: 'leak',
        name: 'leak',
        label: 'Leak',
        units: [
          { value: 'Pa.m3/s', label: 'Pa·m³/s' },
          { value: 'mbar.L/s', label: 'mbar·L/s' },
          { value: 'g/yr', label: 'g/year' },
        ],
        unit: 'Pa.m3/s',
        hint: 'Small figures as 1.5e-4.',
        required: true,
      },
      {
        ask: 'choice',
        name: 'gas',
        label: 'Of which gas',
        options: [...ALL, 'nitrogen', 'helium', 'air'].map((value) => ({ value, label: value })),
        value: 'R-32',
        required: true,
      },
      degrees('temperature', 'Temperature', { hint: 'Empty: 20 °C.', required: false }),
      gauge('testPressure', 'Nitrogen in the lines, gauge', {
        hint: 'To see what bubbles would show.',
        required: false,
      }),
    ],
    cautions: [],
    formula: 'Grams a year = throughput × molar mass × 31\u00a0536\u00a0000 s ÷ (R × T), ideal gas.',
  },
  'tube-volume': {
    title: 'Tube volume',
    lead: 'What a liquid and a gas line of this length hold.',
    fields: [
      size('liquidOd', 'Liquid line, outer diameter'),
      size('gasOd', 'Gas line, outer diameter', { required: false }),
      size('tubeWall', 'Wall', {
        hint: 'Empty: the thinnest annealed wall listed for the size.',
        required: false,
      }),
      run('length', 'Length'),
    ],
    cautions: [],
    formula: 'Volume = π/4 × (outer diameter − 2 × wall)² × length.',
  },
  'running-check': {
    title: 'Running check',
    lead: 'Subcooling, superheat and temperature split from what the gauges and thermometers show.',
    fields: [
      refrigerant(ALL),
      gauge('liquidLinePressure', 'Liquid line, gauge pressure', { required: false }),
      degrees('liquidLineTemperature', 'Liquid line, temperature', { required: false }),
      difference('subcoolingTarget', 'Subcooling asked for', {
        hint: 'From the maker; ± 3 °F is then allowed, for ducted systems.',
        required: false,
      }),
      gauge('suctionPressure', 'Suction line, gauge pressure', { required: false }),
      degrees('suctionTemperature', 'Suction line, temperature', { required: false }),
      difference('superheatTarget', 'Superheat asked for', {
        hint: 'From the maker; ± 5 °F is then allowed, for ducted systems.',
        required: false,
      }),
      degrees('returnAir', 'Air into the indoor unit', { required: false }),
      degrees('supplyAir', 'Air out of it', { required: false }),
      {
        ask: 'choice',
        name: 'mode',
        label: 'Running in',
        options: [
          { value: 'cooling', label: 'Cooling' },
          { value: 'heating', label: 'Heating' },
        ],
        value: 'cooling',
        required: true,
      },
      height,
    ],
    cautions: [
      {
        harm: 'electricity',
        text: 'Inverter capacitors stay charged: isolate, lock out, wait the label’s time and measure before you reach in.',
      },
    ],
    formula:
      'Subcooling = bubble temperature at the liquid line’s pressure − its temperature; superheat = suction line’s temperature − dew temperature at its pressure.',
  },
  units: {
    title: 'Units',
    lead: 'A quantity as you write it, in every other unit of its kind.',
    fields: [
      {
        ask: 'choice',
        name: 'kind',
        label: 'What it is',
        options: [
          { value: 'torque', label: 'Torque' },
          { value: 'gauge-pressure', label: 'Gauge pressure' },
          { value: 'absolute-pressure', label: 'Absolute pressure, vacuum' },
          { value: 'temperature', label: 'Temperature' },
          { value: 'temperature-difference', label: 'Difference of temperatures' },
          { value: 'length', label: 'Length, diameter' },
          { value: 'mass', label: 'Mass' },
          { value: 'mass-per-length', label: 'Mass for a length' },
          { value: 'volume', label: 'Volume' },
          { value: 'area', label: 'Area' },
          { value: 'time', label: 'Time' },
        ],
        value: 'torque',
        required: true,
      },
      {
        ask: 'text',
        name: 'written',
        label: 'Number and unit',
        hint: 'As you would write it: 28 ft-lb, 3/8 in, 500 µ, 12,5 bar, 1 ft 6 in.',
        required: true,
      },
    ],
    cautions: [],
    formula: 'Exact factors by definition (SI brochure, NIST SP 811).',
  },
  'callback-rate': {
    title: 'Callback rate',
    lead: 'How many leaks in a thousand joint-years, and how sure that is.',
    fields: [
      { ask: 'number', name: 'events', label: 'Leaks counted', required: true },
      {
        ask: 'number',
        name: 'jointYears',
        label: 'Joint-years watched',
        hint: 'Joints times the years each has been in service.',
        required: true,
      },
      {
        ask: 'number',
        name: 'companyRate',
        label: 'The company’s, in 1,000 joint-years',
        hint: 'To compare with.',
        required: false,
      },
    ],
    cautions: [],
    formula: 'Rate = 1000 × leaks ÷ joint-years, with Garwood’s exact bounds.',
  },
}

/** As they stand on the list. */
export const GROUPS: readonly { title: string; paths: readonly CalculatorPath[] }[] = [
  { title: 'Joints', paths: ['torque-setting', 'flare'] },
  {
    title: 'Pressure and vacuum',
    paths: ['pressure-hold', 'fill-pressure', 'hold-time', 'leak-rate', 'vacuum-decay', 'tube-volume'],
  },
  { title: 'Refrigerant', paths: ['charge', 'room-area', 'saturation', 'running-check'] },
  { title: 'Figures', paths: ['units', 'callback-rate'] },
]
