// Opens a session for whoever knows the password, and the code of their second step if they have one.

import { z } from 'zod'
import { type Membership, membershipsOf } from '../../store/queries/people.ts'
import { hasSecondStep } from '../../store/queries/second-step.ts'
import { definePublicCommand } from '../command.ts'
import { email } from '../fields.ts'
import { type CodeChecked, checkCode, typedCode } from './check-code.ts'
import { checkKnown, knownPassword, wrongCredentials } from './check-password.ts'

export interface SignedIn {
  person: { id: string; name: string; email: string }
  /** The only company there is; null where one is to be chosen, or there is none. */
  companyId: string | null
  companies: Membership[]
  /** The code that came along; null where none was needed, or none came. */
  code: CodeChecked | null
}

export const signIn = definePublicCommand({
  name: 'sign-in',
  summary:
    'Sign in with e-mail address and password; answers with a session cookie. Who has a second step sends its code along, or gets 202 with a `step` to send it with to second-step.',
  input: z.strictObject({ email, password: knownPassword, code: typedCode.optional() }),
  before: async (input, machinery) => ({
    ...input,
    password: await checkKnown(machinery, input.email, input.password),
  }),
  async handle(session, { password: { person }, code }, context): Promise<SignedIn> {
    if (!person) throw wrongCredentials()
    const companies = await membershipsOf(session, person.id)
    const only = companies.length === 1 ? companies[0] : undefined
    // A code that is not needed opens nothing and is not looked at.
    const needed = code !== undefined && (await hasSecondStep(session, person.id))
    return {
      person: { id: person.id, name: person.name, email: person.email },
      companyId: only?.companyId ?? null,
      companies,
      code: needed ? await checkCode(session, person.id, code, context) : null,
    }
  },
})
