// Who belongs to the company, and in which role?

import type { FormState } from '../../views/parts/field.tsx'
import { MembersPage } from '../../views/people/members.tsx'
import { changeMember } from '../commands/people/change-member.ts'
import type { Refusal } from '../refusals.ts'
import { findMember, listMembers, type MemberRow } from '../store/queries/people.ts'
import { ROLES } from '../vocabulary.ts'
import type { Deps } from './deps.ts'
import { instant } from './json.ts'
import { type Ask, type ListQuery, listQuery, type Resource } from './resource.ts'
import { messageOf } from './session.ts'
import { shellOf, theRoleWords } from './shell.ts'

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
