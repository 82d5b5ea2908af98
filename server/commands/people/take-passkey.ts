// Signs somebody in with a passkey: after the password, or by itself where it knows whose it is.

import { z } from 'zod'
import { type Answer, checkAnswer, ownerHandle } from '../../access/passkeys.ts'
import { newSecret } from '../../ids.ts'
import {
  askWaiting,
  listPasskeys,
  type PasskeyRow,
  passkeyByCredential,
  usePasskey,
} from '../../store/queries/passkeys.ts'
import { membershipsOf, personById } from '../../store/queries/people.ts'
import { beginStep, endStep, findStep } from '../../store/queries/second-step.ts'
import { definePublicCommand } from '../command.ts'
import { text } from '../fields.ts'
import { base64url, placeHere } from './own-passkeys.ts'
import type { SignedIn } from './sign-in.ts'
import { stepOver } from './take-second-step.ts'

export interface AskedPasskey {
  step: string
  challenge: string
  known: PasskeyRow[]
  /** It comes alone, so it has to know its owner, and make sure that it is they. */
  alone: boolean
}

export const askForPasskey = definePublicCommand({
  name: 'ask-for-passkey',
  summary:
    'What the browser is to ask a passkey (`options`), and the `step` to send its answer with. With the `step` of a sign-in whose password was right: one of that person’s passkeys; without: any that knows its owner. Good for ten minutes, and once.',
  input: z.strictObject({ step: text(200).optional() }),
  async handle(session, { step }, { machinery, now }): Promise<AskedPasskey> {
    placeHere(machinery)
    const challenge = newSecret()
    if (step === undefined) {
      const begun = { kind: 'passkey', personId: null, companyId: null, memory: { challenge } } as const
      return { ...(await beginStep(session, begun, now)), challenge, known: [], alone: true }
    }
    const waiting = await findStep(session, step, ['second-step'], now)
    if (!waiting?.personId) throw stepOver()
    await askWaiting(session, step, challenge)
    return { step, challenge, known: await listPasskeys(session, waiting.personId), alone: false }
  },
})

interface Proof {
  passkey: PasskeyRow
  counter: number
}

const answer = z
  .object({
    id: base64url(2000),
    response: z.object({
      clientDataJSON: base64url(4000),
      authenticatorData: base64url(8000),
      signature: base64url(8000),
      userHandle: base64url(200).nullish(),
    }),
  })
  .transform(({ id, response: { userHandle, ...response } }) => ({
    answer: { id, response: { ...response, ...(userHandle ? { userHandle } : {}) } } as Answer,
    proof: null as Proof | null,
  }))

export interface PasskeyTaken {
  opens: boolean
  way: 'passkey' | 'password-and-passkey'
  /** Whose it is that was tried; null where the passkey is not known here. */
  personId: string | null
  /** Null unless it opens. */
  signedIn: Omit<SignedIn, 'code'> | null
}

export const takePasskey = definePublicCommand({
  name: 'sign-in-with-passkey',
  summary:
    'Sign in with what a passkey answered: the `step` it was asked with and what `navigator.credentials.get` gave, as JSON; answers with a session cookie.',
  input: z.strictObject({ step: text(200), credential: answer }),
  async before(input, machinery) {
    const reader = machinery.store.reader()
    const place = placeHere(machinery)
    const asked = await findStep(reader, input.step, ['second-step', 'passkey'], machinery.clock())
    const challenge = asked?.memory.challenge
    if (!asked || !challenge) throw stepOver()
    const alone = asked.kind === 'passkey'
    const { answer } = input.credential
    const passkey = await passkeyByCredential(reader, answer.id)
    const { userHandle } = answer.response
    const isTheirs =
      passkey !== null &&
      (userHandle === undefined ? !alone : userHandle === ownerHandle(passkey.personId)) &&
      (alone || passkey.personId === asked.personId)
    const counter = isTheirs ? await checkAnswer(place, challenge, answer, passkey, alone) : null
    const proof = passkey !== null && counter !== null ? { passkey, counter } : null
    return { ...input, credential: { answer, proof } }
  },
  async handle(session, { step, credential: { answer, proof } }, { now }): Promise<PasskeyTaken> {
    const asked = await findStep(session, step, ['second-step', 'passkey'], now)
    if (!asked) throw stepOver()
    const alone = asked.kind === 'passkey'
    const way = alone ? 'passkey' : 'password-and-passkey'
    const opens = proof !== null && (await usePasskey(session, proof.passkey.id, proof.counter, now))
    // Answered, not thrown, so that what was asked is not asked twice; a code may still be typed.
    if (!opens && !alone) await askWaiting(session, step, null)
    else if (!(await endStep(session, step))) throw stepOver()
    const person = proof && opens ? await personById(session, proof.passkey.personId) : null
    if (!person) {
      const tried = await passkeyByCredential(session, answer.id)
      return { opens: false, way, personId: asked.personId ?? tried?.personId ?? null, signedIn: null }
    }
    const companies = await membershipsOf(session, person.id)
    const only = companies.length === 1 ? companies[0] : undefined
    const meant = companies.find((one) => one.companyId === asked.companyId) ?? only
    return {
      opens: true,
      way,
      personId: person.id,
      signedIn: {
        person: { id: person.id, name: person.name, email: person.email },
        companyId: meant?.companyId ?? null,
        companies,
      },
    }
  },
})
