/** Is the room large enough for the charge of a flammable refrigerant? */
import { say } from '../words/say.ts'
import { type RefrigerantName, refrigerant, type SafetyClass } from './refrigerants.ts'
import { OutsideValidity, requirePositive, requireWithin } from './validity.ts'

export type Mounting = 'floor' | 'window' | 'wall' | 'ceiling'
export const MOUNTINGS = ['floor', 'window', 'wall', 'ceiling'] as const satisfies readonly Mounting[]

/** Edition of IEC 60335-2-40 whose Annex GG is used: 6 (2018) treats A2L apart, 5 (2013) does not. */
export type RoomEdition = 'edition-5' | 'edition-6'

/** Reference heights h₀ in m, IEC 60335-2-40 Annex GG as manuals print it. */
export const REFERENCE_HEIGHT_M: Record<Mounting, number> = { floor: 0.6, window: 1, wall: 1.8, ceiling: 2.2 }

/** IEC 60335-2-40 Annex GG as manuals print it; 52 is from memory, the cap is confirmed by two makers' tables. */
const ANNEX_GG = {
  least: { a2l: 6, other: 4 },
  most: { a2l: 52, other: 26 },
  squareRoot: 2.5,
  lflExponent: 1.25,
  cap: 0.75,
  leastHeightM: 0.6,
} as const

const editionName = (): Record<RoomEdition, string> => ({
  'edition-5': say.trade.iec60335240,
  'edition-6': say.trade.iec603352402018,
})

export interface RoomCase {
  refrigerant: RefrigerantName
  /** Height of the release, m; `mounting` gives the reference height where this is not stated. */
  releaseHeightM?: number | undefined
  mounting?: Mounting | undefined
  edition?: RoomEdition | undefined
  /** Lower flammability limit, kg/m³, where another than the built-in one is to be used. */
  lflKgPerM3?: number | undefined
}

interface Prepared {
  lfl: number
  h0: number
  a2l: boolean
  edition: RoomEdition
  m1Kg: number
  m2Kg: number
}

function prepare(input: RoomCase): Prepared {
  const { safetyClass, lflKgPerM3 } = refrigerant(input.refrigerant)
  if (safetyClass === 'A1' || lflKgPerM3 === null) {
    throw new OutsideValidity(say.trade.flammabilityLimitOf(input.refrigerant), Number.NaN, {
      because: say.trade.notFlammableThisRoom,
    })
  }
  const lfl = requireWithin(
    say.trade.lowerFlammabilityLimit,
    input.lflKgPerM3 ?? lflKgPerM3,
    0.01,
    1,
    'kg/m³',
  )
  const height =
    input.releaseHeightM ?? (input.mounting === undefined ? undefined : REFERENCE_HEIGHT_M[input.mounting])
  if (height === undefined) {
    throw new OutsideValidity(say.trade.releaseHeight, Number.NaN, {
      because: say.trade.stateTheMountingOr,
    })
  }
  const h0 = Math.max(requireWithin(say.trade.releaseHeight, height, 0, 10, 'm'), ANNEX_GG.leastHeightM)
  const edition = input.edition ?? 'edition-6'
  const a2l = isA2lRule(safetyClass, edition)
  const least = a2l ? ANNEX_GG.least.a2l : ANNEX_GG.least.other
  const most = a2l ? ANNEX_GG.most.a2l : ANNEX_GG.most.other
  return { lfl, h0, a2l, edition, m1Kg: least * lfl, m2Kg: most * lfl }
}

function isA2lRule(safetyClass: SafetyClass, edition: RoomEdition): boolean {
  return safetyClass === 'A2L' && edition === 'edition-6'
}

export interface RoomArea {
  /** Least floor area, m²; 0 up to m₁; null above m₂, where this method no longer serves. */
  minimumFloorAreaM2: number | null
  governs: 'no-limit' | 'square-root' | 'cap' | 'beyond-method'
  squareRootAreaM2: number
  /** Null where the cap does not apply. */
  capAreaM2: number | null
  heightM: number
  m1Kg: number
  m2Kg: number
  lflKgPerM3: number
  source: string
}

/**
 * Least floor area (m²) of an unventilated room for the whole circuit's charge (kg), by Annex GG of IEC 60335-2-40:
 * nothing asked up to m₁; A = (m/(2.5·LFL^1.25·h₀))², and for A2L in edition 6 also A ≥ m/(0.75·LFL·h₀), the larger
 * governs (makers' tables disagree on the cap; the larger area is the safe one). Above m₂ another method is needed.
 * Valid for A2L and A3 refrigerants, heights up to 10 m. LFL spread between tables moves the area by about 1 % (R-32).
 */
export function minimumFloorArea(input: RoomCase & { chargeKg: number }): RoomArea {
  const charge = requirePositive(say.trade.charge, input.chargeKg, 'kg')
  const { lfl, h0, a2l, edition, m1Kg, m2Kg } = prepare(input)
  const squareRootAreaM2 = (charge / (ANNEX_GG.squareRoot * lfl ** ANNEX_GG.lflExponent * h0)) ** 2
  const capAreaM2 = a2l ? charge / (ANNEX_GG.cap * lfl * h0) : null
  const base = {
    squareRootAreaM2,
    capAreaM2,
    heightM: h0,
    m1Kg,
    m2Kg,
    lflKgPerM3: lfl,
    source: editionName()[edition],
  }
  const slack = 1e-9
  if (charge <= m1Kg + slack) return { minimumFloorAreaM2: 0, governs: 'no-limit', ...base }
  if (charge > m2Kg + slack) return { minimumFloorAreaM2: null, governs: 'beyond-method', ...base }
  const capGoverns = capAreaM2 !== null && capAreaM2 > squareRootAreaM2
  return {
    minimumFloorAreaM2: capGoverns ? capAreaM2 : squareRootAreaM2,
    governs: capGoverns ? 'cap' : 'square-root',
    ...base,
  }
}

/**
 * Largest charge (kg) that a room of `floorAreaM2` allows by the same method: never below m₁, never above m₂.
 * `byAreaKg` is what the formulas give for the area alone.
 */
export function largestCharge(input: RoomCase & { floorAreaM2: number }): {
  maximumChargeKg: number
  byAreaKg: number
  m1Kg: number
  m2Kg: number
  source: string
} {
  const area = requirePositive(say.trade.floorArea, input.floorAreaM2, 'm²')
  const { lfl, h0, a2l, edition, m1Kg, m2Kg } = prepare(input)
  const squareRoot = ANNEX_GG.squareRoot * lfl ** ANNEX_GG.lflExponent * h0 * Math.sqrt(area)
  const cap = a2l ? ANNEX_GG.cap * lfl * h0 * area : Number.POSITIVE_INFINITY
  const byAreaKg = Math.min(squareRoot, cap)
  return {
    maximumChargeKg: Math.min(m2Kg, Math.max(m1Kg, byAreaKg)),
    byAreaKg,
    m1Kg,
    m2Kg,
    source: editionName()[edition],
  }
}
