// Who else says who the members of a company are, and whom do they mean?

import { and, asc, eq } from 'drizzle-orm'
import { newId } from '../../ids.ts'
import type { Scope, Session } from '../store.ts'

export interface IdentityProvider {
  code: string
  name: string
  issuer: string
  clientId: string
  /** Encrypted. */
  clientSecret: string | null
  active: boolean
  changedAt: number
  /** Whose mail addresses it speaks for, in alphabetical order; none means those of its members, wherever they are. */
  domains: string[]
}

export async function findProvider({ db, t, companyId }: Scope): Promise<IdentityProvider | null> {
  const [row] = await db
    .select({
      code: t.identityProviders.code,
      name: t.identityProviders.name,
      issuer: t.identityProviders.issuer,
      clientId: t.identityProviders.clientId,
      clientSecret: t.identityProviders.clientSecret,
      active: t.identityProviders.active,
      changedAt: t.identityProviders.changedAt,
    })
    .from(t.identityProviders)
    .where(eq(t.identityProviders.companyId, companyId))
  if (!row) return null
  const domains = await db
    .select({ domain: t.providerDomains.domain })
    .from(t.providerDomains)
    .where(eq(t.providerDomains.companyId, companyId))
    .orderBy(asc(t.providerDomains.domain))
  return { ...row, domains: domains.map(({ domain }) => domain) }
}

/** Takes the place of the one there was. */
export async function keepProvider(
  { db, t, companyId }: Scope,
  { domains, ...provider }: IdentityProvider,
): Promise<void> {
  await db
    .insert(t.identityProviders)
    .values({ companyId, ...provider, onlyWaySince: null })
    .onConflictDoUpdate({ target: t.identityProviders.companyId, set: provider })
  await db.delete(t.providerDomains).where(eq(t.providerDomains.companyId, companyId))
  for (const domain of domains) await db.insert(t.providerDomains).values({ companyId, domain })
}

/** With whom it named, and what it opened. */
export async function removeProvider({ db, t, companyId }: Scope): Promise<void> {
  await db.delete(t.providerDomains).where(eq(t.providerDomains.companyId, companyId))
  await db.delete(t.providerIdentities).where(eq(t.providerIdentities.companyId, companyId))
  await db.delete(t.identityProviders).where(eq(t.identityProviders.companyId, companyId))
}

/** Ends what a company's provider opened: it is no longer there to be asked. */
export async function endSessionsByProvider({ db, t, companyId }: Scope): Promise<void> {
  await db.delete(t.sessions).where(eq(t.sessions.boundTo, companyId))
}

export interface WayIn {
  companyId: string
  companyName: string
  code: string
  name: string
}

/** A company's own way in, by what stands in its address; for who is not signed in yet. */
export async function wayInByCode({ db, t }: Session, code: string): Promise<WayIn | null> {
  const [row] = await db
    .select({
      companyId: t.identityProviders.companyId,
      companyName: t.companies.name,
      code: t.identityProviders.code,
      name: t.identityProviders.name,
    })
    .from(t.identityProviders)
    .innerJoin(t.companies, eq(t.companies.id, t.identityProviders.companyId))
    .where(and(eq(t.identityProviders.code, code), eq(t.identityProviders.active, true)))
  return row ?? null
}

/** The ways in of companies whose provider speaks for these mail addresses. */
export async function waysInByDomain({ db, t }: Session, domain: string): Promise<WayIn[]> {
  return db
    .select({
      companyId: t.identityProviders.companyId,
      companyName: t.companies.name,
      code: t.identityProviders.code,
      name: t.identityProviders.name,
    })
    .from(t.providerDomains)
    .innerJoin(t.identityProviders, eq(t.identityProviders.companyId, t.providerDomains.companyId))
    .innerJoin(t.companies, eq(t.companies.id, t.identityProviders.companyId))
    .where(and(eq(t.providerDomains.domain, domain), eq(t.identityProviders.active, true)))
    .orderBy(asc(t.companies.name), asc(t.companies.id))
    .limit(20)
}

export async function anyWayIn({ db, t }: Session): Promise<boolean> {
  const rows = await db
    .select({ code: t.identityProviders.code })
    .from(t.identityProviders)
    .where(eq(t.identityProviders.active, true))
    .limit(1)
  return rows.length > 0
}

/** The member whom the provider called so before; null where nobody was, or they left. */
export async function memberNamed(
  { db, t, companyId }: Scope,
  issuer: string,
  subject: string,
): Promise<{ personId: string; isActive: boolean } | null> {
  const [row] = await db
    .select({ personId: t.providerIdentities.personId, isActive: t.members.active })
    .from(t.providerIdentities)
    .innerJoin(
      t.members,
      and(
        eq(t.members.companyId, t.providerIdentities.companyId),
        eq(t.members.personId, t.providerIdentities.personId),
      ),
    )
    .where(
      and(
        eq(t.providerIdentities.companyId, companyId),
        eq(t.providerIdentities.issuer, issuer),
        eq(t.providerIdentities.subject, subject),
      ),
    )
  return row ?? null
}

/** The active member with this mail address whom the provider has not called by another name already. */
export async function memberByEmail(
  { db, t, companyId }: Scope,
  issuer: string,
  emailLower: string,
): Promise<string | null> {
  const [row] = await db
    .select({ personId: t.members.personId, known: t.providerIdentities.id })
    .from(t.members)
    .innerJoin(t.people, eq(t.people.id, t.members.personId))
    .leftJoin(
      t.providerIdentities,
      and(
        eq(t.providerIdentities.companyId, t.members.companyId),
        eq(t.providerIdentities.personId, t.members.personId),
        eq(t.providerIdentities.issuer, issuer),
      ),
    )
    .where(
      and(
        eq(t.members.companyId, companyId),
        eq(t.members.active, true),
        eq(t.people.emailLower, emailLower),
      ),
    )
  return row && row.known === null ? row.personId : null
}

/** Ties what the provider calls somebody to who that is. */
export async function tieIdentity(
  { db, t, companyId }: Scope,
  tied: { issuer: string; subject: string; personId: string },
  now: number,
): Promise<void> {
  await db
    .insert(t.providerIdentities)
    .values({ companyId, id: newId(), ...tied, createdAt: now, lastUsedAt: now })
}

export async function useIdentity(
  { db, t, companyId }: Scope,
  issuer: string,
  subject: string,
  now: number,
): Promise<void> {
  await db
    .update(t.providerIdentities)
    .set({ lastUsedAt: now })
    .where(
      and(
        eq(t.providerIdentities.companyId, companyId),
        eq(t.providerIdentities.issuer, issuer),
        eq(t.providerIdentities.subject, subject),
      ),
    )
}
