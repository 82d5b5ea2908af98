/** How much refrigerant does the system need, is the weighed amount right, and what is it in CO₂? */
import { say } from '../words/say.ts'
import { type GwpBasis, gwpSource, type RefrigerantName, refrigerant } from './refrigerants.ts'
import { OutsideValidity, requireFinite, requireNotNegative, requirePositive } from './validity.ts'

/** One liquid line of the circuit. */
export interface ChargeLine {
  lengthM: number
  /** Mass per metre for this line's size; needed by `per-line`. */
  adderKgPerM?: number | undefined
}

/**
 * The equipment sheet's way of counting. `per-line`: each line's length beyond the pre-charged one by its own adder.
 * `total-length`: the sum of all lengths beyond the pre-charged one by one adder. `maker-table`: the mass read from a
 * table in the maker's document. There is no built-in adder: printed ones spread two to one.
 */
export type ChargeScheme =
  | { kind: 'per-line'; prechargedLengthM: number; lines: readonly ChargeLine[] }
  | { kind: 'total-length'; prechargedLengthM: number; adderKgPerM: number; lines: readonly ChargeLine[] }
  | { kind: 'maker-table'; additionalKg: number; document: string; page: string }

export interface RequiredCharge {
  additionalKg: number
  totalKg: number
  /** Nothing to add: release the factory charge and open the valves fully; no scale is needed. */
  nothingToAdd: boolean
  /** Mass of each line under `per-line`, of the whole under the others, and of each indoor unit. */
  parts: { what: 'line' | 'lines' | 'table' | 'indoor-unit' | 'allowance'; massKg: number }[]
}

/**
 * Charge to add and in total, kg. `factoryChargeKg`: what the outdoor unit comes with. `indoorUnitMassesKg`: the
 * sheet's mass per indoor unit. `includedAllowanceKg`: mass the factory charge already holds for lines, where the
 * sheet states a mass instead of a length. Never below zero. Exact arithmetic; no error of its own.
 */
export function requiredCharge(input: {
  factoryChargeKg: number
  scheme: ChargeScheme
  indoorUnitMassesKg?: readonly number[] | undefined
  includedAllowanceKg?: number | undefined
}): RequiredCharge {
  const factory = requireNotNegative(say.trade.factoryCharge, input.factoryChargeKg, 'kg')
  const parts: RequiredCharge['parts'] = []
  const { scheme } = input
  if (scheme.kind === 'maker-table') {
    parts.push({
      what: 'table',
      massKg: requireNotNegative(say.trade.massFromTheTable, scheme.additionalKg, 'kg'),
    })
  } else {
    const precharged = requireNotNegative(say.trade.preChargedLength, scheme.prechargedLengthM, 'm')
    const lengths = scheme.lines.map((line) => requireNotNegative(say.trade.lineLength, line.lengthM, 'm'))
    if (scheme.kind === 'total-length') {
      const adder = requireNotNegative(say.trade.chargePerLength, scheme.adderKgPerM, 'kg/m')
      const total = lengths.reduce((sum, length) => sum + length, 0)
      parts.push({ what: 'lines', massKg: adder * Math.max(0, total - precharged) })
    } else {
      scheme.lines.forEach((line, index) => {
        if (line.adderKgPerM === undefined) {
          throw new OutsideValidity(say.trade.chargePerLength, Number.NaN, {
            because: say.trade.theSheetNamesNone,
          })
        }
        const adder = requireNotNegative(say.trade.chargePerLength, line.adderKgPerM, 'kg/m')
        parts.push({ what: 'line', massKg: adder * Math.max(0, (lengths[index] ?? 0) - precharged) })
      })
    }
  }
  for (const mass of input.indoorUnitMassesKg ?? []) {
    parts.push({ what: 'indoor-unit', massKg: requireNotNegative(say.trade.massPerIndoorUnit, mass, 'kg') })
  }
  const allowance = requireNotNegative(say.trade.includedAllowance, input.includedAllowanceKg ?? 0, 'kg')
  if (allowance > 0) parts.push({ what: 'allowance', massKg: -allowance })
  const additionalKg = Math.max(
    0,
    parts.reduce((sum, part) => sum + part.massKg, 0),
  )
  return { additionalKg, totalKg: factory + additionalKg, nothingToAdd: additionalKg === 0, parts }
}

/** Least tolerance and its share of the total charge (common practice, no source; one manual prints ±28 g). */
export const CHARGE_TOLERANCE = { leastKg: 0.03, shareOfTotal: 0.03 } as const

/**
 * Tolerance of the weighed charge, kg: the larger of √2 × the scale's limit of error (two weighings), 30 g and 3 % of
 * the total charge (common practice, no source).
 */
export function chargeTolerance(input: { totalKg: number; scaleErrorKg: number }): number {
  const total = requireNotNegative(say.trade.totalCharge, input.totalKg, 'kg')
  const scale = requireNotNegative(say.trade.scaleError, input.scaleErrorKg, 'kg')
  return Math.max(Math.SQRT2 * scale, CHARGE_TOLERANCE.leastKg, CHARGE_TOLERANCE.shareOfTotal * total)
}

export type ChargeVerdict = 'within' | 'under' | 'over'

/**
 * Judges what was weighed in (less what was taken out), kg, against what was required. Simple acceptance, limits
 * included. `aboveMaximum`: the total now passes the sheet's maximum, by any amount beyond rounding.
 */
export function judgeCharge(input: {
  weighedKg: number
  requiredAdditionalKg: number
  factoryChargeKg: number
  scaleErrorKg: number
  maximumChargeKg?: number | undefined
}): {
  verdict: ChargeVerdict
  differenceKg: number
  toleranceKg: number
  totalKg: number
  aboveMaximum: boolean
} {
  const weighed = requireFinite(say.trade.weighedCharge, input.weighedKg, 'kg')
  const required = requireNotNegative(say.trade.requiredCharge, input.requiredAdditionalKg, 'kg')
  const factory = requireNotNegative(say.trade.factoryCharge, input.factoryChargeKg, 'kg')
  const toleranceKg = chargeTolerance({ totalKg: factory + required, scaleErrorKg: input.scaleErrorKg })
  const differenceKg = weighed - required
  const totalKg = factory + weighed
  const slack = 1e-9
  const verdict =
    differenceKg < -toleranceKg - slack ? 'under' : differenceKg > toleranceKg + slack ? 'over' : 'within'
  const maximum =
    input.maximumChargeKg === undefined
      ? Number.POSITIVE_INFINITY
      : requirePositive(say.trade.maximumCharge, input.maximumChargeKg, 'kg')
  return { verdict, differenceKg, toleranceKg, totalKg, aboveMaximum: totalKg > maximum + slack }
}

/**
 * CO₂-equivalent in kg of a mass of refrigerant: mass × 100-year GWP. The basis (AR4, AR5, AR6) goes with the figure;
 * law in the EU and the USA uses AR4 values. Refuses a basis that gives no value for the refrigerant.
 */
export function co2Equivalent(input: { refrigerant: RefrigerantName; massKg: number; basis: GwpBasis }): {
  co2eKg: number
  gwp: number
  basis: GwpBasis
  source: string
} {
  const mass = requireNotNegative(say.trade.mass, input.massKg, 'kg')
  const gwp = refrigerant(input.refrigerant).gwp[input.basis]
  if (gwp === null || gwp === undefined) {
    throw new OutsideValidity(say.trade.gwpOfBy(input.refrigerant, input.basis), Number.NaN, {
      because: say.trade.noValueIsKnown,
    })
  }
  return { co2eKg: mass * gwp, gwp, basis: input.basis, source: gwpSource() }
}
