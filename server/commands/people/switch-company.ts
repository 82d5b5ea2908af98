// Chooses the company that a signed-in person works in from now on.

import { z } from 'zod'
import { missingField, signedOut } from '../../refusals.ts'
import { type Membership, membershipsOf } from '../../store/queries/people.ts'
import { say } from '../../words/say.ts'
import { definePublicCommand } from '../command.ts'
import { id } from '../fields.ts'
import { boundSession } from './end-sessions.ts'

export const switchCompany = definePublicCommand({
  name: 'switch-company',
  summary: 'Work in another of your companies from now on, in this session.',
  input: z.strictObject({ companyId: id }),
  async handle(session, { companyId }, { personId, visit }): Promise<Membership> {
    if (personId === null) throw signedOut()
    const own = (await membershipsOf(session, personId)).find((one) => one.companyId === companyId)
    if (!own) throw missingField('companyId', say.people.thisCompany)
    if (visit.boundTo !== null && visit.boundTo !== companyId) throw boundSession()
    return own
  },
})
