// How are the kinds and the checks of instruments called?

import type { CalibrationBasis, CalibrationResult, InstrumentKind } from '../../server/vocabulary.ts'
import { say } from '../../server/words/say.ts'

export const instrumentKindWords = (): Record<InstrumentKind, string> => ({
  'torque-wrench': say.instruments.torqueWrench,
  'pressure-gauge': say.instruments.pressureGauge,
  'vacuum-gauge': say.instruments.vacuumGauge,
  thermometer: say.instruments.thermometer,
  scale: say.instruments.scale,
  'leak-detector': say.instruments.leakDetector,
  'flaring-tool': say.instruments.flaringTool,
  'press-tool': say.instruments.pressTool,
  'tube-cutter': say.instruments.tubeCutter,
  'deburring-tool': say.instruments.deburringTool,
})

export const resultWords = (): Record<CalibrationResult, string> => ({
  'in-tolerance': say.instruments.inTolerance,
  'out-of-tolerance': say.instruments.outOfTolerance,
  adjusted: say.instruments.outOfToleranceAnd,
})

export const basisWords = (): Record<CalibrationBasis, string> => ({
  certificate: say.instruments.certificate,
  'own-check': say.instruments.ownCheck,
})

/** What a check of this kind is made against. */
export const checkHints = (): Record<InstrumentKind, string> => ({
  'torque-wrench': say.instruments.aCertificateOrAn,
  'pressure-gauge': say.instruments.aCertificateOrAn,
  'vacuum-gauge': say.instruments.aCertificateOrAn,
  thermometer: say.instruments.anIcePointOr,
  scale: say.instruments.aCertificateOrA,
  'leak-detector': say.instruments.aReferenceLeakOn,
  'flaring-tool': say.instruments.aSampleFlareMeasured,
  'press-tool': say.instruments.aSampleJointMeasured,
  'tube-cutter': say.instruments.noneIsAskedFor,
  'deburring-tool': say.instruments.noneIsAskedFor,
})
