// Makes a passkey a person's own, gives it another name, and takes it away.

import { z } from 'zod'
import { checkNew, type KnownPasskey, type NewAnswer, placeOf } from '../../access/passkeys.ts'
import { endSessionsOf } from '../../access/sessions.ts'
import { newSecret } from '../../ids.ts'
import { conflict, missing } from '../../refusals.ts'
import {
  addPasskey,
  listPasskeys,
  type PasskeyRow,
  removeOwnPasskey,
  renameOwnPasskey,
} from '../../store/queries/passkeys.ts'
import type { PersonRow } from '../../store/queries/people.ts'
import {
  beginStep,
  countRecoveryCodes,
  endStep,
  findStep,
  forgetWithoutSecondStep,
  hasSecondStep,
} from '../../store/queries/second-step.ts'
import { say } from '../../words/say.ts'
import { definePublicCommand, type Machinery } from '../command.ts'
import { id, text } from '../fields.ts'
import { signedInByThemselves } from './end-sessions.ts'
import { checkOwn, checkStillHeld, freshCodes, known, withPassword } from './own-second-step.ts'
import { recordOfPerson } from './record-of-person.ts'

/** More keys than anybody carries; each is offered to the browser with every sign-in. */
const MOST = 20

/** What stands in an answer of a passkey, as the browser writes it. */
export const base64url = (max: number) =>
  z
    .string({ error: () => say.passkeys.noAnswer })
    .max(max, { error: () => say.passkeys.noAnswer })
    .regex(/^[A-Za-z0-9_-]+$/, { error: () => say.passkeys.noAnswer })

export function placeHere({ settings }: Machinery) {
  const place = placeOf(settings.publicUrl)
  if (!place) throw conflict('no-passkeys-here', say.passkeys.notHere(settings.publicUrl))
  return place
}

export const questionOver = () => conflict('passkey-question-over', say.passkeys.questionOver)

export interface BegunPasskey {
  step: string
  expiresAt: number
  challenge: string
  person: PersonRow
  known: PasskeyRow[]
}

export const beginPasskey = definePublicCommand({
  name: 'begin-passkey',
  summary:
    'Begin to make a passkey: answers what the browser is to ask for (`options`), and a `step` to send its answer with. Good for ten minutes, in this session, and once.',
  input: withPassword,
  before: checkOwn,
  async handle(session, { password }, { machinery, now, visit }): Promise<BegunPasskey> {
    placeHere(machinery)
    const person = known(password)
    const passkeys = await listPasskeys(session, person.id)
    if (passkeys.length >= MOST) throw conflict('too-many-passkeys', say.passkeys.tooMany(MOST))
    const challenge = newSecret()
    const memory = { challenge, ...(visit.sessionId === null ? {} : { sessionId: visit.sessionId }) }
    const begun = await beginStep(
      session,
      { kind: 'new-passkey', personId: person.id, companyId: null, memory },
      now,
    )
    return { ...begun, challenge, person, known: passkeys }
  },
})

const newAnswer = z
  .object({
    id: base64url(2000),
    response: z.object({
      clientDataJSON: base64url(4000),
      attestationObject: base64url(20_000),
      transports: z
        .union([z.array(z.string().max(40)).max(10), z.string().max(400)])
        .optional()
        .meta({ description: 'As the browser says them; a form sends them with commas between.' }),
    }),
  })
  .transform(({ id, response }) => {
    const { transports = [] } = response
    const listed = typeof transports === 'string' ? transports.split(',') : transports
    const answer: NewAnswer = {
      id,
      response: { ...response, transports: listed.filter((one) => /^[a-z-]{1,40}$/.test(one)) },
    }
    return { answer, made: null as KnownPasskey | null }
  })

export interface AddedPasskey {
  personId: string
  /** Null where it was no good answer. */
  passkey: PasskeyRow | null
  /** Made with the first second step; null where there were some. */
  recoveryCodes: string[] | null
  /** They had no second step before: every session has ended. */
  first: boolean
}

export const addOwnPasskey = definePublicCommand({
  name: 'add-passkey',
  summary:
    'Keep a passkey that the browser made: the `step` and what `navigator.credentials.create` gave, as JSON. With the first second step come ten recovery codes, once, and every other session ends.',
  input: z.strictObject({ step: text(200), name: text(60), credential: newAnswer }),
  async before(input, machinery, asking) {
    const { personId, visit } = signedInByThemselves(asking)
    const place = placeHere(machinery)
    const begun = await findStep(machinery.store.reader(), input.step, ['new-passkey'], machinery.clock())
    const { challenge, sessionId } = begun?.memory ?? {}
    if (begun?.personId !== personId || sessionId !== visit.sessionId || !challenge) throw questionOver()
    const made = await checkNew(place, challenge, input.credential.answer)
    return { ...input, credential: { ...input.credential, made } }
  },
  async handle(session, { step, name, credential: { made } }, context): Promise<AddedPasskey> {
    const { now } = context
    const { personId } = signedInByThemselves(context)
    if (!(await endStep(session, step))) throw questionOver()
    // Answered, not thrown: what was asked is not asked twice.
    if (!made) return { personId, passkey: null, recoveryCodes: null, first: false }
    const first = !(await hasSecondStep(session, personId))
    const passkey = await addPasskey(session, { ...made, personId, name, createdAt: now })
    if (!passkey) throw conflict('passkey-there', say.passkeys.thereAlready)
    const recoveryCodes =
      (await countRecoveryCodes(session, personId)) === 0 ? await freshCodes(session, personId, now) : null
    // Whoever else may hold a session of theirs has not given a second step.
    if (first) await endSessionsOf(session, personId)
    await recordOfPerson(session, personId, 'passkey-added', now)
    return { personId, passkey, recoveryCodes, first }
  },
})

export const renamePasskey = definePublicCommand({
  name: 'rename-passkey',
  summary: 'Call one of your passkeys something else.',
  input: z.strictObject({ passkeyId: id, name: text(60) }),
  async handle(session, { passkeyId, name }, context): Promise<{ id: string; name: string }> {
    const { personId } = signedInByThemselves(context)
    if (!(await renameOwnPasskey(session, personId, passkeyId, name))) throw missing(say.passkeys.thisPasskey)
    await recordOfPerson(session, personId, 'passkey-renamed', context.now)
    return { id: passkeyId, name }
  },
})

export const removePasskey = definePublicCommand({
  name: 'remove-passkey',
  summary:
    'Take one of your passkeys away: it opens nothing any more. Refused where a company wants a second step and this is the last.',
  input: withPassword.extend({ passkeyId: id }),
  async before(input, machinery, asking) {
    return { ...input, ...(await checkOwn(input, machinery, asking)) }
  },
  async handle(session, { passkeyId, password }, { now }): Promise<{ removed: boolean }> {
    const person = known(password)
    if (!(await removeOwnPasskey(session, person.id, passkeyId))) throw missing(say.passkeys.thisPasskey)
    await checkStillHeld(session, person.id)
    await forgetWithoutSecondStep(session, person.id)
    await recordOfPerson(session, person.id, 'passkey-removed', now)
    return { removed: true }
  },
})
