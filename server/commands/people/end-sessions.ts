// Signs a person out where they say: in one browser, or in every other one than this.

import { and, eq, ne } from 'drizzle-orm'
import { z } from 'zod'
import { forbidden, missing, signedOut } from '../../refusals.ts'
import { say } from '../../words/say.ts'
import { type Asking, definePublicCommand } from '../command.ts'
import { id } from '../fields.ts'

export const endSession = definePublicCommand({
  name: 'end-session',
  summary: 'Sign out in one of the browsers that you are signed in with.',
  input: z.strictObject({ handle: id }),
  async handle({ db, t }, { handle }, context): Promise<{ ended: number }> {
    const { personId, visit } = signedIn(context)
    const ended = await db
      .delete(t.sessions)
      .where(
        and(
          eq(t.sessions.personId, personId),
          eq(t.sessions.handle, handle),
          visit.boundTo === null ? undefined : eq(t.sessions.companyId, visit.boundTo),
        ),
      )
      .returning({ id: t.sessions.id })
    if (ended.length === 0) throw missing(say.signing.thisSession)
    return { ended: ended.length }
  },
})

export const endOtherSessions = definePublicCommand({
  name: 'end-other-sessions',
  summary: 'Sign out in every other browser that you are signed in with.',
  input: z.strictObject({}),
  async handle({ db, t }, _input, context): Promise<{ ended: number }> {
    const { personId, visit } = signedIn(context)
    const ended = await db
      .delete(t.sessions)
      .where(
        and(
          eq(t.sessions.personId, personId),
          ne(t.sessions.id, visit.sessionId),
          visit.boundTo === null ? undefined : eq(t.sessions.companyId, visit.boundTo),
        ),
      )
      .returning({ id: t.sessions.id })
    return { ended: ended.length }
  },
})

/** Whoever asks from a browser with a session; a token speaks for no browser. */
export function signedIn({ personId, visit }: Asking) {
  if (personId === null || visit.sessionId === null) throw signedOut()
  return { personId, visit: { ...visit, sessionId: visit.sessionId } }
}

/**
 * The same for what guards the whole account. A session that one company's provider opened says who somebody is to
 * that company alone: were it good for more, whoever runs the provider could get into their other companies.
 */
export function signedInByThemselves(asking: Asking) {
  const here = signedIn(asking)
  if (here.visit.boundTo !== null) throw boundSession()
  return here
}

export const boundSession = () => forbidden(say.signing.onlyForThisCompany, 'bound-session')
