// How far may this instrument be off at this reading, and what is taken when nobody has said?

import { say } from '../words/say.ts'
import type { Instrument } from './dossier.ts'

export interface InstrumentError {
  /** Limit of error at the reading, in the instrument's own SI unit. */
  accuracy: number
  resolution: number
  repeatability: number | undefined
  source: string
}

/**
 * Taken where an instrument states no accuracy, so that a verdict can be reached at all; the finding says so.
 * Common practice, no source.
 */
export const ASSUMED_ERROR = {
  /** Of the reading. */
  gaugeFraction: 0.01,
  thermometerK: 1,
  scaleKg: 0.01,
  vacuumFraction: 0.1,
} as const

/**
 * The error of an instrument at a reading. A percentage is of full scale where the full scale is known (that is how
 * gauges and scales are classed), else of the reading.
 */
export function errorOf(
  instrument: Instrument | undefined,
  reading: number,
  assumed: { absolute?: number; fraction?: number },
): InstrumentError {
  const stated =
    instrument?.accuracyAbsolute ??
    (instrument?.accuracyPercent != null
      ? (instrument.accuracyPercent / 100) * (instrument.fullScale ?? Math.abs(reading))
      : null)
  const accuracy = stated ?? assumed.absolute ?? (assumed.fraction ?? 0) * Math.abs(reading)
  return {
    accuracy,
    resolution: instrument?.resolution ?? 0,
    repeatability: instrument?.repeatability ?? undefined,
    source: instrument && stated !== null ? instrument.name : say.rules.accuracyNotStatedAssumed,
  }
}
