// By which fields is it said what joints are to be like: those of a group, or the one of a callback?

import { z } from 'zod'
import { malformedField } from '../../refusals.ts'
import { DAY_MS, type Span } from '../../rules/cohorts.ts'
import { RELIABILITY_DIMENSIONS, type ReliabilityDimension } from '../../vocabulary.ts'
import { say } from '../../words/say.ts'
import { id } from '../fields.ts'

export const dimension = z.enum(RELIABILITY_DIMENSIONS, {
  error: () => say.reliability.useOneOf(RELIABILITY_DIMENSIONS.join(', ')),
})

/** Joints are picked by what they are, never by who made them. */
const notAPerson = dimension.refine(
  (one): one is Exclude<ReliabilityDimension, 'technician'> => one !== 'technician',
  {
    error: () => say.atRisk.notByPerson,
  },
)

export const day = z
  .string()
  .regex(/^\d{4}-\d{2}-\d{2}$/, { error: () => say.reliability.writeItAs2026 })
  .refine((text) => !Number.isNaN(Date.parse(text)), { error: () => say.reliability.thereIsNoSuch })

export const likenessFields = {
  by: notAPerson.default('position').meta({ description: 'How the group was found.' }),
  also: notAPerson.optional().meta({ description: 'A second way to group, for pairs.' }),
  key: z.string().min(1).max(400).optional().meta({ description: 'Of the group.' }),
  from: day.optional().meta({ description: 'The first day that leaks count from.' }),
  to: day.optional().meta({ description: 'The last day that counts.' }),
  callbackId: id.optional().meta({ description: 'Instead of a group: joints like the one that it found.' }),
}
const likeness = z.object(likenessFields)
export type Likeness = z.output<typeof likeness>

/** The days that count, the last one to its end, never later than now. */
export function spanOf(
  { from, to }: { from?: string | undefined; to?: string | undefined },
  now: number,
): Span {
  const span = {
    from: from === undefined || from === '' ? 0 : Date.parse(from),
    to: to === undefined || to === '' ? now : Math.min(now, Date.parse(to) + DAY_MS),
  }
  if (span.to <= span.from) throw malformedField('to', say.reliability.thatIsBeforeIt)
  return span
}
