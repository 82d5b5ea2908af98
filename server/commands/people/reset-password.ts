// Gives a person a new password at the server's own console, and ends whatever they had open.

import { eq } from 'drizzle-orm'
import { z } from 'zod'
import { hashPassword } from '../../access/passwords.ts'
import { endSessionsOf } from '../../access/sessions.ts'
import { forgetTries } from '../../access/tries.ts'
import { missing } from '../../refusals.ts'
import { companiesEverJoined, personByEmail } from '../../store/queries/people.ts'
import { appendEntry } from '../../store/record.ts'
import { scopeOf } from '../../store/store.ts'
import { say } from '../../words/say.ts'
import { type Machinery, parse } from '../command.ts'
import { email, newPassword } from '../fields.ts'

const schema = z.strictObject({ email, password: newPassword })

/** Refuses with missing. Each company of the person has it on record; tokens are left as they are. */
export async function resetPassword(
  machinery: Machinery,
  raw: z.input<typeof schema>,
): Promise<{ personId: string }> {
  const input = parse(schema, raw)
  const passwordHash = await hashPassword(input.password)
  const done = await machinery.store.transaction(async (session) => {
    const { db, t } = session
    const person = await personByEmail(session, input.email)
    if (!person) throw missing(say.people.aPersonWithThis)
    await db.update(t.people).set({ passwordHash }).where(eq(t.people.id, person.id))
    await endSessionsOf(session, person.id)
    for (const companyId of await companiesEverJoined(session, person.id)) {
      await appendEntry(
        scopeOf(session, companyId),
        { chainId: companyId, kind: 'password-reset', subjectId: person.id },
        { now: machinery.clock(), deviceAt: null, memberId: null },
      )
    }
    return { personId: person.id }
  })
  forgetTries(machinery.store, input.email)
  return done
}
