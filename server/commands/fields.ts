// Which fields do many commands share, and how are they checked? Ids, short texts, moments.

import { z } from 'zod'

/** UUIDv7, lower case (RFC 9562). */
export const id = z
  .string()
  .regex(/^[0-9a-f]{8}-[0-9a-f]{4}-7[0-9a-f]{3}-[89ab][0-9a-f]{3}-[0-9a-f]{12}$/, 'Not an id (UUIDv7).')
  .meta({ format: 'uuid', description: 'UUIDv7' })

/** An id that the client may choose for what it creates. */
export const ownId = id.optional()

export const text = (max = 200) =>
  z
    .string('Enter some text.')
    .trim()
    .min(1, 'Enter some text.')
    .max(max, `Keep it to ${max} characters.`)
    // PostgreSQL can't keep the character zero.
    .refine((value) => !value.includes('\0'), 'Holds a character that can not be kept.')

export const reason = text(2000)

/** An instant, ISO 8601 with a zone; answered as milliseconds since 1970. */
export const moment = z.iso
  .datetime({ offset: true, error: 'Enter a date and time with its zone, such as 2026-03-04T15:10:00.000Z.' })
  .transform((value, context) => {
    const at = Date.parse(value)
    if (Number.isNaN(at) || at < EARLIEST) {
      context.addIssue({ code: 'custom', message: 'That is not a moment this record can hold.' })
      return z.NEVER
    }
    return at
  })

/** Split systems were not installed before this; an earlier year is a typing slip. */
const EARLIEST = Date.UTC(1950, 0, 1)

/** Phones' clocks run a little ahead; more than this is the future. */
export const CLOCK_SLACK_MS = 120_000

export const email = z
  .string('Enter an e-mail address.')
  .trim()
  .max(254, 'Too long for an e-mail address.')
  .regex(/^[^\s@\0]+@[^\s@\0]+\.[^\s@\0]+$/, 'Enter an e-mail address, like name@place.example.')

/** NIST SP 800-63B: length is what counts. */
export const newPassword = z
  .string('Enter a password.')
  .min(12, 'Use at least 12 characters.')
  .max(200, 'Keep it to 200 characters.')
