// Takes one of a member's own tokens back, from this moment on.

import { and, eq } from 'drizzle-orm'
import { z } from 'zod'
import { findOwnToken, type TokenRow } from '../../store/queries/tokens.ts'
import { defineCommand } from '../command.ts'
import { id } from '../fields.ts'

export const revokeToken = defineCommand({
  name: 'revoke-token',
  summary: 'Take one of your tokens back.',
  capability: 'use-own',
  input: z.strictObject({ tokenId: id }),
  async handle(scope, { tokenId }, context): Promise<TokenRow> {
    const { db, t, companyId } = scope
    const token = await findOwnToken(scope, context.actor.memberId, tokenId)
    const revokedAt = token.revokedAt ?? context.now
    await db
      .update(t.tokens)
      .set({ revokedAt })
      .where(and(eq(t.tokens.companyId, companyId), eq(t.tokens.id, tokenId)))
    context.record({ chainId: companyId, kind: 'token-revoked', subjectId: tokenId })
    return { ...token, revokedAt }
  },
})
