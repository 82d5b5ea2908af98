/** What is published about each refrigerant the service knows? */
import { say } from '../words/say.ts'
import { OutsideValidity } from './validity.ts'

export const REFRIGERANTS = ['R-32', 'R-410A', 'R-454B', 'R-22', 'R-134a', 'R-290'] as const
export type RefrigerantName = (typeof REFRIGERANTS)[number]

/** A1: not flammable. A2L: flammable, slow. A3: highly flammable (ISO 817, ASHRAE 34). */
export type SafetyClass = 'A1' | 'A2L' | 'A3'

/** Assessment report whose 100-year global warming potentials are used; law in the EU and the USA names AR4 values. */
export type GwpBasis = 'AR4' | 'AR5' | 'AR6'
export const GWP_BASES = ['AR4', 'AR5', 'AR6'] as const satisfies readonly GwpBasis[]

export interface Refrigerant {
  name: RefrigerantName
  safetyClass: SafetyClass
  /** Lower flammability limit, kg/m³; null where not flammable. */
  lflKgPerM3: number | null
  lflSource: string
  /** 100-year global warming potential; null where the report gives none that is known here. */
  gwp: Record<GwpBasis, number | null>
  molarMassKgPerMol: number
  /** Dynamic viscosity of the gas at 25 °C and 101.325 kPa, Pa·s; several percent uncertain. */
  gasViscosityPaS: number
  /** True for a blend whose bubble and dew pressure differ by more than a percent. */
  glides: boolean
}

export const gwpSource = () => say.trade.ipccAr42007Ar5
export const molarMassSource = () => say.trade.theEquationsOfState
export const gasViscositySource = () => say.trade.coolprop800

const notFlammable = () => say.trade.ashrae34ClassA1

const table = (): Record<RefrigerantName, Refrigerant> => ({
  'R-32': {
    name: 'R-32',
    safetyClass: 'A2L',
    lflKgPerM3: 0.307,
    lflSource: say.trade.iso817Iec60335,
    gwp: { AR4: 675, AR5: 677, AR6: 771 },
    molarMassKgPerMol: 0.052024,
    gasViscosityPaS: 1.336443e-5,
    glides: false,
  },
  'R-410A': {
    name: 'R-410A',
    safetyClass: 'A1',
    lflKgPerM3: null,
    lflSource: notFlammable(),
    gwp: { AR4: 2088, AR5: 1924, AR6: 2256 },
    molarMassKgPerMol: 0.072585,
    gasViscosityPaS: 1.288196e-5,
    glides: false,
  },
  'R-454B': {
    name: 'R-454B',
    safetyClass: 'A2L',
    lflKgPerM3: 0.296,
    lflSource: say.trade.theLowerOfThe,
    gwp: { AR4: 466, AR5: 467, AR6: 531 },
    molarMassKgPerMol: 0.062614,
    gasViscosityPaS: 1.306e-5,
    glides: true,
  },
  'R-22': {
    name: 'R-22',
    safetyClass: 'A1',
    lflKgPerM3: null,
    lflSource: notFlammable(),
    gwp: { AR4: 1810, AR5: 1760, AR6: 1960 },
    molarMassKgPerMol: 0.086468,
    gasViscosityPaS: 1.378281e-5,
    glides: false,
  },
  'R-134a': {
    name: 'R-134a',
    safetyClass: 'A1',
    lflKgPerM3: null,
    lflSource: notFlammable(),
    gwp: { AR4: 1430, AR5: 1300, AR6: 1530 },
    molarMassKgPerMol: 0.102032,
    gasViscosityPaS: 1.181876e-5,
    glides: false,
  },
  'R-290': {
    name: 'R-290',
    safetyClass: 'A3',
    lflKgPerM3: 0.038,
    lflSource: say.trade.iso817Iec603352,
    gwp: { AR4: 3, AR5: null, AR6: 0.02 },
    molarMassKgPerMol: 0.044096,
    gasViscosityPaS: 8.146086e-6,
    glides: false,
  },
})

/** Everything held about a refrigerant, by its name. */
export function refrigerant(name: RefrigerantName): Refrigerant {
  const found = table()[name]
  if (!found)
    throw new OutsideValidity(say.trade.refrigerant(name), Number.NaN, { because: say.trade.notOneOfThose })
  return found
}

/** Reads a refrigerant's name as written: "r32", "R 410a", "R-454B"; null when it is none of those known. */
export function parseRefrigerant(text: string): RefrigerantName | null {
  const key = text.toLowerCase().replace(/[\s-]/g, '')
  return REFRIGERANTS.find((name) => name.toLowerCase().replace('-', '') === key) ?? null
}

/** True when the refrigerant is flammable (A2L or A3). */
export function isFlammable(name: RefrigerantName): boolean {
  return refrigerant(name).safetyClass !== 'A1'
}
