// Lets somebody go: their open jobs go to others, and sessions, tokens and links end, all at once or not at all.

import { and, eq } from 'drizzle-orm'
import { z } from 'zod'
import { conflict, malformedField, missingField } from '../../refusals.ts'
import { crewOfMember, findCrewPerson } from '../../store/queries/crew.ts'
import { listSystemIdsOfJob } from '../../store/queries/jobs.ts'
import { countOtherOwners, findMember, lockCompany, type MemberRow } from '../../store/queries/people.ts'
import { say } from '../../words/say.ts'
import { defineCommand } from '../command.ts'
import { id, text } from '../fields.ts'
import { appendJobEvent, findOpenJob } from '../jobs/job-turns.ts'
import { crewId } from '../jobs/open-job.ts'
import { listOpenWork, shutOut } from './shutting-out.ts'

export interface Deactivated {
  member: MemberRow
  handedOver: { jobId: string; to: string }[]
}

export const deactivateMember = defineCommand({
  name: 'deactivate-member',
  summary:
    'Shut a member out and hand their open jobs over, in one step. Each open job needs somebody: its own person, or the one for all.',
  capability: 'manage-members',
  input: z.strictObject({
    memberId: id,
    to: id
      .optional()
      .meta({ description: 'Who gets every job that is not named: of the crew, or a member.' }),
    jobs: z
      .record(id, id)
      .optional()
      .meta({ description: 'Who gets which job: the person’s id under the job’s.' }),
    note: text(2000).optional().meta({ description: 'What those who get the jobs should know.' }),
    keepsWorking: z
      .boolean({ error: () => say.people.answerYesOrNo })
      .optional()
      .meta({
        description: 'They still work here, without an account, and keep the jobs that go to nobody else.',
      }),
  }),
  async handle(scope, input, context): Promise<Deactivated> {
    const { db, t, companyId } = scope
    // Two owners who shut each other out at the same time must not both succeed.
    await lockCompany(scope)
    const member = await findMember(scope, input.memberId)
    const keepsWorking = input.keepsWorking ?? false
    if (member.role === 'owner' && member.active && (await countOtherOwners(scope, member.id)) === 0)
      throw conflict('last-owner', say.people.thisIsTheLast)
    const open = await listOpenWork(scope, member.id)
    const theirs = new Set(open.map((job) => job.id))
    for (const jobId of Object.keys(input.jobs ?? {}))
      if (!theirs.has(jobId)) throw missingField(`jobs.${jobId}`, say.signing.thisOpenJob)

    const leaving = await crewOfMember(scope, member.id)
    // Whoever is named has to be there, also when there turns out to be nothing for them.
    const takers = new Map<string, string>()
    const named = [
      ['to', input.to],
      ...Object.entries(input.jobs ?? {}).map(([jobId, to]) => [`jobs.${jobId}`, to]),
    ]
    for (const [path = '', wanted] of named) {
      if (wanted === undefined) continue
      const to = await findCrewPerson(scope, await crewId(scope, wanted, path))
      if (to.id === leaving?.id) throw malformedField(path, say.signing.notToThemselves)
      if (!to.active) throw malformedField(path, say.signing.doesNotWorkHere(to.name))
      takers.set(path, to.id)
    }
    const left: string[] = []
    const handedOver: Deactivated['handedOver'] = []
    for (const listed of open) {
      const to = takers.get(`jobs.${listed.id}`) ?? takers.get('to')
      if (to === undefined) {
        if (!keepsWorking) left.push(listed.id)
        continue
      }
      const job = await findOpenJob(scope, listed.id)
      const { number, seal } = await appendJobEvent(scope, context, job.id, 'handed-over', {
        ...(input.note === undefined ? {} : { reason: input.note }),
        from: job.assignedTo,
        to,
      })
      await db
        .update(t.jobs)
        .set({ assignedTo: to })
        .where(and(eq(t.jobs.companyId, companyId), eq(t.jobs.id, job.id)))
      const systemIds = await listSystemIdsOfJob(scope, job.id)
      for (const chainId of systemIds.length > 0 ? systemIds : [companyId])
        context.record({
          chainId,
          kind: 'job-handed-over',
          subjectId: job.id,
          jobId: job.id,
          facts: [seal],
          body: { number, from: job.assignedTo, to },
        })
      handedOver.push({ jobId: job.id, to })
    }
    if (left.length > 0)
      throw conflict(
        'open-work',
        say.signing.openWorkIsLeft(left.length),
        left.map((jobId) => ({ path: `jobs.${jobId}`, message: say.signing.whoGetsThis })),
      )

    await db
      .update(t.members)
      .set({ active: false })
      .where(and(eq(t.members.companyId, companyId), eq(t.members.id, member.id)))
    if (leaving && !keepsWorking)
      await db
        .update(t.crew)
        .set({ active: false })
        .where(and(eq(t.crew.companyId, companyId), eq(t.crew.id, leaving.id)))
    await shutOut(scope, member, context.now)
    context.record({
      chainId: companyId,
      kind: 'member-changed',
      subjectId: member.id,
      body: { role: member.role, active: false, handedOver: handedOver.length, keepsWorking },
    })
    return { member: { ...member, active: false }, handedOver }
  },
})
