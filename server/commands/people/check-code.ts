// Does this code open, and with what was it made? Of an authenticator or of paper; each opens once.

import { z } from 'zod'
import { stepOfCode } from '../../access/one-time-codes.ts'
import { recoveryHash } from '../../access/recovery-codes.ts'
import { type CodeKind, countCode, forgetCodes } from '../../access/tries.ts'
import { conflict } from '../../refusals.ts'
import { authenticatorOf, useRecoveryCode, useTimeStep } from '../../store/queries/second-step.ts'
import type { Session } from '../../store/store.ts'
import { say } from '../../words/say.ts'
import type { Machinery } from '../command.ts'

export const typedCode = z
  .string({ error: () => say.secondStep.enterTheCode })
  .trim()
  .min(6, { error: () => say.secondStep.enterTheCode })
  .max(40, { error: () => say.secondStep.enterTheCode })
  .regex(/^[0-9A-Za-z\s-]+$/, { error: () => say.secondStep.enterTheCode })
  .meta({ description: 'Six digits of the authenticator, or a recovery code.' })

/** Six digits, however they were grouped; anything else is taken for a recovery code. */
const digitsOf = (typed: string): string | null =>
  /^\d{6}$/.test(typed.replaceAll(/\s/g, '')) ? typed.replaceAll(/\s/g, '') : null

export const sealedFor = (personId: string) => `authenticator of ${personId}`

export interface CodeChecked {
  way: CodeKind
  opens: boolean
}

/** A wrong one is counted and answered, not thrown: that it was tried has to be kept. */
export async function checkCode(
  session: Session,
  personId: string,
  typed: string,
  { machinery, now }: { machinery: Machinery; now: number },
): Promise<CodeChecked> {
  const { store } = machinery
  const digits = digitsOf(typed)
  const way: CodeKind = digits === null ? 'recovery-code' : 'authenticator'
  countCode(store, way, personId, now)
  const opens =
    digits === null
      ? await opensOnPaper(session, personId, typed, now)
      : await opensByTime(session, personId, digits, machinery, now)
  if (opens) forgetCodes(store, way, personId)
  return { way, opens }
}

async function opensOnPaper(session: Session, personId: string, typed: string, now: number) {
  const hash = recoveryHash(personId, typed)
  return hash !== null && (await useRecoveryCode(session, personId, hash, now))
}

async function opensByTime(
  session: Session,
  personId: string,
  digits: string,
  { sealer }: Machinery,
  now: number,
) {
  const known = await authenticatorOf(session, personId)
  if (!known || known.confirmedAt === null) return false
  const secret = sealer.open(known.secret, sealedFor(personId))
  if (secret === null) throw conflict('authenticator-unreadable', say.secondStep.unreadable)
  const step = stepOfCode(secret, digits, now)
  return step !== null && (await useTimeStep(session, personId, step))
}
