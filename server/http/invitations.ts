// How is somebody asked to join, and how do they?

import type { FormState } from '../../views/parts/field.tsx'
import { AcceptInvitationPage } from '../../views/people/accept-invitation.tsx'
import { InvitationMadePage, InvitationsPage } from '../../views/people/invitations.tsx'
import { revealed } from '../access/shown-once.ts'
import { acceptInvitation } from '../commands/people/accept-invitation.ts'
import { invitePerson } from '../commands/people/invite-person.ts'
import { revokeInvitation } from '../commands/people/revoke-invitation.ts'
import { newId, sha256 } from '../ids.ts'
import type { Refusal } from '../refusals.ts'
import { type InvitationRow, invitationByCode, listInvitations } from '../store/queries/invitations.ts'
import { personByEmail } from '../store/queries/people.ts'
import { ROLES } from '../vocabulary.ts'
import type { Deps } from './deps.ts'
import { instant, instantOrNull } from './json.ts'
import { type Ask, type ListQuery, listQuery, type PublicAsk, type Resource } from './resource.ts'
import { ENTRANCE_LIMIT, letIn, messageOf } from './session.ts'
import { shellOf, theRoleWords } from './shell.ts'

export function invitationsResource(resource: Resource, deps: Deps): void {
  const { publicUrl } = deps.machinery.settings

  resource.read({
    path: '/invitations',
    name: 'list-invitations',
    summary: 'Who was invited, newest first.',
    capability: 'manage-members',
    query: listQuery,
    load: ({ scope, query }) => listInvitations(scope, query as unknown as ListQuery),
    json: ({ items, nextCursor }, { now }) => ({
      items: items.map((row) => invitationJson(row, now)),
      nextCursor,
    }),
    page: (_page, ask) => invitationsPage(ask),
  })

  resource.write({
    path: '/invitations',
    command: invitePerson,
    status: 201,
    json: ({ invitation, code }, { now }) => {
      const secret = revealed(code)
      return {
        ...invitationJson(invitation, now),
        code: secret,
        link: secret === null ? null : linkOf(publicUrl, secret),
      }
    },
    page: {
      goTo: ({ invitation, code }, { actor }) => {
        const secret = revealed(code)
        return InvitationMadePage({
          shell: shellOf(actor, '/members'),
          email: invitation.email,
          role: theRoleWords()[invitation.role],
          expiresAt: invitation.expiresAt,
          link: secret === null ? null : linkOf(publicUrl, secret),
        })
      },
      again: (form, refusal, ask) => invitationsPage(ask, form, refusal),
    },
  })

  resource.write({
    method: 'DELETE',
    path: '/invitations/:invitationId',
    command: revokeInvitation,
    json: (row, { now }) => invitationJson(row, now),
    page: {
      path: '/invitations/:invitationId/revoke',
      goTo: () => '/invitations',
      again: (_form, refusal, ask) => invitationsPage(ask, undefined, refusal),
    },
  })

  resource.publicRead({
    path: '/invitations/accept',
    name: 'accept-invitation',
    summary: 'The page that an invitation leads to.',
    load: async () => null,
    page: (_nothing, ask) => acceptPage(ask, ask.query.code ?? ''),
  })

  resource.publicWrite({
    path: '/invitations/accept',
    command: acceptInvitation,
    status: 201,
    rateLimit: ENTRANCE_LIMIT,
    after: (result, ask) => letIn(ask, result.person.id, result.company.id, 'invitation'),
    json: ({ company, person, memberId, role }) => ({ company, person, member: { id: memberId }, role }),
    page: {
      goTo: () => '/jobs',
      again: (form, refusal, ask) => acceptPage(ask, form.values.code ?? '', form, refusal),
    },
  })

  async function invitationsPage(ask: Ask, form?: FormState, refusal?: Refusal) {
    const { items, nextCursor } = await listInvitations(ask.scope, {
      limit: 50,
      cursor: ask.query.cursor,
    })
    return InvitationsPage({
      shell: shellOf(ask.actor, '/members'),
      id: form?.values.id ?? newId(),
      roles: ROLES.map((role) => ({ value: role, label: theRoleWords()[role] })),
      items: items.map((row) => ({
        id: row.id,
        email: row.email,
        role: theRoleWords()[row.role],
        state: stateOf(row, ask.now),
        createdAt: row.createdAt,
        endsAt: row.acceptedAt ?? row.expiresAt,
      })),
      nextHref: nextCursor === null ? undefined : `/invitations?cursor=${nextCursor}`,
      form,
      refused: refusal && messageOf(refusal),
    })
  }

  async function acceptPage(ask: PublicAsk, code: string, form?: FormState, refusal?: Refusal) {
    const reader = deps.machinery.store.reader()
    const invitation = code === '' ? null : await invitationByCode(reader, sha256(code))
    const usable = invitation !== null && stateOf(invitation, ask.now) === 'waiting'
    return AcceptInvitationPage({
      code,
      invitation: usable
        ? {
            company: invitation.companyName,
            email: invitation.email,
            role: theRoleWords()[invitation.role],
            known: (await personByEmail(reader, invitation.email)) !== null,
          }
        : null,
      form,
      refused: refusal && messageOf(refusal),
    })
  }
}

const linkOf = (publicUrl: string, code: string) =>
  `${publicUrl}/invitations/accept?code=${encodeURIComponent(code)}`

type InvitationState = 'waiting' | 'used' | 'ended'

const stateOf = (row: InvitationRow, now: number): InvitationState =>
  row.acceptedAt !== null ? 'used' : row.expiresAt <= now ? 'ended' : 'waiting'

const invitationJson = (row: InvitationRow, now: number) => ({
  id: row.id,
  email: row.email,
  role: row.role,
  state: stateOf(row, now),
  invitedBy: row.invitedBy,
  createdAt: instant(row.createdAt),
  expiresAt: instant(row.expiresAt),
  acceptedAt: instantOrNull(row.acceptedAt),
  acceptedBy: row.acceptedBy,
})
