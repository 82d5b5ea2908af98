// Says which OpenID Connect provider may say who a company's members are, or that none may.

import { z } from 'zod'
import { newSecret } from '../../ids.ts'
import { AddressRefused } from '../../openid/checked-fetch.ts'
import { discover, type Provider } from '../../openid/provider.ts'
import { faultOf, ownNetworks } from '../../outgoing/addresses.ts'
import { malformedField, missing } from '../../refusals.ts'
import {
  endSessionsByProvider,
  findProvider,
  type IdentityProvider,
  keepProvider,
  removeProvider,
} from '../../store/queries/identity-providers.ts'
import type { Scope } from '../../store/store.ts'
import { say } from '../../words/say.ts'
import { defineCommand, type Machinery } from '../command.ts'
import { text } from '../fields.ts'

/** For what a client secret is sealed. */
const sealedForProvider = (companyId: string) => `identity provider of ${companyId}`

const domain = z
  .string({ error: () => say.openid.noDomain })
  .trim()
  .toLowerCase()
  .max(250, { error: () => say.openid.noDomain })
  .regex(/^(?=.*\.)[a-z0-9]([a-z0-9.-]*[a-z0-9])?$/, { error: () => say.openid.noDomain })

export const setIdentityProvider = defineCommand({
  name: 'set-identity-provider',
  summary:
    'Let an OpenID Connect provider of the company’s own say who its members are. It is asked before this is kept. A session that it opens is good for this company alone.',
  capability: 'manage-members',
  input: z.strictObject({
    name: text(60).meta({ description: 'How its button is called.' }),
    issuer: text(500).meta({ description: 'As the provider writes it, https.' }),
    clientId: text(300),
    clientSecret: text(1000)
      .optional()
      .meta({ description: 'Kept encrypted and never answered. Left out: the one that is there.' }),
    domains: z
      .array(domain)
      .max(20, { error: () => say.openid.tooManyDomains })
      .default([])
      .transform((all) => [...new Set(all)].sort())
      .meta({
        description: 'Whose mail addresses it speaks for. None: those of the members, wherever they are.',
      }),
    active: z.boolean({ error: () => say.tests.answerYesOrNo }).default(true),
  }),
  async before(input, { machinery }) {
    const fault = faultOf(input.issuer, networksOf(machinery))
    if (fault !== null) throw malformedField('issuer', say.outgoing.faults[fault])
    // Switching off has to work while nobody answers there.
    if (input.active) await assertAnswers(input, machinery)
    return input
  },
  async handle(scope, input, context): Promise<IdentityProvider> {
    const { companyId } = scope
    const { sealer } = context.machinery
    const before = await findProvider(scope)
    const { clientSecret, ...given } = input
    const kept: IdentityProvider = {
      ...given,
      code: before?.code ?? newSecret().slice(0, 16),
      // A secret is the provider's that it came from: another issuer never gets to see it.
      clientSecret:
        clientSecret !== undefined
          ? sealer.seal(clientSecret, sealedForProvider(companyId))
          : before?.issuer === input.issuer
            ? before.clientSecret
            : null,
      changedAt: context.now,
    }
    await keepProvider(scope, kept)
    if (!kept.active || (before && before.issuer !== kept.issuer)) await endSessionsByProvider(scope)
    context.record({
      chainId: companyId,
      kind: 'identity-provider-set',
      subjectId: companyId,
      body: {
        issuer: kept.issuer,
        clientId: kept.clientId,
        domains: kept.domains,
        active: kept.active,
        withSecret: kept.clientSecret !== null,
      },
    })
    return kept
  },
})

export const removeIdentityProvider = defineCommand({
  name: 'remove-identity-provider',
  summary: 'No provider says who the members are any more. What it opened ends.',
  capability: 'manage-members',
  input: z.strictObject({}),
  async handle(scope, _input, context): Promise<{ removed: true }> {
    const before = await findProvider(scope)
    if (!before) throw missing(say.openid.thisProvider)
    await endSessionsByProvider(scope)
    await removeProvider(scope)
    context.record({
      chainId: scope.companyId,
      kind: 'identity-provider-removed',
      subjectId: scope.companyId,
      body: { issuer: before.issuer },
    })
    return { removed: true }
  },
})

export const networksOf = ({ settings }: Machinery) => ownNetworks(settings.ownNetworks ?? '')

function secretOf({ sealer }: Machinery, companyId: string, kept: IdentityProvider | null): string | null {
  return kept?.clientSecret ? sealer.open(kept.clientSecret, sealedForProvider(companyId)) : null
}

/** What the provider is asked with; refuses nothing. */
export async function providerToAsk(scope: Scope, machinery: Machinery): Promise<Provider | null> {
  const kept = await findProvider(scope)
  if (!kept?.active) return null
  return {
    issuer: kept.issuer,
    clientId: kept.clientId,
    clientSecret: secretOf(machinery, scope.companyId, kept),
  }
}

async function assertAnswers(
  { issuer, clientId }: Pick<Provider, 'issuer' | 'clientId'>,
  machinery: Machinery,
): Promise<void> {
  try {
    await discover({ issuer, clientId, clientSecret: null }, networksOf(machinery))
  } catch (problem) {
    if (isRefusedAddress(problem)) throw malformedField('issuer', say.outgoing.faults['not-public'])
    throw malformedField('issuer', say.openid.doesNotAnswer)
  }
}

/** The library wraps what went wrong below it. */
const isRefusedAddress = (problem: unknown): boolean =>
  problem instanceof AddressRefused ||
  (problem instanceof Error && problem.cause !== undefined && isRefusedAddress(problem.cause))
