// Which licences and certificates does somebody hold, how are they sent, and what of them may the chain carry?

import { z } from 'zod'
import type { CrewRow } from '../../store/queries/crew.ts'
import { canonical, salted } from '../../store/record.ts'
import { say } from '../../words/say.ts'
import { moment, text } from '../fields.ts'

const DAY = /^\d{4}-\d{2}-\d{2}$/

/** A day counts to its end; licences print days. */
const lastMoment = z
  .string({ error: () => say.people.enterADateSuch })
  .transform((value) => (DAY.test(value) ? `${value}T23:59:59.999Z` : value))
  .pipe(moment)

export const credentials = z
  .array(
    z
      .strictObject({
        scheme: text(80).meta({ description: 'The law or body under which it was given.' }),
        category: text(80).optional(),
        number: text(80),
        validUntil: lastMoment.optional().meta({ description: 'A day, or an instant. Left out: no end.' }),
      })
      .transform(({ scheme, category, number, validUntil }) => ({
        scheme,
        category: category ?? null,
        number,
        validUntil: validUntil ?? null,
      })),
    { error: () => say.people.sendAList },
  )
  .max(30, { error: () => say.people.atMost30 })

/** Names and licence numbers are personal: salted hashes only. */
export const crewBody = (person: CrewRow): Record<string, unknown> => ({
  name: salted(person.salt, person.name),
  credentials: salted(person.salt, canonical(person.credentials)),
  member: person.memberId,
  active: person.active,
})
