/** At which pressure and temperature does a refrigerant boil, and how dense is its liquid then? */
import { say } from '../words/say.ts'
import type { RefrigerantName } from './refrigerants.ts'
import { OutsideValidity, requirePositive, requireWithin } from './validity.ts'

/** Bubble: the first vapour (use it for subcooling). Dew: the last liquid (use it for superheat). */
export type SaturationLine = 'bubble' | 'dew'

/** Range of every fit below. A polynomial of degree five must not be stretched. */
export const SATURATION_VALIDITY = { lowK: 233.15, highK: 338.15 } as const

type Six = readonly [number, number, number, number, number, number]
type Five = readonly [number, number, number, number, number]

interface Fit {
  bubble: Six
  dew: Six
  /** Largest relative error of the pressure fits against the reference table. */
  pressureError: { bubble: number; dew: number }
  density: { t0K: number; b: Five; error: number }
  source: string
}

const R32: Six = [14.23059938, -2.378969373, 6.524223623e-4, -7.642509362e-2, 6.229383249e-2, -2.713025816e-2]
const R22: Six = [13.74816956, -2.400564869, -3.790065675e-2, -4.77107122e-2, 3.281856224e-2, -1.258306655e-2]
const R134A: Six = [
  13.2861904, -2.654774934, -7.793253083e-2, -4.90451783e-2, 3.244829047e-2, -1.157088631e-2,
]
const R290: Six = [
  13.66234313, -2.26328321, -1.468059971e-2, -4.658413359e-2, 3.033295497e-2, -1.143308227e-2,
]

/**
 * Our own minimax fits to tables computed with CoolProp 8.0.0 from the equation of state named at each fluid.
 * p = exp(a0 + a1 x + … + a5 x⁵) Pa, x = 1000/T − 3.4; ρ = b0 + b1 u + … + b4 u⁴ kg/m³, u = (1 − T/T0)^(1/3).
 */
const fits = (): Record<RefrigerantName, Fit> => ({
  'R-32': {
    bubble: R32,
    dew: R32,
    pressureError: { bubble: 7.2e-5, dew: 7.2e-5 },
    density: {
      t0K: 351.255,
      b: [429.7074507, 709.090946, 754.1227801, -664.7622529, 497.2263671],
      error: 1.4e-5,
    },
    source: say.trade.tillnerRothYokozekiJ,
  },
  'R-410A': {
    bubble: [14.21188547, -2.365171453, -6.021185902e-4, -8.818616456e-2, 7.49741718e-2, -3.265230042e-2],
    dew: [14.20878155, -2.365496083, -8.318473936e-4, -9.538363337e-2, 9.272303197e-2, -4.381722431e-2],
    pressureError: { bubble: 8.2e-5, dew: 1.2e-4 },
    density: {
      t0K: 344.494,
      b: [436.4404228, 1248.23837, -495.3103876, 1002.788154, -320.774386],
      error: 1.3e-4,
    },
    source: say.trade.lemmonIntJThermophys,
  },
  'R-454B': {
    bubble: [14.16736432, -2.355750694, -1.18865568e-2, -6.179475335e-2, 4.333691472e-2, -1.721100508e-2],
    dew: [14.12591078, -2.378388776, 4.53531266e-3, -9.330021977e-2, 8.568003175e-2, -4.025184162e-2],
    pressureError: { bubble: 4.0e-5, dew: 1.2e-4 },
    density: {
      t0K: 351.43,
      b: [436.7313802, 712.5520406, 911.3247005, -920.2571704, 618.043211],
      error: 1.2e-5,
    },
    source: say.trade.mixtureModelBellJ,
  },
  'R-22': {
    bubble: R22,
    dew: R22,
    pressureError: { bubble: 2.5e-5, dew: 2.5e-5 },
    density: {
      t0K: 369.295,
      b: [459.5113863, 1361.805287, -752.7116485, 1203.589888, -324.9388163],
      error: 9.2e-6,
    },
    source: say.trade.kameiBeyerleinJacobsenInt,
  },
  'R-134a': {
    bubble: R134A,
    dew: R134A,
    pressureError: { bubble: 2.4e-5, dew: 2.4e-5 },
    density: {
      t0K: 374.21,
      b: [643.4594373, -123.9423931, 3524.12398, -4076.111633, 2061.321303],
      error: 1.3e-6,
    },
    source: say.trade.tillnerRothBaehrJ,
  },
  'R-290': {
    bubble: R290,
    dew: R290,
    pressureError: { bubble: 2.5e-5, dew: 2.5e-5 },
    density: {
      t0K: 369.89,
      b: [241.5468777, 198.1682791, 686.4215465, -710.1193796, 390.502308],
      error: 5.2e-6,
    },
    source: say.trade.lemmonMclindenWagnerJ,
  },
})

function fitOf(name: RefrigerantName): Fit {
  const fit = fits()[name]
  if (!fit)
    throw new OutsideValidity(say.trade.saturationOf(name), Number.NaN, { because: say.trade.noFitForThis })
  return fit
}

/** The published equation of state behind a refrigerant's fits, and their largest relative errors against it. */
export function saturationSource(name: RefrigerantName): {
  source: string
  pressureError: { bubble: number; dew: number }
  densityError: number
} {
  const fit = fitOf(name)
  return { source: fit.source, pressureError: fit.pressureError, densityError: fit.density.error }
}

/** The six coefficients of a line's fit, for whoever explains the figure: ln p = a0 + a1 x + … + a5 x⁵, x = 1000/T − 3.4. */
export function saturationCoefficients(name: RefrigerantName, line: SaturationLine): readonly number[] {
  return fitOf(name)[line]
}

function logPressure([a0, a1, a2, a3, a4, a5]: Six, temperatureK: number): number {
  const x = 1000 / temperatureK - 3.4
  return a0 + x * (a1 + x * (a2 + x * (a3 + x * (a4 + x * a5))))
}

/**
 * Saturation pressure, Pa absolute, at `temperatureK`. Valid −40…65 °C. Error of the fit at most 1.2e-4 relative
 * (per fluid: `saturationSource`); the data behind R-454B may differ from printed charts by up to 1.5 %.
 */
export function saturationPressure(
  name: RefrigerantName,
  line: SaturationLine,
  temperatureK: number,
): number {
  const fit = fitOf(name)
  const { lowK, highK } = SATURATION_VALIDITY
  return Math.exp(
    logPressure(fit[line], requireWithin(say.trade.temperature, temperatureK, lowK, highK, 'K')),
  )
}

/**
 * Saturation temperature, K, at an absolute pressure in Pa. Valid between the pressures at −40 and 65 °C; error of
 * the fit at most 0.006 K. Found by bisection: every fit grows strictly with temperature.
 */
export function saturationTemperature(
  name: RefrigerantName,
  line: SaturationLine,
  absolutePressurePa: number,
): number {
  const fit = fitOf(name)
  requirePositive(say.trade.absolutePressure, absolutePressurePa, 'Pa')
  let low: number = SATURATION_VALIDITY.lowK
  let high: number = SATURATION_VALIDITY.highK
  const target = Math.log(absolutePressurePa)
  const slack = 1e-12
  const lowest = logPressure(fit[line], low)
  const highest = logPressure(fit[line], high)
  if (target < lowest - slack || target > highest + slack) {
    throw new OutsideValidity(say.trade.absolutePressure, absolutePressurePa, {
      low: Math.round(Math.exp(lowest)),
      high: Math.round(Math.exp(highest)),
      unit: 'Pa',
      because: say.trade.saturationOfIsKnown(name),
    })
  }
  for (let round = 0; round < 60; round += 1) {
    const middle = (low + high) / 2
    if (logPressure(fit[line], middle) < target) low = middle
    else high = middle
  }
  return (low + high) / 2
}

/** Density of the boiling liquid, kg/m³, at `temperatureK`. Valid −40…65 °C; error of the fit at most 1.3e-4. */
export function liquidDensity(name: RefrigerantName, temperatureK: number): number {
  const { t0K, b } = fitOf(name).density
  requireWithin(say.trade.temperature, temperatureK, SATURATION_VALIDITY.lowK, SATURATION_VALIDITY.highK, 'K')
  const u = Math.cbrt(1 - temperatureK / t0K)
  return b[0] + u * (b[1] + u * (b[2] + u * (b[3] + u * b[4])))
}
