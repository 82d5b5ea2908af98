// What is typed into each calculator in a test, and which arithmetic must then stand on its page?

export interface Calculation {
  path: string
  what: string
  fields: Record<string, string>
  /** Gaps that do not break are plain blanks here. Formulas with the numbers in, as printed; each result was worked out again by hand from the figures in its line. */
  worked: string[]
}

const pairs = (figures: Record<string, [value: string, unit: string]>): Record<string, string> =>
  Object.fromEntries(
    Object.entries(figures).flatMap(([name, [value, unit]]) => [
      [`${name}.value`, value],
      [`${name}.unit`, unit],
    ]),
  )

export const CALCULATIONS: Calculation[] = [
  {
    path: 'torque-setting',
    what: 'a range of 25 to 30 ft·lbf, set to 28',
    fields: pairs({ low: ['25', 'ft.lbf'], high: ['30', 'ft.lbf'], reading: ['28', 'ft.lbf'] }),
    worked: [
      'T = (25 + 30) / 2 = 27.5 ft·lbf',
      'U = 4 % · 28 = 1.12 ft·lbf: between 26.88 and 29.12 ft·lbf',
      'P = (min(30, 29.12) − max(25, 26.88)) / (2 · 1.12) = 100 %',
      'simple 25 to 30; guarded 26.04 to 28.85 ft·lbf',
    ],
  },
  {
    path: 'torque-setting',
    what: 'an adapter, US Army TM 9-254',
    fields: pairs({
      low: ['28', 'ft.lbf'],
      high: ['32', 'ft.lbf'],
      'adapter.wrenchLength': ['12', 'in'],
      'adapter.offset': ['3', 'in'],
    }),
    worked: ['S = 30 · 304.8 / (304.8 + 76.2 · cos 0°) = 24 ft·lbf'],
  },
  {
    path: 'flare',
    what: '3/8 in for R-32',
    fields: {
      ...pairs({
        tubeOd: ['9.52', 'mm'],
        outerDiameter: ['13.0', 'mm'],
        projection: ['1.2', 'mm'],
        nutAcrossFlats: ['22', 'mm'],
        tubeWall: ['0.7', 'mm'],
        gaugePressure: ['4.15', 'MPa'],
      }),
      flareClass: 'class-2',
      tool: 'clutch',
    },
    worked: ['12.8 ≤ 13 ≤ 13.2 mm: true', 'P = 2 · 41.37 · 0.700 / (9.52 − 0.8 · 0.700) = 6.46 MPa'],
  },
  {
    path: 'pressure-hold',
    what: '4.15 MPa, cooled by 4 K',
    fields: {
      ...pairs({
        'start.gaugePressure': ['4.15', 'MPa'],
        'start.temperature': ['24', 'degC'],
        'end.gaugePressure': ['4.09', 'MPa'],
        'end.temperature': ['20', 'degC'],
        internalVolume: ['1.2', 'L'],
      }),
      'start.at@': '2026-03-04T10:00',
      'end.at@': '2026-03-04T11:10',
      refrigerant: 'R-32',
    },
    worked: [
      'p1 = 4.1500 + 0.1013 = 4.2513 MPa; T1 = 297.15 K, T2 = 293.15 K',
      'p2 = 4.2513 · (0.9942 · 293.15) / (0.9955 · 297.15) = 4.1884 MPa, on the gauge 4.087 MPa',
      'change = 4.1913 − 4.1884 MPa = 2.9 kPa',
      'U = √(2 · 7.52 + 2 · (15.7 · 0.125)2 + (15.7 · 0.3 · 4.00)2) = 21.8 kPa',
      'q = −1.2 L · (2.885 kPa) / 4200 s = −0.000824 Pa·m³/s',
      'qseen = 1.2 L · min(41.5, 2 · 21.82) kPa / 4200 s = 0.0119 Pa·m³/s',
      'm = 0.0119 · [(1.6902 − 0.1012) / 13.36] / [(4.2512 − 0.1012) / 17.8] · 52.02 g/mol · 31 536 000 / (8.3145 · 298.15) = 1650 g/year',
    ],
  },
  {
    path: 'fill-pressure',
    what: 'from 18 to 35 °C',
    fields: pairs({
      limit: ['4.15', 'MPa'],
      temperature: ['18', 'degC'],
      warmest: ['35', 'degC'],
      filled: ['4.0', 'MPa'],
    }),
    worked: [
      'ptop = 4.150 − 0.030 = 4.120 MPa gauge',
      'pfill = (4.120 + 0.101) · (0.9936 · 291.15) / (0.9988 · 308.15) − 0.101 = 3.866 MPa gauge',
    ],
  },
  {
    path: 'hold-time',
    what: '100 g/year from 2 L',
    fields: {
      ...pairs({
        gaugePressure: ['4.15', 'MPa'],
        internalVolume: ['2', 'L'],
        leakToSee: ['100', 'g/yr'],
      }),
      refrigerant: 'R-32',
    },
    worked: [
      'm = 0.00072 · [(1.6902 − 0.1012) / 13.36] / [(4.2512 − 0.1012) / 17.8] · 52.02 g/mol · 31 536 000 / (8.3145 · 298.15) = 100 g/year',
      'U = √(2 · 7.52 + 2 · 2.02 + 0.02) = 11.0 kPa',
      't = 2 L · 22.0 kPa / 0.0007202 Pa·m³/s = 61 000 s',
    ],
  },
  {
    path: 'leak-rate',
    what: 'what bubbles show',
    fields: { ...pairs({ leak: ['1.5e-4', 'Pa.m3/s'], testPressure: ['4.15', 'MPa'] }), gas: 'R-32' },
    worked: ['R-32: m = 0.00015 · 52.02 g/mol · 31 536 000 / (8.3145 · 293.15) = 101 g/year'],
  },
  {
    path: 'vacuum-decay',
    what: 'a straight rise',
    fields: {
      readings: Array.from({ length: 12 }, (_, minute) => `${minute} ${300 + 100 * minute}`).join('\n'),
      readingsUnit: 'micron',
      ...pairs({ internalVolume: ['1.2', 'L'] }),
    },
    worked: [
      'p = 300 + 100 · t micron, t in minutes; a at least 99.9, at most 100 (95 %)',
      'q = 1.2 L · 0.222 Pa/s = 0.000267 Pa·m³/s',
    ],
  },
  {
    path: 'tube-volume',
    what: 'quarter and three-eighths inch',
    fields: pairs({ liquidOd: ['6.35', 'mm'], gasOd: ['9.52', 'mm'], length: ['12', 'm'] }),
    worked: [
      'V = π/4 · (6.35 − 2 · 0.762)2 mm² · 12.00 m = 0.220 L',
      'V = π/4 · (9.52 − 2 · 0.800)2 mm² · 12.00 m = 0.591 L',
    ],
  },
  {
    path: 'charge',
    what: '4.5 m beyond what it came with',
    fields: {
      ...pairs({
        factoryCharge: ['900', 'g'],
        prechargedLength: ['7.5', 'm'],
        adder: ['20', 'g/m'],
        length: ['12', 'm'],
      }),
      refrigerant: 'R-32',
    },
    worked: [
      'madd = 20 g/m · max(0, 12 − 7.5) m = 90 g',
      'm = 900 + 90 = 990 g',
      'CO₂e = 0.990 kg · 675 = 668.3 kg (AR4)',
    ],
  },
  {
    path: 'room-area',
    what: '2 kg of R-32 at the floor',
    fields: {
      ...pairs({ charge: ['2', 'kg'], floorArea: ['30', 'm2'] }),
      refrigerant: 'R-32',
      mounting: 'floor',
    },
    worked: [
      'm1 = 1.842 kg, m2 = 15.96 kg, with LFL = 0.307 kg/m³',
      'A = (2 / (2.5 · 0.3071.25 · 0.6))2 = 34.04 m²',
      'A ≥ 2 / (0.75 · 0.307 · 0.6) = 14.48 m²',
    ],
  },
  {
    path: 'saturation',
    what: 'R-454B at 20 °C',
    fields: { ...pairs({ temperature: ['20', 'degC'] }), refrigerant: 'R-454B' },
    worked: [
      'x = 1000 / 293.150 − 3.4 = 0.01122; ln p = 14.167364 − 2.355751 · x − 0.011887 · x2 − 0.061795 · x3 + 0.043337 · x4 − 0.017211 · x5 = 14.14092; p = 1.3846 MPa absolute',
      'bubble: 1.3846 − 0.1013 = 1.2833 MPa; dew: 1.3280 − 0.1013 = 1.2267 MPa',
    ],
  },
  {
    path: 'running-check',
    what: 'R-410A, cooling',
    fields: {
      ...pairs({
        liquidLinePressure: ['2.6', 'MPa'],
        liquidLineTemperature: ['38', 'degC'],
        subcoolingTarget: ['5.5', 'K'],
        suctionPressure: ['0.85', 'MPa'],
        suctionTemperature: ['11', 'degC'],
        returnAir: ['26', 'degC'],
        supplyAir: ['13', 'degC'],
      }),
      refrigerant: 'R-410A',
      mode: 'cooling',
    },
    worked: [
      'p = 2.7013 MPa absolute: 44.50 °C − 38.00 °C = 6.50 K',
      'p = 0.9513 MPa absolute: 11.00 °C − 5.63 °C = 5.37 K',
      '26.00 − 13.00 = 13.00 K',
    ],
  },
  {
    path: 'units',
    what: '28 ft·lbf (NIST SP 811)',
    fields: { kind: 'torque', written: '28 ft-lb' },
    worked: ['28 ft·lbf · 1.355817948 = 37.9629 N·m'],
  },
  {
    path: 'units',
    what: 'a temperature',
    fields: { kind: 'temperature', written: '68 °F' },
    worked: ['TK = (68 − 32) / 1.8 + 273.15 = 293.15 K'],
  },
  {
    path: 'callback-rate',
    what: 'four leaks (Garwood 1936)',
    fields: { 'events#': '4', 'jointYears#': '820', 'companyRate#': '2.1' },
    worked: [
      'rate = 1000 · 4 / 820 = 4.88',
      'χ²(0.025; 8) / 2 = 1.0899 to χ²(0.975; 10) / 2 = 10.2416 leaks',
      '1000 · 1.0899 / 820 = 1.33 to 1000 · 10.2416 / 820 = 12.5',
    ],
  },
]
