// Opens a session for whoever knows the password.

import { z } from 'zod'
import { type Membership, membershipsOf } from '../../store/queries/people.ts'
import { definePublicCommand } from '../command.ts'
import { email } from '../fields.ts'
import { checkKnown, knownPassword, wrongCredentials } from './check-password.ts'

export interface SignedIn {
  person: { id: string; name: string; email: string }
  /** The only company there is; null where one is to be chosen, or there is none. */
  companyId: string | null
  companies: Membership[]
}

export const signIn = definePublicCommand({
  name: 'sign-in',
  summary: 'Sign in with e-mail address and password; answers with a session cookie.',
  input: z.strictObject({ email, password: knownPassword }),
  before: async (input, machinery) => ({
    ...input,
    password: await checkKnown(machinery, input.email, input.password),
  }),
  async handle(session, { password: { person } }): Promise<SignedIn> {
    if (!person) throw wrongCredentials()
    const companies = await membershipsOf(session, person.id)
    const only = companies.length === 1 ? companies[0] : undefined
    return {
      person: { id: person.id, name: person.name, email: person.email },
      companyId: only?.companyId ?? null,
      companies,
    }
  },
})
