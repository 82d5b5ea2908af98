// How are the kinds and the checks of instruments called?

import type { CalibrationBasis, CalibrationResult, InstrumentKind } from '../../server/vocabulary.ts'

export const INSTRUMENT_KIND_WORDS: Record<InstrumentKind, string> = {
  'torque-wrench': 'torque wrench',
  'pressure-gauge': 'pressure gauge',
  'vacuum-gauge': 'vacuum gauge',
  thermometer: 'thermometer',
  scale: 'scale',
  'leak-detector': 'leak detector',
  'flaring-tool': 'flaring tool',
  'press-tool': 'press tool',
  'tube-cutter': 'tube cutter',
  'deburring-tool': 'deburring tool',
}

export const RESULT_WORDS: Record<CalibrationResult, string> = {
  'in-tolerance': 'in tolerance',
  'out-of-tolerance': 'out of tolerance',
  adjusted: 'out of tolerance, and set right',
}

export const BASIS_WORDS: Record<CalibrationBasis, string> = {
  certificate: 'certificate',
  'own-check': 'own check',
}

/** What a check of this kind is made against. */
export const CHECK_HINTS: Record<InstrumentKind, string> = {
  'torque-wrench': 'A certificate, or an own check against a certified reference.',
  'pressure-gauge': 'A certificate, or an own check against a certified reference.',
  'vacuum-gauge': 'A certificate, or an own check against a certified reference.',
  thermometer: 'An ice point, or beside a thermometer that is known.',
  scale: 'A certificate, or a certified weight.',
  'leak-detector': 'A reference leak, on the day.',
  'flaring-tool': 'A sample flare, measured.',
  'press-tool': 'A sample joint, measured.',
  'tube-cutter': 'None is asked for.',
  'deburring-tool': 'None is asked for.',
}
