// What stands on a page about questions, and what may this member say in their threads?

import type { ThreadProps } from '../../views/audit/threads.tsx'
import type { FormState } from '../../views/parts/field.tsx'
import { may } from '../access/capabilities.ts'
import { newId } from '../ids.ts'
import type { System } from '../rules/dossier.ts'
import { moment } from '../rules/wording.ts'
import type { AuditThread } from '../store/queries/audit.ts'
import { type BriefEntry, listEntriesById } from '../store/queries/entries.ts'
import { coded } from '../words/coded.ts'
import { say } from '../words/say.ts'
import { instant, instantOrNull } from './json.ts'
import type { Ask } from './resource.ts'

export interface ThreadContext {
  nameOf(memberId: string): string
  systems: readonly Pick<System, 'id' | 'name' | 'joints' | 'pressureTests' | 'evacuations'>[]
  from: ThreadProps['from']
  list?: string | undefined
  form?: FormState | undefined
}

export async function threadItems(
  { actor, scope }: Ask,
  threads: readonly AuditThread[],
  context: ThreadContext,
): Promise<ThreadProps[]> {
  const entries = await listEntriesById(
    scope,
    threads.flatMap((thread) => thread.entryId ?? []),
  )
  return threads.map((thread) => {
    const entry = thread.entryId === null ? undefined : entries.get(thread.entryId)
    return {
      id: thread.id,
      about: aboutOf(thread, context.systems),
      entry: entry ? entryWords(entry) : null,
      words: thread.words,
      who: context.nameOf(thread.askedBy),
      at: thread.askedAt,
      replies: thread.replies.map((reply) => ({
        id: reply.id,
        kind: reply.kind,
        words: reply.words,
        who: context.nameOf(reply.saidBy),
        at: reply.saidAt,
        deviceAt: reply.deviceAt,
      })),
      state: thread.state,
      // Whoever audits asks and settles; whoever works answers. A manager may do both.
      may: { answer: may(actor, 'record-work'), ask: may(actor, 'audit-job') },
      freshId: newId(),
      from: context.from,
      list: context.list,
      form: context.form?.values._question === thread.id ? context.form : undefined,
    }
  })
}

/** "Torque recorded, entry 14" */
export function entryWords({ kind, number }: Pick<BriefEntry, 'kind' | 'number'>): string {
  const kinds: Readonly<Record<string, string>> = say.auditThreads.kinds
  return say.auditThreads.entry(kinds[kind] ?? coded(kind), number)
}

function aboutOf(
  { subjectKind, subjectId, jobId }: AuditThread,
  systems: ThreadContext['systems'],
): ThreadProps['about'] {
  switch (subjectKind) {
    case 'job':
      return { label: say.auditThreads.theJob, href: `/jobs/${jobId}` }
    case 'system': {
      const system = systems.find(({ id }) => id === subjectId)
      return { label: system?.name ?? say.auditThreads.aSystem, href: `/systems/${subjectId}` }
    }
    case 'joint': {
      const joint = systems.flatMap(({ joints }) => joints).find(({ id }) => id === subjectId)
      return {
        label: joint ? say.auditThreads.joint(joint.tag) : say.auditThreads.aJoint,
        href: `/joints/${subjectId}?job=${jobId}`,
      }
    }
    case 'pressure-test': {
      const test = systems.flatMap(({ pressureTests }) => pressureTests).find(({ id }) => id === subjectId)
      return {
        label: test
          ? say.auditThreads.pressureTestOf(moment(test.performedAt))
          : say.auditThreads.aPressureTest,
        href: `/pressure-tests/${subjectId}`,
      }
    }
    case 'evacuation': {
      const test = systems.flatMap(({ evacuations }) => evacuations).find(({ id }) => id === subjectId)
      return {
        label: test ? say.auditThreads.evacuationOf(moment(test.performedAt)) : say.auditThreads.anEvacuation,
        href: `/evacuations/${subjectId}`,
      }
    }
  }
}

export const threadJson = (thread: AuditThread) => ({
  id: thread.id,
  jobId: thread.jobId,
  subjectKind: thread.subjectKind,
  subjectId: thread.subjectId,
  entryId: thread.entryId,
  words: thread.words,
  askedBy: thread.askedBy,
  askedAt: instant(thread.askedAt),
  state: thread.state,
  replies: thread.replies.map((reply) => ({
    id: reply.id,
    kind: reply.kind,
    words: reply.words,
    saidBy: reply.saidBy,
    saidAt: instant(reply.saidAt),
    deviceAt: instantOrNull(reply.deviceAt),
  })),
})
