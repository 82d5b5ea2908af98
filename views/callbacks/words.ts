// How are the codes of a callback said?

import type {
  CallbackOutcome,
  CallbackPart,
  ClaimStatus,
  LeakCause,
  LeakCheckMethod,
  LeakPlace,
  Responsibility,
} from '../../server/vocabulary.ts'
import { say } from '../../server/words/say.ts'
import type { Option } from '../parts/field.tsx'

export const optionsOf = <Word extends string>(
  words: readonly Word[],
  said: Record<Word, string>,
): Option[] => words.map((value) => ({ value, label: said[value] }))

export const partWords = (): Record<CallbackPart, string> => ({
  joint: say.callbacks.joint,
  'service-valve': say.callbacks.serviceValve,
  'port-core': say.callbacks.coreOfAPort,
  cap: say.callbacks.cap,
  coil: say.callbacks.coil,
  tubing: say.callbacks.tubing,
  compressor: say.callbacks.compressor,
  other: say.callbacks.somethingElse,
})

export const placeWords = (): Record<LeakPlace, string> => ({
  'flare-face': say.callbacks.flareFace,
  nut: say.callbacks.nut,
  'tube-behind-nut': say.callbacks.tubeBehindTheNut,
  body: say.callbacks.body,
})

export const theCauseWords = (): Record<LeakCause, string> => ({
  burr: say.callbacks.burr,
  'short-flare': say.callbacks.shortFlare,
  crack: say.callbacks.crack,
  'over-torque': say.callbacks.pulledTooTight,
  'under-torque': say.callbacks.notPulledTightEnough,
  misaligned: say.callbacks.notAligned,
  'thread-oil': say.callbacks.oilOnTheThread,
  vibration: say.callbacks.vibration,
  factory: say.callbacks.fromTheFactory,
  'service-valve': say.callbacks.serviceValve,
  'not-a-joint': say.callbacks.notAJoint,
  unknown: say.callbacks.notKnown,
})

/** A cause by its code, or the words that were typed. */
export const causeWords = (cause: string): string =>
  (theCauseWords() as Partial<Record<string, string>>)[cause] ?? cause

export const foundByWords = (): Record<LeakCheckMethod, string> => ({
  bubble: say.callbacks.bubbles,
  'refrigerant-detector': say.callbacks.refrigerantDetector,
  'tracer-hydrogen': say.callbacks.hydrogenTracer,
  'tracer-helium': say.callbacks.heliumTracer,
  ultrasonic: say.callbacks.ultrasound,
  other: say.callbacks.otherwiseByEyeOr,
})

export const responsibilityWords = (): Record<Responsibility, string> => ({
  workmanship: say.callbacks.ourWork,
  part: say.callbacks.aFaultyPart,
  'third-party': say.callbacks.somebodyElse,
  wear: say.callbacks.wear,
  unknown: say.callbacks.notKnown,
})

export const claimWords = (): Record<ClaimStatus, string> => ({
  'to-send': say.callbacks.toBeSent,
  sent: say.callbacks.sent,
  accepted: say.callbacks.accepted,
  refused: say.callbacks.refused,
  paid: say.callbacks.paid,
})

export const outcomeWords = (): Record<CallbackOutcome, string> => ({
  found: say.callbacks.leakFound,
  'none-found': say.callbacks.noLeakFound,
  'not-yet-known': say.callbacks.notKnownYet,
})
