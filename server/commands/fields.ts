// Which fields do many commands share, and how are they checked? Ids, short texts, moments.

import { z } from 'zod'
import { say } from '../words/say.ts'

/** UUIDv7, lower case (RFC 9562). */
export const id = z
  .string()
  .regex(/^[0-9a-f]{8}-[0-9a-f]{4}-7[0-9a-f]{3}-[89ab][0-9a-f]{3}-[0-9a-f]{12}$/, {
    error: () => say.fields.notAnIdUuidv7,
  })
  .meta({ format: 'uuid', description: 'UUIDv7' })

/** An id that the client may choose for what it creates. */
export const ownId = id.optional()

export const text = (max = 200) =>
  z
    .string({ error: () => say.fields.enterSomeText })
    .trim()
    .min(1, { error: () => say.fields.enterSomeText })
    .max(max, { error: () => say.fields.keepItToCharacters(max) })
    // PostgreSQL can't keep the character zero.
    .refine((value) => !value.includes('\0'), { error: () => say.fields.holdsACharacterThat })

export const reason = text(2000)

/** An instant, ISO 8601 with a zone; answered as milliseconds since 1970. */
export const moment = z.iso
  .datetime({ offset: true, error: () => say.fields.enterADateAnd })
  .transform((value, context) => {
    const at = Date.parse(value)
    if (Number.isNaN(at) || at < EARLIEST) {
      context.addIssue({ code: 'custom', message: say.fields.thatIsNotA })
      return z.NEVER
    }
    return at
  })

/** Split systems were not installed before this; an earlier year is a typing slip. */
const EARLIEST = Date.UTC(1950, 0, 1)

/** Phones' clocks run a little ahead; more than this is the future. */
export const CLOCK_SLACK_MS = 120_000

export const email = z
  .string({ error: () => say.fields.enterAnEMail })
  .trim()
  .max(254, { error: () => say.fields.tooLongForAn })
  .regex(/^[^\s@\0]+@[^\s@\0]+\.[^\s@\0]+$/, { error: () => say.fields.enterAnEMailAddress })

/** NIST SP 800-63B: length is what counts. */
export const newPassword = z
  .string({ error: () => say.fields.enterAPassword })
  .min(12, { error: () => say.fields.useAtLeast12 })
  .max(200, { error: () => say.fields.keepItTo200 })
