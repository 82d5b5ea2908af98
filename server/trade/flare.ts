/** Is a finished flare the right size for its tube, its tool and its nut, and is the tube thick enough? */
import { say } from '../words/say.ts'
import { sameTubeSize } from './tube.ts'
import { OutsideValidity, requireFinite, requireNotNegative, requirePositive } from './validity.ts'

/** Class 1: the R-22 era, up to 3.45 MPa. Class 2: R-410A and R-32, up to 4.15 MPa (JIS B 8607:2002, from memory). */
export type FlareClass = 'class-1' | 'class-2'
export const FLARE_CLASSES = ['class-1', 'class-2'] as const satisfies readonly FlareClass[]

/** Ways of making a flare; the first three are those of the job's record. */
export type FlareMethod = 'powered' | 'manual-clutch' | 'manual-wing'

/** Upper pressure of each class, Pa gauge. JIS B 8607:2002, from memory. */
export const CLASS_PRESSURE_LIMIT_PA: Record<FlareClass, number> = { 'class-1': 3.45e6, 'class-2': 4.15e6 }

interface FlareSize {
  name: string
  tubeOdM: number
  /** Outer diameter of the finished flare, mm: low, high. Null where sources disagree and none can be built in. */
  diameterMm: Record<FlareClass, readonly [low: number, high: number] | null>
  /** Nut across flats, mm. */
  nutMm: Record<FlareClass, number>
  /** Working pressure of a 45° brass flare fitting on copper, Pa gauge: a warning, not a limit. */
  fittingPressurePa: number
  /** Least wall commonly asked for with R-410A and R-32, m (common practice, no source). */
  usualWallM: number
  /** Least wall that any of the sets asks for, m (common practice, no source). */
  leastWallM: number
}

const PSI = 6894.757293168361

/**
 * Flare diameters: JIS B 8607 class 1 and class 2 with tolerance +0/−0.4 mm as commonly printed (the tie to the
 * standard is from memory). Nut sizes: same. Fitting pressures: one fitting catalogue, up to 73 °C.
 * 3/4 in class 1: one set prints 23.3 mm as the largest, another 23.3–23.7 mm; they exclude each other, so no
 * band is built in.
 */
const FLARE_SIZES: readonly FlareSize[] = [
  {
    name: '1/4 in',
    tubeOdM: 0.00635,
    diameterMm: { 'class-1': [8.6, 9.0], 'class-2': [8.7, 9.1] },
    nutMm: { 'class-1': 17, 'class-2': 17 },
    fittingPressurePa: 1400 * PSI,
    usualWallM: 0.0008,
    leastWallM: 0.0007,
  },
  {
    name: '3/8 in',
    tubeOdM: 0.00952,
    diameterMm: { 'class-1': [12.6, 13.0], 'class-2': [12.8, 13.2] },
    nutMm: { 'class-1': 22, 'class-2': 22 },
    fittingPressurePa: 1000 * PSI,
    usualWallM: 0.0008,
    leastWallM: 0.0007,
  },
  {
    name: '1/2 in',
    tubeOdM: 0.0127,
    diameterMm: { 'class-1': [15.8, 16.2], 'class-2': [16.2, 16.6] },
    nutMm: { 'class-1': 24, 'class-2': 26 },
    fittingPressurePa: 750 * PSI,
    usualWallM: 0.0008,
    leastWallM: 0.0008,
  },
  {
    name: '5/8 in',
    tubeOdM: 0.01588,
    diameterMm: { 'class-1': [19.0, 19.4], 'class-2': [19.3, 19.7] },
    nutMm: { 'class-1': 27, 'class-2': 29 },
    fittingPressurePa: 650 * PSI,
    usualWallM: 0.001,
    leastWallM: 0.001,
  },
  {
    name: '3/4 in',
    tubeOdM: 0.01905,
    diameterMm: { 'class-1': null, 'class-2': [23.6, 24.0] },
    nutMm: { 'class-1': 36, 'class-2': 36 },
    fittingPressurePa: 550 * PSI,
    usualWallM: 0.0012,
    leastWallM: 0.0009,
  },
]

const diameterSource = (): Record<FlareClass, string> => ({
  'class-1': say.trade.jisB8607Class,
  'class-2': say.trade.jisB8607Class2,
})

function findSize(tubeOdM: number): FlareSize | null {
  requirePositive(say.trade.tubeOuterDiameter, tubeOdM, 'm')
  return FLARE_SIZES.find((size) => sameTubeSize(size.tubeOdM, tubeOdM)) ?? null
}

export interface FlareDiameterBand {
  lowM: number
  highM: number
  source: string
}

/** The built-in band (m) of the outer diameter of a finished flare; null when none is built in for that size. */
export function findFlareDiameterBand(flareClass: FlareClass, tubeOdM: number): FlareDiameterBand | null {
  const pair = findSize(tubeOdM)?.diameterMm[flareClass]
  return pair ? { lowM: pair[0] / 1000, highM: pair[1] / 1000, source: diameterSource()[flareClass] } : null
}

export type FlareDiameterVerdict = 'in-band' | 'too-small' | 'too-large' | 'no-band'

/**
 * Judges a measured outer diameter (m) against the equipment sheet's band, or the built-in band of its class.
 * Simple acceptance, limits included. `no-band`: nothing to judge by.
 */
export function judgeFlareDiameter(input: {
  outerDiameterM: number
  tubeOdM: number
  flareClass: FlareClass
  sheetBand?: FlareDiameterBand | undefined
}): { verdict: FlareDiameterVerdict; band: FlareDiameterBand | null } {
  const measured = requirePositive(say.trade.flareOuterDiameter, input.outerDiameterM, 'm')
  const band = input.sheetBand ?? findFlareDiameterBand(input.flareClass, input.tubeOdM)
  if (!band) return { verdict: 'no-band', band: null }
  requirePositive(say.trade.lowerFlareDiameter, band.lowM, 'm')
  requirePositive(say.trade.upperFlareDiameter, band.highM, 'm')
  const slack = 1e-9
  const verdict =
    measured < band.lowM - slack ? 'too-small' : measured > band.highM + slack ? 'too-large' : 'in-band'
  return { verdict, band }
}

/** A kind of tool as the projection tables know it: one made for class 2 flares works from the tube's end. */
export type FlareToolKind = 'clutch-made-for-class-2' | 'clutch' | 'wing'

/**
 * Projection of the tube above the die (m: low, high) by kind of tool, class and size; null where nothing is
 * printed (a powered tool sets its own). Common practice, no source; for class 1 with a wing nut at 1/2 and
 * 5/8 in the printed sets disagree and the wider one is given.
 */
export function findProjection(input: {
  tool: FlareToolKind
  flareClass: FlareClass
  tubeOdM: number
}): { lowM: number; highM: number; source: string } | null {
  const size = findSize(input.tubeOdM)
  if (!size) return null
  const small = size.tubeOdM < 0.012
  const source = say.trade.commonPracticeNoSource
  const mm = (low: number, high: number) => ({ lowM: low / 1000, highM: high / 1000, source })
  if (input.tool === 'clutch-made-for-class-2') return input.flareClass === 'class-2' ? mm(0, 0.5) : null
  if (input.tool === 'clutch') return input.flareClass === 'class-2' ? mm(1, 1.5) : mm(0.5, 1)
  if (input.flareClass === 'class-2') return small ? mm(1.5, 2) : mm(2, 2.5)
  return small ? mm(1, 1.5) : mm(1, 2)
}

export type ProjectionVerdict = 'in-band' | 'too-short' | 'too-long' | 'no-band'

/** Judges a projection (m) set for a tool; limits included. */
export function judgeProjection(input: {
  projectionM: number
  tool: FlareToolKind
  flareClass: FlareClass
  tubeOdM: number
}): { verdict: ProjectionVerdict; band: { lowM: number; highM: number; source: string } | null } {
  const projection = requireNotNegative('projection', input.projectionM, 'm')
  const band = findProjection(input)
  if (!band) return { verdict: 'no-band', band: null }
  const slack = 1e-9
  const verdict =
    projection < band.lowM - slack ? 'too-short' : projection > band.highM + slack ? 'too-long' : 'in-band'
  return { verdict, band }
}

/**
 * The flare class that a system's highest gauge pressure (Pa) asks for, or `beyond` when flares of neither class
 * are meant for it. JIS B 8607:2002, from memory.
 */
export function flareClassForPressure(maxGaugePressurePa: number): FlareClass | 'beyond' {
  requireFinite(say.trade.highestGaugePressure, maxGaugePressurePa, 'Pa')
  if (maxGaugePressurePa <= CLASS_PRESSURE_LIMIT_PA['class-1']) return 'class-1'
  return maxGaugePressurePa <= CLASS_PRESSURE_LIMIT_PA['class-2'] ? 'class-2' : 'beyond'
}

export type NutVerdict =
  | 'right'
  | 'class-1-nut'
  | 'class-2-nut'
  | 'wrong-size'
  | 'cannot-tell-by-size'
  | 'not-listed'

/**
 * Judges a flare nut by its width across flats (m). 1/2 and 5/8 in nuts of class 1 and 2 differ, so an old nut on
 * a class 2 system is seen; at 1/4, 3/8 and 3/4 in both classes have the same width: `cannot-tell-by-size`.
 */
export function judgeNut(input: {
  tubeOdM: number
  acrossFlatsM: number
  flareClass: FlareClass
}): NutVerdict {
  const width = requirePositive(say.trade.nutAcrossFlats, input.acrossFlatsM, 'm') * 1000
  const size = findSize(input.tubeOdM)
  if (!size) return 'not-listed'
  const fits = (flareClass: FlareClass) => Math.abs(width - size.nutMm[flareClass]) <= 0.5
  if (size.nutMm['class-1'] === size.nutMm['class-2'])
    return fits('class-2') ? 'cannot-tell-by-size' : 'wrong-size'
  if (fits(input.flareClass)) return 'right'
  if (fits('class-1')) return 'class-1-nut'
  return fits('class-2') ? 'class-2-nut' : 'wrong-size'
}

/** Allowable stress of annealed copper at 38 °C, Pa: 6000 psi, a copper-industry handbook, from memory. */
const ANNEALED_STRESS_PA = 6000 * PSI

/**
 * Rated inner pressure of annealed copper tube, Pa gauge: P = 2·S·t/(D − 0.8·t), with nominal dimensions. An upper
 * bound: ratings use the thinnest wall and come out about a tenth lower. Source: copper-industry handbook, from memory.
 */
export function tubeRatedPressurePa(input: { odM: number; wallM: number }): number {
  const od = requirePositive(say.trade.tubeOuterDiameter, input.odM, 'm')
  const wall = requirePositive(say.trade.tubeWall, input.wallM, 'm')
  if (wall >= od / 2) throw new OutsideValidity(say.trade.tubeWall, wall, { high: od / 2, unit: 'm' })
  return (2 * ANNEALED_STRESS_PA * wall) / (od - 0.8 * wall)
}

export interface FlareWarning {
  code:
    | 'wall-thinner-than-any-set'
    | 'wall-thinner-than-usual'
    | 'tube-rating-below-pressure'
    | 'fitting-rating-below-pressure'
    | 'drawn-tube'
  /** Figures in SI: what is there, and what it is held against. */
  value: number
  against: number
  source: string
}

/**
 * Warnings for a flare on this tube at this pressure. They inform; they limit a test only when a figure comes
 * from a plate or an equipment sheet. Wall in m, pressure in Pa gauge.
 */
export function flareWarnings(input: {
  tubeOdM: number
  wallM?: number | undefined
  temper?: 'annealed' | 'drawn' | undefined
  gaugePressurePa?: number | undefined
}): FlareWarning[] {
  const warnings: FlareWarning[] = []
  const size = findSize(input.tubeOdM)
  const practice = say.trade.commonPracticeNoSource
  if (input.temper === 'drawn') warnings.push({ code: 'drawn-tube', value: 1, against: 0, source: practice })
  if (size && input.wallM !== undefined) {
    const wall = requirePositive(say.trade.tubeWall, input.wallM, 'm')
    if (wall < size.leastWallM - 1e-6) {
      warnings.push({
        code: 'wall-thinner-than-any-set',
        value: wall,
        against: size.leastWallM,
        source: practice,
      })
    } else if (wall < size.usualWallM - 5e-5) {
      warnings.push({
        code: 'wall-thinner-than-usual',
        value: wall,
        against: size.usualWallM,
        source: practice,
      })
    }
  }
  if (input.gaugePressurePa !== undefined) {
    const pressure = requireNotNegative(say.trade.gaugePressure, input.gaugePressurePa, 'Pa')
    if (input.wallM !== undefined) {
      const rating = tubeRatedPressurePa({ odM: input.tubeOdM, wallM: input.wallM })
      if (rating < pressure) {
        const source = say.trade.copperIndustryHandbookFormula
        warnings.push({ code: 'tube-rating-below-pressure', value: pressure, against: rating, source })
      }
    }
    if (size && size.fittingPressurePa < pressure) {
      const source = say.trade.aFlareFittingCatalogue
      warnings.push({
        code: 'fitting-rating-below-pressure',
        value: pressure,
        against: size.fittingPressurePa,
        source,
      })
    }
  }
  return warnings
}
