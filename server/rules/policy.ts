// By which criteria does a company judge? The built-in ones, each with its source; a company may set its own.

import { toPascals } from '../trade/units.ts'
import type { DecisionRule, InstrumentKind, Language, TorqueFamily } from '../vocabulary.ts'

export interface Policy {
  decisionRule: DecisionRule
  /** The built-in torque set for equipment whose sheet states none. */
  torqueFamily: TorqueFamily
  /**
   * The EN 378-2 set as the company entered it from its own copy: what is known of it here is from memory, and nobody is
   * judged by that. Absent in criteria that were set before it could be entered.
   */
  torqueSet?: OwnTorqueSet | null
  pressure: {
    holdS: number
    settleS: number
    /** τ: the largest fall that may stay unseen; the larger of the two. */
    bandFraction: number
    bandMinimumPa: number
    /** r: how incompletely the gas follows the sensor; 1 when the lines lie in the sun. */
    temperatureFollowing: number
  }
  vacuum: {
    targetPa: number
    limitPa: number
    holdS: number
    horizonS: number
    leakRatePaM3PerS: number | null
  }
  charge: { toleranceMinimumKg: number; toleranceFraction: number }
  running: { steadyS: number; subcoolingToleranceK: number; superheatToleranceK: number }
  /** Days between confirmations, by kind of instrument; null where none is asked for. */
  confirmationDays: Record<InstrumentKind, number | null>
  /** A validated figure for bubbles on indoor joints of flammable systems, with its source. */
  bubbleSensitivity: { kgPerYear: number; source: string } | null
  /** Schemes of credentials asked of those who handle refrigerant; empty asks for none. */
  handlerSchemes: string[]
  /** Photos that must be attached before release. */
  evidence: { photos: EvidencePhoto[] }
  /** May somebody sign off work that they did or recorded? The certificate says so. */
  selfSignOff: boolean
  gwpBasis: 'AR4' | 'AR5' | 'AR6'
  personFigures: 'off' | 'own-only' | 'managers'
  /** What certificates are written in, whoever signs off. Absent in criteria set before it could be chosen: English. */
  certificateLanguage?: Language
}

export interface OwnTorqueSet {
  /** Edition and table, as the company names them. */
  source: string
  ranges: { tubeOdM: number; lowNm: number; highNm: number }[]
}

export const EVIDENCE_PHOTOS = [
  'gauge-at-start',
  'gauge-at-end',
  'vacuum-at-isolation',
  'vacuum-at-end',
  'unit-plates',
  'indoor-joints',
] as const
export type EvidencePhoto = (typeof EVIDENCE_PHOTOS)[number]

const micronPa = (value: number) => toPascals({ value, unit: 'micron' })

/**
 * The criteria used until a company sets its own. Sources:
 * pressure hold, vacuum target, limit and hold: the IEC/UL/CSA 60335-2-40 instruction set as printed in use;
 * settle time, band, temperature following, horizon, charge tolerance: common practice, no source;
 * steady time, subcooling and superheat tolerance: California Residential Appendix RA3.2 (ducted systems);
 * torque wrench interval: ISO 6789-1 (from memory); the other intervals: common practice, no source.
 */
export const BUILT_IN_POLICY: Policy = {
  decisionRule: 'simple',
  torqueFamily: 'jis-b-8607-class-2',
  torqueSet: null,
  pressure: {
    holdS: 3600,
    settleS: 600,
    bandFraction: 0.01,
    bandMinimumPa: 25_000,
    temperatureFollowing: 0.3,
  },
  vacuum: {
    targetPa: micronPa(500),
    limitPa: micronPa(1500),
    holdS: 600,
    horizonS: 3600,
    leakRatePaM3PerS: null,
  },
  charge: { toleranceMinimumKg: 0.03, toleranceFraction: 0.03 },
  running: { steadyS: 900, subcoolingToleranceK: 3 / 1.8, superheatToleranceK: 5 / 1.8 },
  confirmationDays: {
    'torque-wrench': 365,
    'pressure-gauge': 365,
    'vacuum-gauge': 365,
    thermometer: 365,
    scale: 365,
    'leak-detector': 1,
    'flaring-tool': 182,
    'press-tool': 182,
    'tube-cutter': null,
    'deburring-tool': null,
  },
  bubbleSensitivity: null,
  handlerSchemes: [],
  evidence: {
    photos: [
      'gauge-at-start',
      'gauge-at-end',
      'vacuum-at-isolation',
      'vacuum-at-end',
      'unit-plates',
      'indoor-joints',
    ],
  },
  selfSignOff: false,
  gwpBasis: 'AR4',
  personFigures: 'managers',
  certificateLanguage: 'en',
}
