// Founds a company while sign-up is open; who does it owns it.

import { z } from 'zod'
import { conflict, forbidden } from '../../refusals.ts'
import {
  anyCompany,
  companyById,
  lockFounding,
  membershipsOf,
  type PersonRow,
} from '../../store/queries/people.ts'
import type { Session } from '../../store/store.ts'
import { say } from '../../words/say.ts'
import { definePublicCommand, type Machinery } from '../command.ts'
import { email, ownId, text } from '../fields.ts'
import { checkOrHash, choosingPassword, personOf, takenJustNow } from './check-password.ts'
import { foundCompany } from './joining.ts'

export interface Registered {
  company: { id: string; name: string; createdAt: number }
  person: { id: string; name: string; email: string }
  memberId: string
}

/** Sign-up `first` is open until there is a company. */
export async function signUpIsOpen(session: Session, { settings }: Machinery): Promise<boolean> {
  return settings.signup === 'open' || (settings.signup === 'first' && !(await anyCompany(session)))
}

const signUpClosed = () => forbidden(say.people.signUpIsClosedOn, 'sign-up-closed')

export const registerCompany = definePublicCommand({
  name: 'register-company',
  summary:
    'Found a company and own it, while sign-up is open. A known e-mail address needs its own password: a person can own several companies.',
  input: z.strictObject({
    id: ownId,
    name: text(120),
    ownerName: text(120),
    email,
    password: choosingPassword,
  }),
  async before(input, machinery) {
    // The id tells a second press of the button from a second company; by then sign-up may have closed.
    const again = input.id !== undefined && (await companyById(machinery.store.reader(), input.id)) !== null
    if (!again && !(await signUpIsOpen(machinery.store.reader(), machinery))) throw signUpClosed()
    return { ...input, password: await checkOrHash(machinery, input.email, input.password) }
  },
  async handle(session, input, { now, machinery, newId }): Promise<Registered> {
    await lockFounding(session)
    const companyId = input.id ?? newId()
    const known = await companyById(session, companyId)
    if (known) return answerAgain(session, known, input.name, input.password.person)
    if (!(await signUpIsOpen(session, machinery))) throw signUpClosed()
    const person = await personOf(session, input.password, {
      id: newId(),
      name: input.ownerName,
      email: input.email,
      createdAt: now,
    })
    const { memberId } = await foundCompany(session, {
      companyId,
      name: input.name,
      personId: person.id,
      ownerName: person.name,
      now,
    })
    return {
      company: { id: companyId, name: input.name, createdAt: now },
      person: { id: person.id, name: person.name, email: person.email },
      memberId,
    }
  },
})

async function answerAgain(
  session: Session,
  company: Registered['company'],
  name: string,
  person: PersonRow | null,
): Promise<Registered> {
  // Pressed twice at once: the person was not there yet when this one was looked at.
  if (!person) throw takenJustNow()
  const own = (await membershipsOf(session, person.id)).find((one) => one.companyId === company.id)
  if (own?.role !== 'owner' || company.name !== name)
    throw conflict('id-reused', say.people.thisWasSentBefore, [
      { path: 'id', message: say.people.alreadyUsedForSomething },
    ])
  return {
    company: { id: company.id, name: company.name, createdAt: company.createdAt },
    person: { id: person.id, name: person.name, email: person.email },
    memberId: own.memberId,
  }
}
