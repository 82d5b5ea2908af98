// Who did it and when, beside who typed it and when?

import { and, eq, or, sql } from 'drizzle-orm'
import { z } from 'zod'
import { malformedField, missingField } from '../refusals.ts'
import type { Provenance } from '../rules/dossier.ts'
import { prepared } from '../store/prepared.ts'
import type { Scope } from '../store/store.ts'
import { say } from '../words/say.ts'
import type { Context } from './command.ts'
import { CLOCK_SLACK_MS, id, moment } from './fields.ts'

/** The fields that every step, test, reading and charge takes. */
export const whoAndWhen = {
  performedBy: id.optional().meta({ description: 'A person of the crew, or a member. Default: the caller.' }),
  supervisedBy: id.optional(),
  witnessedBy: id.optional(),
  performedAt: moment
    .optional()
    .meta({ description: 'When the work was done. Default: now. Not the future.' }),
}
const schema = z.object(whoAndWhen)

export async function provenanceOf(
  scope: Scope,
  given: z.output<typeof schema>,
  context: Context,
): Promise<Provenance> {
  const performedBy = await crewIdOf(scope, 'performedBy', given.performedBy ?? context.actor.memberId)
  const witnessedBy = given.witnessedBy ? await crewIdOf(scope, 'witnessedBy', given.witnessedBy) : null
  if (witnessedBy === performedBy) throw malformedField('witnessedBy', say.fields.aWitnessIsSomebody)
  return {
    performedBy,
    supervisedBy: given.supervisedBy ? await crewIdOf(scope, 'supervisedBy', given.supervisedBy) : null,
    witnessedBy,
    performedAt: notFuture('performedAt', given.performedAt ?? context.enteredAt, context.now),
    recordedBy: context.actor.memberId,
    recordedAt: context.now,
    deviceAt: context.deviceAt,
  }
}

/** The past is fine, however far; a clock that runs a little ahead is set to now. */
export function notFuture(path: string, at: number, now: number): number {
  if (at > now + CLOCK_SLACK_MS) throw malformedField(path, say.fields.thisLiesInThe)
  return Math.min(at, now)
}

async function crewIdOf(scope: Scope, path: string, crewOrMemberId: string): Promise<string> {
  const [row] = await prepared<{ id: string }>(scope, 'crew_of', ({ db, t }) =>
    db
      .select({ id: t.crew.id })
      .from(t.crew)
      .where(
        and(
          eq(t.crew.companyId, sql.placeholder('companyId')),
          or(eq(t.crew.id, sql.placeholder('id')), eq(t.crew.memberId, sql.placeholder('id'))),
        ),
      ),
  ).execute({ companyId: scope.companyId, id: crewOrMemberId })
  if (!row) throw missingField(path, say.fields.thisPerson)
  return row.id
}
