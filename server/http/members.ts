// Who belongs to the company, and in which role?

import type { FormState } from '../../views/parts/field.tsx'
import { MemberPage } from '../../views/people/member.tsx'
import { MembersPage } from '../../views/people/members.tsx'
import { changeMember } from '../commands/people/change-member.ts'
import { deactivateMember } from '../commands/people/deactivate-member.ts'
import { endMemberSessions } from '../commands/people/end-member-sessions.ts'
import { resetSecondStep } from '../commands/people/reset-second-step.ts'
import { listOpenWork } from '../commands/people/shutting-out.ts'
import type { Refusal } from '../refusals.ts'
import { findMember, listCrew, listMembers, type MemberRow } from '../store/queries/people.ts'
import { hasSecondStep } from '../store/queries/second-step.ts'
import { listSessionsOfMember, listSignInsOfMember } from '../store/queries/sign-ins.ts'
import { ROLES } from '../vocabulary.ts'
import type { Deps } from './deps.ts'
import { instant } from './json.ts'
import { type Ask, type ListQuery, listQuery, type Resource } from './resource.ts'
import { messageOf } from './session.ts'
import { shellOf, theRoleWords } from './shell.ts'
import { signInJson } from './signing-in.ts'

export function membersResource(resource: Resource, _deps: Deps): void {
  resource.read({
    path: '/members',
    name: 'list-members',
    summary: 'Who belongs to the company, newest first.',
    capability: 'manage-members',
    query: listQuery,
    load: ({ scope, query }) => listMembers(scope, query as unknown as ListQuery),
    json: ({ items, nextCursor }) => ({ items: items.map(memberJson), nextCursor }),
    page: (_page, ask) => membersPage(ask),
  })

  resource.read({
    path: '/members/:memberId',
    name: 'find-member',
    summary: 'One member.',
    capability: 'manage-members',
    load: ({ scope, params }) => findMember(scope, params.memberId ?? ''),
    json: (row) => memberJson(row),
    page: (row, ask) => memberPage(ask, row),
  })

  resource.write({
    method: 'PATCH',
    path: '/members/:memberId',
    command: changeMember,
    json: (row) => memberJson(row),
    page: {
      // An owner who gave the role away no longer sees this page.
      goTo: (row, { actor }) => (row.id === actor.memberId && row.role !== 'owner' ? '/me' : '/members'),
      again: (form, refusal, ask) => membersPage(ask, { memberId: ask.params.memberId ?? '', form }, refusal),
    },
  })

  resource.read({
    path: '/members/:memberId/sign-ins',
    name: 'list-sign-ins',
    summary: 'When a member signed in to this company, the last 50 of 90 days.',
    capability: 'manage-members',
    load: async ({ scope, params, now }) =>
      listSignInsOfMember(scope, (await findMember(scope, params.memberId ?? '')).personId, now),
    json: (items) => ({ items: items.map(signInJson) }),
  })

  resource.write({
    path: '/members/:memberId/sign-out',
    command: endMemberSessions,
    json: (row) => memberJson(row),
    page: { goTo: (row) => `/members/${row.id}` },
  })

  resource.write({
    path: '/members/:memberId/reset-second-step',
    command: resetSecondStep,
    json: (row) => memberJson(row),
    page: {
      goTo: (row) => `/members/${row.id}`,
      again: async (_form, refusal, ask) =>
        memberPage(ask, await findMember(ask.scope, ask.params.memberId ?? ''), undefined, refusal),
    },
  })

  resource.write({
    path: '/members/:memberId/leave',
    command: deactivateMember,
    json: ({ member, handedOver }) => ({ ...memberJson(member), handedOver }),
    page: {
      goTo: ({ member }, { actor }) => (member.id === actor.memberId ? '/sign-in' : '/members'),
      again: async (form, refusal, ask) =>
        memberPage(ask, await findMember(ask.scope, ask.params.memberId ?? ''), form, refusal),
    },
  })
}

async function memberPage(ask: Ask, row: MemberRow, form?: FormState, refusal?: Refusal) {
  const { scope, now } = ask
  const [jobs, crew, sessions, signIns, hasIt] = await Promise.all([
    listOpenWork(scope, row.id),
    listCrew(scope),
    listSessionsOfMember(scope, row.personId, now),
    listSignInsOfMember(scope, row.personId, now),
    hasSecondStep(scope, row.personId),
  ])
  return MemberPage({
    shell: shellOf(ask.actor, '/members'),
    id: row.id,
    name: row.name,
    email: row.email,
    roleWords: theRoleWords()[row.role],
    active: row.active,
    createdAt: row.createdAt,
    secondStep: hasIt,
    you: row.id === ask.actor.memberId,
    sessions,
    signIns,
    openJobs: jobs.map((job) => ({
      id: job.id,
      label: [job.customerName, job.address, job.reference].filter(Boolean).join(', '),
    })),
    crew: crew.filter((one) => one.id !== row.crewId).map((one) => ({ value: one.id, label: one.name })),
    form,
    refused: refusal && messageOf(refusal),
  })
}

async function membersPage(ask: Ask, changing?: { memberId: string; form: FormState }, refusal?: Refusal) {
  const { items, nextCursor } = await listMembers(ask.scope, { limit: 50, cursor: ask.query.cursor })
  return MembersPage({
    shell: shellOf(ask.actor, '/members'),
    roles: ROLES.map((role) => ({ value: role, label: theRoleWords()[role] })),
    items: items.map((row) => ({
      id: row.id,
      name: row.name,
      email: row.email,
      role: row.role,
      roleWords: theRoleWords()[row.role],
      active: row.active,
      createdAt: row.createdAt,
      you: row.id === ask.actor.memberId,
    })),
    nextHref: nextCursor === null ? undefined : `/members?cursor=${nextCursor}`,
    changing,
    refused: refusal && messageOf(refusal),
  })
}

const memberJson = (row: MemberRow) => ({
  id: row.id,
  personId: row.personId,
  crewId: row.crewId,
  name: row.name,
  email: row.email,
  role: row.role,
  active: row.active,
  createdAt: instant(row.createdAt),
})
