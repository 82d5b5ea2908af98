// Which figures does an equipment sheet hold, how are they kept in SI, and what was typed for them?

import { z } from 'zod'
import type { SheetFigures } from '../../store/rows.ts'
import {
  LENGTH_UNITS,
  TEMPERATURE_DIFFERENCE_UNITS,
  TORQUE_UNITS,
  toKelvinDifference,
  toMetres,
  toNewtonMetres,
  type Unit,
} from '../../trade/units.ts'
import { CHARGE_SCHEMES, LUBRICATIONS } from '../../vocabulary.ts'
import { say } from '../../words/say.ts'
import { text } from '../fields.ts'
import { absolutePressure, gaugePressure, length, type Measured, mass, massPerLength } from '../quantities.ts'
import { refrigerantName } from './add-system.ts'
import { tubeOd } from './line-set-fields.ts'

/** A range as typed, with its ends in SI. */
interface Span<U extends string = string> {
  low: number
  high: number
  unit: U
  siLow: number
  siHigh: number
}

/** `low`, `high` and the `unit` of both. */
function span<const U extends readonly [Unit, ...Unit[]], More extends z.ZodRawShape>(
  units: U,
  toSi: (quantity: { value: number; unit: U[number] }) => number,
  bounds: { min: number; max: number },
  more: More,
) {
  return z
    .strictObject({
      low: z.number({ error: () => say.systems.enterANumber }),
      high: z.number({ error: () => say.systems.enterANumber }),
      unit: z.enum(units, { error: () => say.systems.useOneOf(units.join(', ')) }),
      ...more,
    })
    .transform((typed, context) => {
      const { low, high, unit } = typed as { low: number; high: number; unit: U[number] }
      const siLow = toSi({ value: low, unit })
      const siHigh = toSi({ value: high, unit })
      for (const [path, si] of [
        ['low', siLow],
        ['high', siHigh],
      ] as const) {
        if (si < bounds.min || si > bounds.max)
          context.addIssue({
            code: 'custom',
            path: [path],
            message: say.systems.noEquipmentAsksFor,
          })
      }
      if (low > high) context.addIssue({ code: 'custom', path: ['high'], message: say.systems.theUpperEndIs })
      return { ...typed, siLow, siHigh } as typeof typed & Span<U[number]>
    })
}

const torqueSpan = span(TORQUE_UNITS, toNewtonMetres, { min: 0.1, max: 500 }, { tubeOd })
const diameterSpan = span(LENGTH_UNITS, toMetres, { min: 0.003, max: 0.12 }, { tubeOd })
const differenceSpan = span(TEMPERATURE_DIFFERENCE_UNITS, toKelvinDifference, { min: 0, max: 100 }, {})

const count = z.number({ error: () => say.systems.enterANumber })

/** All fields of a sheet but its id. */
export const sheetShape = {
  maker: text(120),
  model: text(120),
  kind: text(60).meta({ description: 'In words: "wall split", "four-zone outdoor unit".' }),
  refrigerant: refrigerantName,
  factoryCharge: mass({ max: 200 }).optional(),
  maxCharge: mass({ max: 400 }).optional(),
  prechargedLength: length({ max: 500 }).optional(),
  chargeScheme: z
    .enum(CHARGE_SCHEMES, { error: () => say.systems.useOneOf(CHARGE_SCHEMES.join(', ')) })
    .optional(),
  chargeAdders: z
    .array(z.strictObject({ liquidOd: tubeOd, perLength: massPerLength() }))
    .max(20)
    .optional(),
  perIndoorUnit: z
    .array(z.strictObject({ model: text(120), mass: mass({ max: 20 }) }))
    .max(100)
    .optional(),
  makerTableCharge: mass({ max: 400 })
    .optional()
    .meta({ description: 'For the scheme `maker-table`: the required mass as the maker’s table gives it.' }),
  minLength: length().optional(),
  maxLength: length().optional(),
  maxTotalLength: length().optional(),
  maxRise: length({ max: 200 }).optional().meta({ description: 'Both directions.' }),
  maxRiseOutdoorAbove: length({ max: 200 }).optional(),
  maxRiseOutdoorBelow: length({ max: 200 }).optional(),
  testPressureGauge: gaugePressure({ min: 1e4, max: 1.5e7 }).optional(),
  maxPressureGauge: gaugePressure({ min: 1e4, max: 1.5e7 }).optional(),
  vacuumTarget: absolutePressure({ min: 0.1, max: 1e4 }).optional(),
  vacuumLimit: absolutePressure({ min: 0.1, max: 1e4 }).optional(),
  vacuumHoldMinutes: count
    .min(0, { error: () => say.systems.atLeast0 })
    .max(1440, { error: () => say.systems.atMostADay })
    .optional(),
  torque: z.array(torqueSpan).max(30).optional(),
  flareDiameter: z.array(diameterSpan).max(30).optional(),
  flareLubrication: z
    .enum(LUBRICATIONS, { error: () => say.systems.useOneOf(LUBRICATIONS.join(', ')) })
    .optional(),
  subcooling: differenceSpan.optional(),
  superheat: differenceSpan.optional(),
  temperatureSplit: differenceSpan.optional(),
  source: z.strictObject(
    { document: text(200), page: text(40) },
    { error: () => say.systems.sayWhichDocumentAnd },
  ),
}

/** What must fit together across fields. */
export const wholeSheet = z.strictObject(sheetShape).superRefine((sheet, context) => {
  const inOrder = (low: Measured | undefined, high: Measured | undefined, path: string, message: string) => {
    if (low && high && low.si > high.si) context.addIssue({ code: 'custom', path: [path, 'value'], message })
  }
  inOrder(sheet.factoryCharge, sheet.maxCharge, 'maxCharge', say.systems.thisIsBelowThe)
  inOrder(sheet.minLength, sheet.maxLength, 'maxLength', say.systems.thisIsBelowTheShortest)
  inOrder(sheet.vacuumTarget, sheet.vacuumLimit, 'vacuumLimit', say.systems.thisIsBelowTheTarget)
  if (sheet.maxRise && (sheet.maxRiseOutdoorAbove || sheet.maxRiseOutdoorBelow))
    context.addIssue({
      code: 'custom',
      path: ['maxRise'],
      message: say.systems.giveOneRiseFor,
    })
})
export type Sheet = z.output<typeof wholeSheet>

export function figuresOf(sheet: Sheet): SheetFigures {
  const si = (measured: Measured | undefined) => measured?.si ?? null
  const range = (given: Span | undefined) => (given ? { low: given.siLow, high: given.siHigh } : null)
  return {
    factoryChargeKg: si(sheet.factoryCharge),
    maxChargeKg: si(sheet.maxCharge),
    prechargedLengthM: si(sheet.prechargedLength),
    chargeScheme: sheet.chargeScheme ?? null,
    chargeAdders: (sheet.chargeAdders ?? []).map((adder) => ({
      liquidOdM: adder.liquidOd.si,
      kgPerM: adder.perLength.si,
    })),
    perIndoorUnit: (sheet.perIndoorUnit ?? []).map((unit) => ({ model: unit.model, massKg: unit.mass.si })),
    makerTableChargeKg: si(sheet.makerTableCharge),
    minLengthM: si(sheet.minLength),
    maxLengthM: si(sheet.maxLength),
    maxTotalLengthM: si(sheet.maxTotalLength),
    maxRiseOutdoorAboveM: si(sheet.maxRiseOutdoorAbove ?? sheet.maxRise),
    maxRiseOutdoorBelowM: si(sheet.maxRiseOutdoorBelow ?? sheet.maxRise),
    testPressureGaugePa: si(sheet.testPressureGauge),
    maxPressureGaugePa: si(sheet.maxPressureGauge),
    vacuumTargetPa: si(sheet.vacuumTarget),
    vacuumLimitPa: si(sheet.vacuumLimit),
    vacuumHoldS: sheet.vacuumHoldMinutes === undefined ? null : sheet.vacuumHoldMinutes * 60,
    torqueNm: (sheet.torque ?? []).map((one) => ({
      tubeOdM: one.tubeOd.si,
      lowNm: one.siLow,
      highNm: one.siHigh,
    })),
    flareDiameterM: (sheet.flareDiameter ?? []).map((one) => ({
      tubeOdM: one.tubeOd.si,
      lowM: one.siLow,
      highM: one.siHigh,
    })),
    flareLubrication: sheet.flareLubrication ?? null,
    subcoolingK: range(sheet.subcooling),
    superheatK: range(sheet.superheat),
    temperatureSplitK: range(sheet.temperatureSplit),
  }
}

const OURS = new Set(['si', 'siLow', 'siHigh'])

/** The sheet exactly as it was sent: what was computed beside it is left out again. */
export function asSent(value: unknown): unknown {
  if (Array.isArray(value)) return value.map(asSent)
  if (typeof value !== 'object' || value === null) return value
  return Object.fromEntries(
    Object.entries(value)
      .filter(([name, inner]) => !OURS.has(name) && inner !== undefined)
      .map(([name, inner]) => [name, asSent(inner)]),
  )
}
