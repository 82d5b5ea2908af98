// Who is there? People, the companies they belong to, and how they sign in.

import type { Policy } from '../../rules/policy.ts'
import type { Role, SecondStepFor, TokenScope } from '../../vocabulary.ts'
import type { Kit } from '../kit.ts'
import type { CrewFacts } from '../rows.ts'
import { link, ownedBy, ownedKey } from './keys.ts'

export function definePeople(kit: Kit) {
  const companies = kit.table('companies', {
    id: kit.text('id').primaryKey(),
    name: kit.text('name').notNull(),
    createdAt: kit.moment('created_at').notNull(),
    /** Whose session needs a second step before anything else; null for nobody's. */
    secondStep: kit.text('second_step').$type<SecondStepFor>(),
  })

  /** A person is global and holds memberships in companies. */
  const people = kit.table(
    'people',
    {
      id: kit.text('id').primaryKey(),
      name: kit.text('name').notNull(),
      email: kit.text('email').notNull(),
      emailLower: kit.text('email_lower').notNull(),
      passwordHash: kit.text('password_hash').notNull(),
      createdAt: kit.moment('created_at').notNull(),
    },
    (t) => [kit.uniqueIndex('people_email_lower_unique').on(t.emailLower)],
  )

  /** The id is a hash of what the browser holds. */
  const sessions = kit.table(
    'sessions',
    {
      id: kit.text('id').primaryKey(),
      personId: kit
        .text('person_id')
        .notNull()
        .references(() => people.id),
      companyId: kit.text('company_id'),
      expiresAt: kit.moment('expires_at').notNull(),
      createdAt: kit.moment('created_at').notNull(),
      /** What it is called where it is listed; the id is for the browser's secret alone. */
      handle: kit.text('handle'),
      /** In words, such as "Firefox on Windows". */
      browser: kit.text('browser'),
      /** To the hour. */
      lastUsedAt: kit.moment('last_used_at'),
      /** When a second factor was given in it. */
      secondStepAt: kit.moment('second_step_at'),
      /** Opened by a company's own provider: it is good for that company, and for nothing else of the person's. */
      boundTo: kit.text('bound_to'),
    },
    (t) => [kit.index('sessions_person_index').on(t.personId)],
  )

  const members = kit.table(
    'members',
    {
      ...ownedBy(kit),
      personId: kit
        .text('person_id')
        .notNull()
        .references(() => people.id),
      role: kit.text('role').$type<Role>().notNull(),
      active: kit.bool('active').notNull(),
      createdAt: kit.moment('created_at').notNull(),
    },
    (t) => [
      ownedKey(kit, t),
      kit.foreignKey({ name: 'members_company_fk', columns: [t.companyId], foreignColumns: [companies.id] }),
      kit.uniqueIndex('members_person_unique').on(t.companyId, t.personId),
      kit.index('members_person_index').on(t.personId),
    ],
  )

  const invitations = kit.table(
    'invitations',
    {
      ...ownedBy(kit),
      email: kit.text('email').notNull(),
      role: kit.text('role').$type<Role>().notNull(),
      codeHash: kit.text('code_hash').notNull(),
      invitedBy: kit.text('invited_by').notNull(),
      createdAt: kit.moment('created_at').notNull(),
      expiresAt: kit.moment('expires_at').notNull(),
      acceptedAt: kit.moment('accepted_at'),
      acceptedBy: kit.text('accepted_by'),
    },
    (t) => [
      ownedKey(kit, t),
      link(kit, 'invitations_invited_by_fk', t, t.invitedBy, members),
      kit.uniqueIndex('invitations_code_unique').on(t.codeHash),
    ],
  )

  const tokens = kit.table(
    'tokens',
    {
      ...ownedBy(kit),
      memberId: kit.text('member_id').notNull(),
      name: kit.text('name').notNull(),
      scopes: kit.json<TokenScope[]>('scopes').notNull(),
      tokenHash: kit.text('token_hash').notNull(),
      createdAt: kit.moment('created_at').notNull(),
      expiresAt: kit.moment('expires_at').notNull(),
      revokedAt: kit.moment('revoked_at'),
    },
    (t) => [
      ownedKey(kit, t),
      link(kit, 'tokens_member_fk', t, t.memberId, members),
      kit.uniqueIndex('tokens_hash_unique').on(t.tokenHash),
    ],
  )

  /** Versions of the company's criteria; the highest version is in force. */
  const policies = kit.table(
    'policies',
    {
      ...ownedBy(kit),
      version: kit.int('version').notNull(),
      criteria: kit.json<Policy>('criteria').notNull(),
      reason: kit.text('reason'),
      changedBy: kit.text('changed_by').notNull(),
      createdAt: kit.moment('created_at').notNull(),
    },
    (t) => [
      ownedKey(kit, t),
      link(kit, 'policies_changed_by_fk', t, t.changedBy, members),
      kit.uniqueIndex('policies_version_unique').on(t.companyId, t.version),
    ],
  )

  /** People who do the work, with or without an account. The salt keeps names out of the record's chain. */
  const crew = kit.table(
    'crew',
    {
      ...ownedBy(kit),
      name: kit.text('name').notNull(),
      memberId: kit.text('member_id'),
      credentials: kit.json<CrewFacts['credentials']>('credentials').notNull(),
      salt: kit.text('salt').notNull(),
      active: kit.bool('active').notNull(),
      createdAt: kit.moment('created_at').notNull(),
    },
    (t) => [
      ownedKey(kit, t),
      link(kit, 'crew_member_fk', t, t.memberId, members),
      kit.uniqueIndex('crew_member_unique').on(t.companyId, t.memberId),
    ],
  )

  return { companies, people, sessions, members, invitations, tokens, policies, crew }
}
