// Is this the person that the e-mail address says? One way for signing in, signing up and joining.

import { z } from 'zod'
import { hashPassword, passwordMatches } from '../../access/passwords.ts'
import { countTry, forgetTries } from '../../access/tries.ts'
import { conflict, Refusal } from '../../refusals.ts'
import { addPerson, type PersonRow, personByEmail } from '../../store/queries/people.ts'
import type { Session } from '../../store/store.ts'
import { say } from '../../words/say.ts'
import type { Machinery } from '../command.ts'
import { newPassword } from '../fields.ts'

/** What is known of a typed password; only `typed` until it was checked, outside the transaction. */
export interface Password {
  typed: string
  /** The person, when the address is known and the password is right. */
  person: PersonRow | null
  /** For somebody whose address is not known yet. */
  freshHash: string | null
}

const unchecked = (typed: string): Password => ({ typed, person: null, freshHash: null })

/** Of somebody who may be new. */
export const choosingPassword = newPassword.transform(unchecked)

/** Of somebody who says they are known. */
export const knownPassword = z
  .string({ error: () => say.people.enterYourPassword })
  .min(1, { error: () => say.people.enterYourPassword })
  .max(200, { error: () => say.people.keepItTo200 })
  .transform(unchecked)

/** Unknown address or wrong password: the same answer, for the same work. */
export const wrongCredentials = () => {
  const detail = say.people.thisEMailAddress
  return new Refusal('signed-out', 'wrong-credentials', detail, {
    errors: [{ path: 'password', message: detail }],
  })
}

/** For signing in. Refuses after too many tries, and what does not belong together. */
export async function checkKnown(machinery: Machinery, email: string, password: Password): Promise<Password> {
  const { store } = machinery
  countTry(store, email, machinery.clock())
  const person = await personByEmail(store.reader(), email)
  const matches = await passwordMatches(person?.passwordHash ?? null, password.typed)
  if (!person || !matches) throw wrongCredentials()
  forgetTries(store, email)
  return { ...password, person }
}

/**
 * For signing up and joining, where the address may be new. One that is known needs its own password; both
 * hashes are worked out in any case, so that the time says nothing.
 */
export async function checkOrHash(
  machinery: Machinery,
  email: string,
  password: Password,
): Promise<Password> {
  const { store } = machinery
  countTry(store, email, machinery.clock())
  const person = await personByEmail(store.reader(), email)
  const matches = await passwordMatches(person?.passwordHash ?? null, password.typed)
  const freshHash = await hashPassword(password.typed)
  if (person && !matches) throw wrongCredentials()
  forgetTries(store, email)
  return { ...password, person, freshHash }
}

/** Somebody took the address between the check and the change: it is looked at once more, as a known one. */
export const takenJustNow = () => conflict('already-there', say.people.thisEMailAddressWas)

/** The person who was checked, made now if the address was new. */
export async function personOf(
  session: Session,
  password: Password,
  fresh: { id: string; name: string; email: string; createdAt: number },
): Promise<PersonRow> {
  if (password.person) return password.person
  if (password.freshHash === null) throw new Error('The password was not checked.')
  const added = await addPerson(session, { ...fresh, passwordHash: password.freshHash })
  if (!added) throw takenJustNow()
  return added
}
