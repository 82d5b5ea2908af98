// Sets up a person's own second step, confirms it by its first code, makes recovery codes, and takes it all away.

import { and, eq, isNull } from 'drizzle-orm'
import { z } from 'zod'
import { newAuthenticatorSecret, stepOfCode } from '../../access/one-time-codes.ts'
import { newRecoveryCodes, recoveryHash } from '../../access/recovery-codes.ts'
import { endSessionsOf } from '../../access/sessions.ts'
import { countCode, forgetCodes } from '../../access/tries.ts'
import { conflict, malformedField } from '../../refusals.ts'
import { type PersonRow, personById } from '../../store/queries/people.ts'
import {
  authenticatorOf,
  hasSecondStep,
  needsSecondStep,
  removeOwnAuthenticator,
  replaceRecoveryCodes,
  UNCONFIRMED_MS,
} from '../../store/queries/second-step.ts'
import type { Session } from '../../store/store.ts'
import { say } from '../../words/say.ts'
import { type Asking, definePublicCommand, type Machinery, type PublicContext } from '../command.ts'
import { sealedFor, typedCode } from './check-code.ts'
import { checkKnown, knownPassword, type Password } from './check-password.ts'
import { signedInByThemselves } from './end-sessions.ts'
import { recordOfPerson } from './record-of-person.ts'

/** A session that was left open, or stolen, must not be enough to lock its owner out: the password is asked for again. */
export async function checkOwn(
  input: { password: Password },
  { store, ...machinery }: Machinery,
  asking: Asking,
): Promise<{ password: Password }> {
  const { personId } = signedInByThemselves(asking)
  const person = await personById(store.reader(), personId)
  if (!person) throw malformedField('password', say.people.enterYourPassword)
  try {
    return { password: await checkKnown({ store, ...machinery }, person.email, input.password) }
  } catch (problem) {
    // They are signed in, and stay so: what is wrong is a field.
    if ((problem as { code?: string }).code === 'wrong-credentials')
      throw malformedField('password', say.secondStep.notYourPassword)
    throw problem
  }
}

export const withPassword = z.strictObject({ password: knownPassword })

export const known = (password: Password): PersonRow => {
  if (!password.person) throw new Error('The password was not checked.')
  return password.person
}

export const setUpAuthenticator = definePublicCommand({
  name: 'set-up-authenticator',
  summary:
    'Begin to use an authenticator app as your second step: answers its secret, which waits half an hour for its first code.',
  input: withPassword,
  before: checkOwn,
  async handle(session, { password }, { machinery, now }): Promise<{ person: PersonRow; secret: string }> {
    const { db, t } = session
    const person = known(password)
    if ((await authenticatorOf(session, person.id))?.confirmedAt != null)
      throw conflict('second-step-there', say.secondStep.thereAlready)
    const secret = newAuthenticatorSecret()
    await db.delete(t.authenticators).where(eq(t.authenticators.personId, person.id))
    await db.insert(t.authenticators).values({
      personId: person.id,
      secret: machinery.sealer.seal(secret, sealedFor(person.id)),
      lastStep: 0,
      createdAt: now,
      confirmedAt: null,
    })
    return { person, secret }
  },
})

export interface Confirmed {
  personId: string
  recoveryCodes: string[]
}

export const confirmAuthenticator = definePublicCommand({
  name: 'confirm-authenticator',
  summary:
    'Use the authenticator from now on, by its first code: answers ten recovery codes, once. Every session of yours ends; this browser gets a new one.',
  input: z.strictObject({ code: typedCode }),
  async handle(session, { code }, context): Promise<Confirmed> {
    const { db, t } = session
    const { machinery, now } = context
    const { personId } = signedInByThemselves(context)
    const waiting = await authenticatorOf(session, personId)
    if (waiting && waiting.confirmedAt !== null)
      throw conflict('second-step-there', say.secondStep.thereAlready)
    const secret =
      waiting && now - waiting.createdAt < UNCONFIRMED_MS
        ? machinery.sealer.open(waiting.secret, sealedFor(personId))
        : null
    if (secret === null) throw conflict('authenticator-not-begun', say.secondStep.beginAgain)
    countCode(machinery.store, 'authenticator', personId, now)
    const step = stepOfCode(secret, code.replaceAll(/\s/g, ''), now)
    if (step === null) throw malformedField('code', say.secondStep.wrongFirstCode)
    forgetCodes(machinery.store, 'authenticator', personId)
    const done = await db
      .update(t.authenticators)
      .set({ confirmedAt: now, lastStep: step })
      .where(and(eq(t.authenticators.personId, personId), isNull(t.authenticators.confirmedAt)))
      .returning({ personId: t.authenticators.personId })
    if (done.length === 0) throw conflict('second-step-there', say.secondStep.thereAlready)
    const recoveryCodes = await freshCodes(session, personId, now)
    // Whoever else may hold a session of theirs has not given a second step.
    await endSessionsOf(session, personId)
    await recordOfPerson(session, personId, 'second-step-set-up', now)
    return { personId, recoveryCodes }
  },
})

export const makeRecoveryCodes = definePublicCommand({
  name: 'make-recovery-codes',
  summary: 'Make ten new recovery codes: answered once. Those before open nothing any more.',
  input: withPassword,
  before: checkOwn,
  async handle(session, { password }, { now }): Promise<Confirmed> {
    const person = known(password)
    if (!(await hasSecondStep(session, person.id)))
      throw conflict('no-second-step', say.secondStep.setUpFirst)
    const recoveryCodes = await freshCodes(session, person.id, now)
    await recordOfPerson(session, person.id, 'recovery-codes-made', now)
    return { personId: person.id, recoveryCodes }
  },
})

export const removeAuthenticator = definePublicCommand({
  name: 'remove-authenticator',
  summary:
    'Take the authenticator away. Without a passkey the password alone signs in from then on, and the recovery codes go too. Refused where a company wants a second step and this is the last.',
  input: withPassword,
  before: checkOwn,
  async handle(session, { password }, { now }: PublicContext): Promise<{ removed: boolean }> {
    const person = known(password)
    const removed = await removeOwnAuthenticator(session, person.id)
    await checkStillHeld(session, person.id)
    if (removed) await recordOfPerson(session, person.id, 'second-step-removed', now)
    return { removed }
  },
})

/** After one was taken away: was it the last, where a company wants one? */
export async function checkStillHeld(session: Session, personId: string): Promise<void> {
  if ((await needsSecondStep(session, personId)) && !(await hasSecondStep(session, personId)))
    throw conflict('last-second-step', say.secondStep.theLastOne)
}

export async function freshCodes(session: Session, personId: string, now: number): Promise<string[]> {
  const codes = newRecoveryCodes()
  const hashes = codes.map((code) => recoveryHash(personId, code) ?? '')
  await replaceRecoveryCodes(session, personId, hashes, now)
  return codes
}
