// Makes a token that a program can act with in a member's name; it is shown once.

import { z } from 'zod'
import { ShownOnce } from '../../access/shown-once.ts'
import { TOKEN_PREFIX } from '../../access/tokens.ts'
import { newSecret, sha256 } from '../../ids.ts'
import { forbidden } from '../../refusals.ts'
import { findOwnToken, type TokenRow } from '../../store/queries/tokens.ts'
import { TOKEN_SCOPES } from '../../vocabulary.ts'
import { say } from '../../words/say.ts'
import { defineCommand } from '../command.ts'
import { ownId, text } from '../fields.ts'

export const TOKEN_DAYS = 90
export const MAX_TOKEN_DAYS = 400

export interface TokenMade {
  token: TokenRow
  secret: ShownOnce | null
}

export const createToken = defineCommand({
  name: 'create-token',
  summary: `Make a token for a program, in your own name. It is answered once and stands for ${TOKEN_DAYS} days unless asked otherwise.`,
  capability: 'use-own',
  input: z.strictObject({
    id: ownId,
    name: text(80),
    scopes: z
      .array(z.enum(TOKEN_SCOPES, { error: () => say.people.use(TOKEN_SCOPES.join(say.people.or)) }), {
        error: () => say.people.chooseAtLeastOne,
      })
      .min(1, { error: () => say.people.chooseAtLeastOne })
      .transform((scopes) => TOKEN_SCOPES.filter((scope) => scopes.includes(scope))),
    expiresInDays: z
      .int({ error: () => say.people.enterAWholeNumber })
      .min(1, { error: () => say.people.atLeastOneDay })
      .max(MAX_TOKEN_DAYS, { error: () => say.people.atMostDays(MAX_TOKEN_DAYS) })
      .default(TOKEN_DAYS),
  }),
  async handle(scope, input, context): Promise<TokenMade> {
    const { db, t, companyId } = scope
    const { actor, now } = context
    // Whoever finds a token must not be able to outlive it.
    if (actor.via === 'token') throw forbidden(say.people.aTokenMakesNo, 'token-makes-no-token')
    const tokenId = input.id ?? context.newId()
    const secret = TOKEN_PREFIX + newSecret()
    const expiresAt = now + input.expiresInDays * 86_400_000
    await db.insert(t.tokens).values({
      companyId,
      id: tokenId,
      memberId: actor.memberId,
      name: input.name,
      scopes: input.scopes,
      tokenHash: sha256(secret),
      createdAt: now,
      expiresAt,
      revokedAt: null,
    })
    context.record({
      chainId: companyId,
      kind: 'token-created',
      subjectId: tokenId,
      body: { scopes: input.scopes, expiresAt },
    })
    return { token: await findOwnToken(scope, actor.memberId, tokenId), secret: new ShownOnce(secret) }
  },
})
