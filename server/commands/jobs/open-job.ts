// Opens a job at a site: one visit's scope of work on one or more systems.

import { and, eq, inArray } from 'drizzle-orm'
import { z } from 'zod'
import { malformedField, missingField } from '../../refusals.ts'
import { findJob, type JobRow } from '../../store/queries/jobs.ts'
import { jobFoundBy, keepFindable } from '../../store/search-terms.ts'
import type { Scope } from '../../store/store.ts'
import { JOB_KINDS } from '../../vocabulary.ts'
import { say } from '../../words/say.ts'
import { defineCommand } from '../command.ts'
import { id, moment, ownId, text } from '../fields.ts'
import { turnJob } from './job-turns.ts'

export const openJob = defineCommand({
  name: 'open-job',
  summary: 'Open a job at a site.',
  capability: 'open-job',
  input: z.strictObject({
    id: ownId,
    siteId: id,
    kind: z.enum(JOB_KINDS, { error: () => say.jobs.useOneOf(JOB_KINDS.join(', ')) }),
    reference: text(80).optional(),
    systemIds: z.array(id).max(50).optional(),
    assignedTo: id.optional().meta({ description: 'A person of the crew, or a member.' }),
    scheduledFor: moment.optional(),
    callbackId: id.optional(),
  }),
  async handle(scope, input, context): Promise<JobRow> {
    const { db, t, companyId } = scope
    await assertSite(scope, input.siteId)
    const systemIds = [...new Set(input.systemIds ?? [])]
    await assertSystemsAt(scope, input.siteId, systemIds)
    if (input.callbackId !== undefined) await assertCallbackAt(scope, input.siteId, input.callbackId)
    const jobId = input.id ?? context.newId()
    await db.insert(t.jobs).values({
      companyId,
      id: jobId,
      siteId: input.siteId,
      kind: input.kind,
      reference: input.reference ?? null,
      referenceLower: (input.reference ?? '').toLowerCase(),
      stage: 'open',
      stageAt: context.now,
      assignedTo: input.assignedTo ? await crewId(scope, input.assignedTo) : null,
      scheduledFor: input.scheduledFor ?? null,
      callbackId: input.callbackId ?? null,
      tools: null,
      openedAt: context.now,
    })
    await keepFindable(scope, [jobFoundBy({ id: jobId, reference: input.reference ?? null })])
    for (const systemId of systemIds) await db.insert(t.jobSystems).values({ companyId, jobId, systemId })
    await turnJob(scope, context, { id: jobId, siteId: input.siteId }, 'opened', {
      body: {
        kind: input.kind,
        systems: systemIds,
        ...(input.callbackId === undefined ? {} : { callback: input.callbackId }),
      },
    })
    return findJob(scope, jobId)
  },
})

async function assertSite({ db, t, companyId }: Scope, siteId: string): Promise<void> {
  const [row] = await db
    .select({ id: t.sites.id })
    .from(t.sites)
    .where(and(eq(t.sites.companyId, companyId), eq(t.sites.id, siteId)))
  if (!row) throw missingField('siteId', say.jobs.thisSite)
}

/** Systems stay at a site for their life, so a job's systems are of its site. */
async function assertSystemsAt(scope: Scope, siteId: string, systemIds: string[]): Promise<void> {
  if (systemIds.length === 0) return
  const { db, t, companyId } = scope
  const rows = await db
    .select({ id: t.systems.id })
    .from(t.systems)
    .where(
      and(eq(t.systems.companyId, companyId), eq(t.systems.siteId, siteId), inArray(t.systems.id, systemIds)),
    )
  if (rows.length !== systemIds.length) throw missingField('systemIds', say.jobs.oneOfTheseSystems)
}

/** A repair is done where the system stands that came back. */
async function assertCallbackAt(
  { db, t, companyId }: Scope,
  siteId: string,
  callbackId: string,
): Promise<void> {
  const [row] = await db
    .select({ siteId: t.systems.siteId })
    .from(t.callbacks)
    .innerJoin(
      t.systems,
      and(eq(t.systems.companyId, t.callbacks.companyId), eq(t.systems.id, t.callbacks.systemId)),
    )
    .where(and(eq(t.callbacks.companyId, companyId), eq(t.callbacks.id, callbackId)))
  if (!row) throw missingField('callbackId', say.jobs.thisCallback)
  if (row.siteId !== siteId) throw malformedField('callbackId', say.jobs.thisCallbackIsAbout)
}

/** The crew id of a person of the crew or of a member. */
export async function crewId(
  { db, t, companyId }: Scope,
  crewOrMemberId: string,
  path = 'assignedTo',
): Promise<string> {
  const rows = await db
    .select({ id: t.crew.id, memberId: t.crew.memberId })
    .from(t.crew)
    .where(eq(t.crew.companyId, companyId))
  const found = rows.find((row) => row.id === crewOrMemberId || row.memberId === crewOrMemberId)
  if (!found) throw missingField(path, say.jobs.thisPerson)
  return found.id
}
