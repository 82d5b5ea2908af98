// How else does somebody prove who they are? Second factors, half-done sign-ins, and when somebody came in.

import type { Kit } from '../kit.ts'
import { ownedBy, ownedKey } from './keys.ts'
import type { definePeople } from './people.ts'

/** How somebody came in, or with what they tried to. */
export type SignInWay =
  | 'password'
  | 'authenticator'
  | 'passkey'
  | 'password-and-passkey'
  | 'recovery-code'
  | 'openid'
  | 'sign-up'
  | 'invitation'
  | 'company-chosen'

/** What a half-done sign-in has to remember until it goes on. */
export interface StepMemory {
  challenge?: string
  /** The session that it was begun in, by its hash. */
  sessionId?: string
  nonce?: string
  verifier?: string
  state?: string
  next?: string
}

export function defineSigningIn(kit: Kit, { companies, people }: ReturnType<typeof definePeople>) {
  const personId = () =>
    kit
      .text('person_id')
      .notNull()
      .references(() => people.id)

  /** One row for each time somebody came in, or knew the password and failed the second step. */
  const signIns = kit.table(
    'sign_ins',
    {
      id: kit.text('id').primaryKey(),
      personId: personId(),
      companyId: kit.text('company_id'),
      at: kit.moment('at').notNull(),
      way: kit.text('way').$type<SignInWay>().notNull(),
      /** In words, such as "Firefox on Windows"; nothing finer is kept. */
      browser: kit.text('browser').notNull(),
      succeeded: kit.bool('succeeded').notNull(),
    },
    (t) => [
      kit.index('sign_ins_person_index').on(t.personId, t.at, t.id),
      kit.index('sign_ins_company_index').on(t.companyId, t.at, t.id),
    ],
  )

  /** An authenticator app; the secret is kept encrypted. Not in use until a first code was right. */
  const authenticators = kit.table('authenticators', {
    personId: kit
      .text('person_id')
      .primaryKey()
      .references(() => people.id),
    secret: kit.text('secret').notNull(),
    /** The last step of time whose code was used: it and those before it are refused. */
    lastStep: kit.moment('last_step').notNull(),
    createdAt: kit.moment('created_at').notNull(),
    confirmedAt: kit.moment('confirmed_at'),
  })

  const passkeys = kit.table(
    'passkeys',
    {
      id: kit.text('id').primaryKey(),
      personId: personId(),
      name: kit.text('name').notNull(),
      /** base64url, as the browser names it. */
      credentialId: kit.text('credential_id').notNull(),
      /** base64url of the COSE key: public. */
      publicKey: kit.text('public_key').notNull(),
      counter: kit.moment('counter').notNull(),
      transports: kit.json<string[]>('transports').notNull(),
      createdAt: kit.moment('created_at').notNull(),
      lastUsedAt: kit.moment('last_used_at'),
    },
    (t) => [
      kit.uniqueIndex('passkeys_credential_unique').on(t.credentialId),
      kit.index('passkeys_person_index').on(t.personId),
    ],
  )

  /** Hashes; each opens once. */
  const recoveryCodes = kit.table(
    'recovery_codes',
    {
      id: kit.text('id').primaryKey(),
      personId: personId(),
      codeHash: kit.text('code_hash').notNull(),
      createdAt: kit.moment('created_at').notNull(),
      usedAt: kit.moment('used_at'),
    },
    (t) => [kit.uniqueIndex('recovery_codes_person_unique').on(t.personId, t.codeHash)],
  )

  /** What was begun and is not done: the id is a hash of what the browser holds. */
  const signInSteps = kit.table(
    'sign_in_steps',
    {
      id: kit.text('id').primaryKey(),
      kind: kit.text('kind').$type<'second-step' | 'new-passkey' | 'passkey' | 'openid'>().notNull(),
      personId: kit.text('person_id').references(() => people.id),
      companyId: kit.text('company_id'),
      memory: kit.json<StepMemory>('memory').notNull(),
      createdAt: kit.moment('created_at').notNull(),
      expiresAt: kit.moment('expires_at').notNull(),
    },
    (t) => [kit.index('sign_in_steps_expiry_index').on(t.expiresAt)],
  )

  /** Who else may say who a member is: one OpenID Connect provider for a company. */
  const identityProviders = kit.table(
    'identity_providers',
    {
      companyId: kit
        .text('company_id')
        .primaryKey()
        .references(() => companies.id),
      /** In the address of the company's own way in; says nothing by itself. */
      code: kit.text('code').notNull(),
      name: kit.text('name').notNull(),
      issuer: kit.text('issuer').notNull(),
      clientId: kit.text('client_id').notNull(),
      /** Encrypted; null where the provider knows us by PKCE alone. */
      clientSecret: kit.text('client_secret'),
      active: kit.bool('active').notNull(),
      changedAt: kit.moment('changed_at').notNull(),
      /** Since when it is the only way in for all but owners; null while passwords open this company too. */
      onlyWaySince: kit.moment('only_way_since'),
    },
    (t) => [kit.uniqueIndex('identity_providers_code_unique').on(t.code)],
  )

  /** Whose mail addresses a company's provider speaks for; none means those of its members, wherever they are. */
  const providerDomains = kit.table(
    'provider_domains',
    {
      companyId: kit
        .text('company_id')
        .notNull()
        .references(() => companies.id),
      /** What stands behind the @, in lower case. */
      domain: kit.text('domain').notNull(),
    },
    (t) => [
      kit.primaryKey({ columns: [t.companyId, t.domain] }),
      kit.index('provider_domains_domain_index').on(t.domain),
    ],
  )

  /** Who it is that a provider calls by a name of its own; tied once, at the first sign-in through it. */
  const providerIdentities = kit.table(
    'provider_identities',
    {
      ...ownedBy(kit),
      issuer: kit.text('issuer').notNull(),
      subject: kit.text('subject').notNull(),
      personId: personId(),
      createdAt: kit.moment('created_at').notNull(),
      lastUsedAt: kit.moment('last_used_at').notNull(),
    },
    (t) => [
      ownedKey(kit, t),
      kit.foreignKey({
        name: 'provider_identities_company_fk',
        columns: [t.companyId],
        foreignColumns: [companies.id],
      }),
      kit.uniqueIndex('provider_identities_subject_unique').on(t.companyId, t.issuer, t.subject),
      kit.uniqueIndex('provider_identities_person_unique').on(t.companyId, t.issuer, t.personId),
    ],
  )

  return {
    signIns,
    authenticators,
    passkeys,
    recoveryCodes,
    signInSteps,
    identityProviders,
    providerDomains,
    providerIdentities,
  }
}
