// With which tokens may programs act in a member's name?

import type { FormState } from '../../views/parts/field.tsx'
import { TokenMadePage, TokensPage } from '../../views/people/tokens.tsx'
import { revealed } from '../access/shown-once.ts'
import { createToken, MAX_TOKEN_DAYS, TOKEN_DAYS } from '../commands/people/create-token.ts'
import { revokeToken } from '../commands/people/revoke-token.ts'
import { newId } from '../ids.ts'
import type { Refusal } from '../refusals.ts'
import { listTokens, type TokenRow } from '../store/queries/tokens.ts'
import { TOKEN_SCOPES } from '../vocabulary.ts'
import type { Deps } from './deps.ts'
import { expand } from './form.ts'
import { instant, instantOrNull } from './json.ts'
import { type Ask, type ListQuery, listQuery, type Resource } from './resource.ts'
import { messageOf } from './session.ts'
import { shellOf } from './shell.ts'

export function tokensResource(resource: Resource, _deps: Deps): void {
  resource.read({
    path: '/tokens',
    name: 'list-tokens',
    summary: 'Your own tokens, newest first; never the tokens themselves.',
    capability: 'use-own',
    query: listQuery,
    load: ({ scope, actor, query }) => listTokens(scope, actor.memberId, query as unknown as ListQuery),
    json: ({ items, nextCursor }) => ({ items: items.map(tokenJson), nextCursor }),
    page: (_page, ask) => tokensPage(ask),
  })

  resource.write({
    path: '/tokens',
    command: createToken,
    status: 201,
    json: ({ token, secret }) => ({ ...tokenJson(token), token: revealed(secret) }),
    page: {
      input: (fields) => {
        const { scopes, ...rest } = expand(fields)
        const ticked = (scopes ?? {}) as Record<string, unknown>
        return { ...rest, scopes: TOKEN_SCOPES.filter((scope) => ticked[scope] === 'true') }
      },
      goTo: ({ token, secret }, { actor }) =>
        TokenMadePage({
          shell: shellOf(actor, '/me'),
          name: token.name,
          expiresAt: token.expiresAt,
          secret: revealed(secret),
        }),
      again: (form, refusal, ask) => tokensPage(ask, form, refusal),
    },
  })

  resource.write({
    method: 'DELETE',
    path: '/tokens/:tokenId',
    command: revokeToken,
    json: (row) => tokenJson(row),
    page: { path: '/tokens/:tokenId/revoke', goTo: () => '/tokens' },
  })
}

async function tokensPage(ask: Ask, form?: FormState, refusal?: Refusal) {
  const { items, nextCursor } = await listTokens(ask.scope, ask.actor.memberId, {
    limit: 50,
    cursor: ask.query.cursor,
  })
  return TokensPage({
    shell: shellOf(ask.actor, '/me'),
    id: form?.values.id ?? newId(),
    days: TOKEN_DAYS,
    maxDays: MAX_TOKEN_DAYS,
    items: items.map((row) => ({
      id: row.id,
      name: row.name,
      scopes: row.scopes,
      createdAt: row.createdAt,
      expiresAt: row.expiresAt,
      state: row.revokedAt !== null ? 'revoked' : row.expiresAt <= ask.now ? 'expired' : 'valid',
    })),
    nextHref: nextCursor === null ? undefined : `/tokens?cursor=${nextCursor}`,
    form,
    refused: refusal && messageOf(refusal),
  })
}

const tokenJson = (row: TokenRow) => ({
  id: row.id,
  name: row.name,
  scopes: row.scopes,
  createdAt: instant(row.createdAt),
  expiresAt: instant(row.expiresAt),
  revokedAt: instantOrNull(row.revokedAt),
})
