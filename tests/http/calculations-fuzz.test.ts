// Whatever passes the calculators' own checks: is every figure in the answer a number, on both faces?

import fc from 'fast-check'
import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import type { z } from 'zod'
import { callbackRate } from '../../server/http/calculators/callback-rate.ts'
import { charge } from '../../server/http/calculators/charge.ts'
import { fillPressure } from '../../server/http/calculators/fill-pressure.ts'
import { flare } from '../../server/http/calculators/flare.ts'
import { holdTime } from '../../server/http/calculators/hold-time.ts'
import { leakRate } from '../../server/http/calculators/leak-rate.ts'
import { pressureHold } from '../../server/http/calculators/pressure-hold.ts'
import { roomArea } from '../../server/http/calculators/room-area.ts'
import { runningCheck } from '../../server/http/calculators/running-check.ts'
import { saturation } from '../../server/http/calculators/saturation.ts'
import { torqueSetting } from '../../server/http/calculators/torque-setting.ts'
import { tubeVolume } from '../../server/http/calculators/tube-volume.ts'
import { UNIT_KINDS, units } from '../../server/http/calculators/units.ts'
import { vacuumDecay } from '../../server/http/calculators/vacuum-decay.ts'
import { Refusal } from '../../server/refusals.ts'
import { fromSi, type QuantityKind, UNITS, type Unit } from '../../server/trade/units.ts'
import { OutsideValidity } from '../../server/trade/validity.ts'
import { REFRIGERANT_NAMES } from '../../server/vocabulary.ts'
import { aCast, type Cast } from '../support/cast.ts'
import { twoFaces } from '../support/two-faces.ts'

/** Evenly over the span, at its ends, and small as a slip of the finger makes it. */
const between = (min: number, max: number): fc.Arbitrary<number> =>
  fc.oneof(
    fc.double({ min, max, noNaN: true, noDefaultInfinity: true }),
    fc.constantFrom(min, max),
    fc.integer({ min: -12, max: 0 }).map((power) => min + (max - min) * 10 ** power),
  )

const quantity = (kind: QuantityKind, min: number, max: number) =>
  fc
    .tuple(between(min, max), fc.constantFrom(...(UNITS[kind] as readonly Unit[])))
    .map(([si, unit]) => ({ value: fromSi(kind, si, unit as never), unit }))
/** As they happen, and as they just about may. */
const usual = (kind: QuantityKind, low: number, high: number, min: number, max: number) =>
  fc.oneof({ weight: 3, arbitrary: quantity(kind, low, high) }, quantity(kind, min, max))
const maybe = <T>(arbitrary: fc.Arbitrary<T>) => fc.option(arbitrary, { nil: undefined })

const gauge = usual('gauge-pressure', 1e6, 4.5e6, -101_000, 2e7)
const degrees = usual('temperature', 253.15, 323.15, 193.15, 473.15)
const air = {
  siteElevation: maybe(quantity('length', -450, 6000)),
  absoluteAtmosphericPressure: maybe(quantity('absolute-pressure', 30_000, 120_000)),
}
const errors = {
  gaugeUncertainty: maybe(usual('gauge-pressure', 0, 50_000, 0, 2e7)),
  temperatureUncertainty: maybe(usual('temperature-difference', 0, 2, 0, 100)),
}
const refrigerant = fc.constantFrom(...REFRIGERANT_NAMES)
const moment = fc
  .integer({ min: 0, max: 4000 })
  .map((minute) => new Date(Date.UTC(2026, 2, 4, 0, minute)).toISOString())
const state = fc.record({ gaugePressure: gauge, temperature: degrees, at: moment })
const medium = maybe(fc.constantFrom('nitrogen', 'helium'))
const tube = usual('length', 0.006, 0.02, 0.003, 0.06)

interface Tried {
  definition: {
    path: string
    input: z.ZodType
    compute(input: never): unknown
    json(answer: never): unknown
    explain(answer: never): unknown
  }
  body: fc.Arbitrary<Record<string, unknown>>
  /** What the form sends; the rest of it is as the body. */
  readings?: true
}

const CALCULATORS: Tried[] = [
  {
    definition: torqueSetting,
    body: fc.record({
      low: usual('torque', 10, 60, 0, 1000),
      high: usual('torque', 30, 120, 0, 1000),
      wrenchAccuracyPercent: maybe(between(0, 50)),
      reading: maybe(usual('torque', 10, 120, 0, 1000)),
      adapter: maybe(
        fc.record({
          offset: usual('length', -0.2, 0.2, -1000, 1000),
          wrenchLength: usual('length', 0.1, 0.6, 0, 1000),
          angleDegrees: maybe(between(-180, 180)),
        }),
      ),
    }),
  },
  {
    definition: flare,
    body: fc.record({
      tubeOd: fc.oneof(
        fc.constantFrom(6.35, 9.52, 12.7, 15.88, 19.05).map((value) => ({ value, unit: 'mm' })),
        quantity('length', 0.004, 0.03),
      ),
      flareClass: fc.constantFrom('class-1', 'class-2'),
      tool: maybe(fc.constantFrom('clutch-made-for-class-2', 'clutch', 'wing')),
      outerDiameter: maybe(quantity('length', 0.001, 0.05)),
      projection: maybe(quantity('length', 0, 0.02)),
      nutAcrossFlats: maybe(quantity('length', 0.005, 0.06)),
      tubeWall: maybe(quantity('length', 0.0003, 0.003)),
      gaugePressure: maybe(quantity('gauge-pressure', 0, 2e7)),
    }),
  },
  {
    definition: pressureHold,
    body: fc.record({
      start: state,
      end: state,
      medium,
      ...air,
      ...errors,
      internalVolume: maybe(usual('volume', 1e-4, 0.02, 0, 1)),
      refrigerant: maybe(refrigerant),
    }),
  },
  {
    definition: fillPressure,
    body: fc.record({
      limit: usual('gauge-pressure', 2e6, 4.5e6, 1000, 2e7),
      temperature: degrees,
      warmest: degrees,
      gaugeError: maybe(quantity('gauge-pressure', 0, 1e6)),
      filled: maybe(gauge),
      ...air,
    }),
  },
  {
    definition: holdTime,
    body: fc.record({
      gaugePressure: usual('gauge-pressure', 1e6, 4.5e6, 1000, 2e7),
      temperature: maybe(degrees),
      temperatureChange: maybe(quantity('temperature-difference', 0, 100)),
      medium,
      ...air,
      ...errors,
      internalVolume: usual('volume', 1e-4, 0.02, 1e-6, 1),
      refrigerant,
      leakToSee: usual('mass-rate', 1e-3, 1, 1e-6, 1),
    }),
  },
  {
    definition: leakRate,
    body: fc.record({
      leak: fc.record({
        value: fc.oneof(between(1e-9, 1), between(0, 1e6)),
        unit: fc.constantFrom('Pa.m3/s', 'mbar.L/s', 'g/yr'),
      }),
      gas: maybe(fc.constantFrom(...REFRIGERANT_NAMES, 'nitrogen', 'helium', 'air')),
      temperature: maybe(degrees),
      testPressure: maybe(quantity('gauge-pressure', 1000, 2e7)),
    }),
  },
  {
    definition: vacuumDecay,
    readings: true,
    body: fc.record({
      readings: fc.oneof(
        // Any figures at any minutes, also twice the same minute.
        fc.array(
          fc.record({ minutes: between(0, 600), absolutePressure: quantity('absolute-pressure', 0, 1e6) }),
          { minLength: 1, maxLength: 12 },
        ),
        // A rise, in microns.
        fc
          .record({ from: between(50, 900), climb: between(0, 400), rounded: fc.boolean() })
          .map(({ from, climb, rounded }) =>
            Array.from({ length: 12 }, (_, minute) => {
              const value = from + climb * minute
              return {
                minutes: minute,
                absolutePressure: { value: rounded ? Math.round(value) : value, unit: 'micron' },
              }
            }),
          ),
      ),
      temperature: maybe(degrees),
      internalVolume: maybe(quantity('volume', 0, 1)),
      target: maybe(quantity('absolute-pressure', 1, 2e7)),
      riseLimit: maybe(quantity('absolute-pressure', 1, 2e7)),
      holdMinutes: maybe(between(0, 10_080)),
      gaugeResolution: maybe(quantity('absolute-pressure', 0, 1000)),
    }),
  },
  {
    definition: tubeVolume,
    body: fc.record({
      liquidOd: tube,
      gasOd: maybe(tube),
      tubeWall: maybe(quantity('length', 0.0003, 0.005)),
      length: quantity('length', 0.01, 1000),
    }),
  },
  {
    definition: charge,
    body: fc.record({
      factoryCharge: quantity('mass', 0, 1000),
      prechargedLength: quantity('length', 0, 1000),
      adder: quantity('mass-per-length', 0, 10),
      length: quantity('length', 0, 1000),
      refrigerant,
    }),
  },
  {
    definition: roomArea,
    body: fc.record({
      refrigerant,
      charge: usual('mass', 0.1, 10, 0.001, 1000),
      mounting: fc.constantFrom('floor', 'window', 'wall', 'ceiling'),
      floorArea: maybe(quantity('area', 0.1, 1e5)),
    }),
  },
  {
    definition: saturation,
    body: fc.oneof(
      fc.record({ refrigerant, temperature: degrees, ...air }),
      fc.record({ refrigerant, gaugePressure: usual('gauge-pressure', 0, 4e6, -101_000, 2e7), ...air }),
      fc.record({ refrigerant, absolutePressure: usual('absolute-pressure', 1e5, 4e6, 0, 2e7), ...air }),
    ),
  },
  {
    definition: runningCheck,
    body: fc.record({
      refrigerant,
      mode: maybe(fc.constantFrom('cooling', 'heating')),
      liquidLinePressure: maybe(usual('gauge-pressure', 5e5, 3.5e6, -101_000, 2e7)),
      liquidLineTemperature: maybe(degrees),
      suctionPressure: maybe(usual('gauge-pressure', 2e5, 1.5e6, -101_000, 2e7)),
      suctionTemperature: maybe(degrees),
      supplyAir: maybe(degrees),
      returnAir: maybe(degrees),
      subcoolingTarget: maybe(quantity('temperature-difference', 0, 100)),
      superheatTarget: maybe(quantity('temperature-difference', 0, 100)),
      ...air,
    }),
  },
  {
    definition: units,
    body: fc.constantFrom(...UNIT_KINDS).chain((kind) =>
      fc.record({
        kind: fc.constant(kind),
        written: fc
          .tuple(between(-1000, 1000), fc.constantFrom(...(UNITS[kind] as readonly Unit[])))
          .map(([value, unit]) => `${value} ${unit}`.slice(0, 60)),
      }),
    ),
  },
  {
    definition: callbackRate,
    body: fc.record({
      events: fc.oneof(fc.integer({ min: 0, max: 60 }), fc.integer({ min: 0, max: 100_000 })),
      jointYears: fc.oneof(between(1, 5000), between(1e-9, 1e8)),
      companyRate: maybe(between(0, 1e6)),
    }),
  },
]

/** Where a figure is none: the path of the first that is not finite, or reads like it. */
function notAFigure(value: unknown, path = ''): string | null {
  if (typeof value === 'number') return Number.isFinite(value) ? null : `${path} is ${value}`
  if (typeof value === 'string') {
    return /\b(NaN|Infinity|undefined|null)\b|∞/.test(value) ? `${path}: ${value}` : null
  }
  if (typeof value !== 'object' || value === null) return null
  for (const [name, inner] of Object.entries(value)) {
    const found = notAFigure(inner, `${path}.${name}`)
    if (found) return found
  }
  return null
}

const RUNS = 400

describe('any input that passes the checks', () => {
  it.each(CALCULATORS)('of $definition.path gives figures, or is refused with the reason', (tried) => {
    const { definition } = tried
    let answered = 0
    fc.assert(
      fc.property(tried.body, (body) => {
        const parsed = definition.input.safeParse(JSON.parse(JSON.stringify(body)))
        if (!parsed.success) return
        let answer: unknown
        try {
          answer = definition.compute(parsed.data as never)
        } catch (problem) {
          if (!(problem instanceof OutsideValidity) && !(problem instanceof Refusal)) throw problem
          expect(problem.message).not.toMatch(/NaN|Infinity|undefined/)
          return
        }
        answered += 1
        expect(notAFigure(definition.json(answer as never))).toBeNull()
        expect(notAFigure(definition.explain(answer as never))).toBeNull()
      }),
      { numRuns: RUNS },
    )
    // Else the inputs above would be no test of the arithmetic.
    expect(answered).toBeGreaterThan(RUNS / 10)
  })
})

describe('over the wire', () => {
  let cast: Cast
  let faces: Awaited<ReturnType<typeof twoFaces>>
  beforeAll(async () => {
    cast = await aCast()
    faces = await twoFaces(cast)
  })
  afterAll(() => cast.remove())

  /** As a form sends it. */
  function fieldsOf(body: object, readings: boolean): Record<string, string> {
    const fields: Record<string, string> = {}
    const flatten = (value: unknown, name: string) => {
      if (typeof value === 'object' && value !== null)
        for (const [inner, one] of Object.entries(value)) flatten(one, name ? `${name}.${inner}` : inner)
      else if (typeof value === 'number') fields[name.endsWith('.value') ? name : `${name}#`] = String(value)
      else if (value !== undefined) fields[name] = String(value)
    }
    if (!readings) flatten(body, '')
    else {
      const { readings: taken, ...rest } = body as {
        readings: { minutes: number; absolutePressure: { value: number } }[]
      }
      flatten(rest, '')
      fields.readings = taken.map((one) => `${one.minutes} ${one.absolutePressure.value}`).join('\n')
      fields.readingsUnit = 'Pa'
    }
    return fields
  }

  it.each(CALCULATORS)(
    '$definition.path answers or refuses, and never breaks',
    async (tried) => {
      const { path } = tried.definition
      await fc.assert(
        fc.asyncProperty(tried.body, async (body) => {
          const told = await faces.post(cast.tess, `/calculations/${path}`, body)
          expect([200, 400], `${told.statusCode} ${told.body}`).toContain(told.statusCode)
          if (told.statusCode === 400) expect(told.json().errors[0].message).not.toBe('')
          const fields = fieldsOf(JSON.parse(JSON.stringify(body)), tried.readings === true)
          const shown = await faces.look(cast.tess, `/calculators/${path}?${new URLSearchParams(fields)}`)
          expect([200, 400]).toContain(shown.statusCode)
          expect(shown.body).not.toMatch(/\bNaN\b|Infinity|\[object/)
        }),
        { numRuns: 12 },
      )
    },
    60_000,
  )
})
