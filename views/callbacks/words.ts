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

export const PART_WORDS: Record<CallbackPart, string> = {
  joint: 'joint',
  'service-valve': 'service valve',
  'port-core': 'core of a port',
  cap: 'cap',
  coil: 'coil',
  tubing: 'tubing',
  compressor: 'compressor',
  other: 'something else',
}

export const PLACE_WORDS: Record<LeakPlace, string> = {
  'flare-face': 'flare face',
  nut: 'nut',
  'tube-behind-nut': 'tube behind the nut',
  body: 'body',
}

export const CAUSE_WORDS: Record<LeakCause, string> = {
  burr: 'burr',
  'short-flare': 'short flare',
  crack: 'crack',
  'over-torque': 'pulled too tight',
  'under-torque': 'not pulled tight enough',
  misaligned: 'not aligned',
  'thread-oil': 'oil on the thread',
  vibration: 'vibration',
  factory: 'from the factory',
  'service-valve': 'service valve',
  'not-a-joint': 'not a joint',
  unknown: 'not known',
}

/** A cause by its code, or the words that were typed. */
export const causeWords = (cause: string): string =>
  (CAUSE_WORDS as Partial<Record<string, string>>)[cause] ?? cause

export const FOUND_BY_WORDS: Record<LeakCheckMethod, string> = {
  bubble: 'bubbles',
  'refrigerant-detector': 'refrigerant detector',
  'tracer-hydrogen': 'hydrogen tracer',
  'tracer-helium': 'helium tracer',
  ultrasonic: 'ultrasound',
  other: 'otherwise, by eye or oil trace',
}

export const RESPONSIBILITY_WORDS: Record<Responsibility, string> = {
  workmanship: 'our work',
  part: 'a faulty part',
  'third-party': 'somebody else',
  wear: 'wear',
  unknown: 'not known',
}

export const CLAIM_WORDS: Record<ClaimStatus, string> = {
  'to-send': 'to be sent',
  sent: 'sent',
  accepted: 'accepted',
  refused: 'refused',
  paid: 'paid',
}

export const OUTCOME_WORDS: Record<CallbackOutcome, string> = {
  found: 'leak found',
  'none-found': 'no leak found',
  'not-yet-known': 'not known yet',
}
