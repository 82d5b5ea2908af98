// Whose token is this, and for how long and how far does it stand?

import { eq } from 'drizzle-orm'
import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import { actorOfMember, actorOfToken } from '../../server/access/tokens.ts'
import { createToken } from '../../server/commands/people/create-token.ts'
import { revokeToken } from '../../server/commands/people/revoke-token.ts'
import { aCast, asProgram, type Cast, DAY, type Player } from '../support/cast.ts'
import { STORE_KINDS } from '../support/stores.ts'

const WRITES = { method: 'POST', url: '/api/v1/tokens', payload: { name: 'x', scopes: ['read'] } } as const

describe.each(STORE_KINDS)('tokens on %s', (kind) => {
  let cast: Cast
  beforeAll(async () => {
    cast = await aCast(kind)
  })
  afterAll(() => cast.remove())

  const actorOf = (secret: string, now = cast.clock.now) =>
    actorOfToken(cast.store.store.reader(), secret, now)

  async function aToken(player: Player, scopes: ('read' | 'write')[] = ['read'], expiresInDays = 10) {
    const made = await cast.run(player, createToken, { name: 'loader', scopes, expiresInDays })
    return { id: made.token.id, secret: made.secret?.reveal() ?? '' }
  }

  it('stands for the member it was made by, in their role', async () => {
    const { secret } = await aToken(cast.sam)
    expect(await actorOf(secret)).toMatchObject({
      memberId: cast.sam.memberId,
      companyId: cast.sam.companyId,
      role: 'manager',
      scopes: ['read'],
      via: 'token',
    })
  })

  it('is kept only as its hash, in the table and in the kept answer', async () => {
    const id = '01900000-0000-7000-8000-0000000000aa'
    const made = await cast.run(cast.sam, createToken, { id, name: 'once', scopes: ['read'] })
    const secret = made.secret?.reveal() ?? ''
    expect(secret).toMatch(/^jk_.{43}$/)
    for (const table of ['tokens', 'idempotency_keys', 'entries']) {
      const rows = await cast.store.store.query(`select * from ${table}`)
      expect(rows.length).toBeGreaterThan(0)
      expect(JSON.stringify(rows)).not.toContain(secret)
    }
  })

  it('ends at its moment', async () => {
    const { secret } = await aToken(cast.sam, ['read'], 10)
    expect(await actorOf(secret, cast.clock.now + 10 * DAY - 1)).not.toBeNull()
    expect(await actorOf(secret, cast.clock.now + 10 * DAY)).toBeNull()
  })

  it('is nothing once taken back', async () => {
    const { id, secret } = await aToken(cast.sam)
    await cast.run(cast.sam, revokeToken, { tokenId: id })
    expect(await actorOf(secret)).toBeNull()
  })

  it('is nothing when cut short, lengthened or made up', async () => {
    const { secret } = await aToken(cast.sam)
    for (const wrong of [secret.slice(0, -1), `${secret}A`, 'jk_', '', secret.toUpperCase()])
      expect(await actorOf(wrong)).toBeNull()
  })

  it('is nothing while its member is shut out', async () => {
    const { secret } = await aToken(cast.wren)
    const setActive = (active: boolean) =>
      cast.store.store.transaction(async (session) => {
        await session.db
          .update(session.t.members)
          .set({ active })
          .where(eq(session.t.members.id, cast.wren.memberId))
      })
    await setActive(false)
    expect(await actorOf(secret)).toBeNull()
    const { personId, companyId } = cast.wren
    expect(await actorOfMember(cast.store.store.reader(), personId, companyId)).toBeNull()
    await setActive(true)
    expect(await actorOf(secret)).not.toBeNull()
  })

  it('that may only read writes nothing', async () => {
    const { secret } = await aToken(cast.olga, ['read'])
    const server = await cast.server()
    const headers = { authorization: `Bearer ${secret}` }
    expect((await server.inject({ method: 'GET', url: '/api/v1/me', headers })).statusCode).toBe(200)
    const refused = await server.inject({
      method: 'POST',
      url: '/api/v1/invitations',
      headers,
      payload: { email: 'new@north.example', role: 'technician' },
    })
    expect(refused.statusCode).toBe(403)
    expect(refused.json()).toMatchObject({ code: 'token-read-only' })
    expect(await cast.store.store.query('select id from invitations')).toEqual([])
  })

  it('that may only write reads nothing', async () => {
    const { secret } = await aToken(cast.olga, ['write'])
    const server = await cast.server()
    const headers = { authorization: `Bearer ${secret}` }
    for (const url of ['/api/v1/me', '/api/v1/members', '/api/v1/tokens']) {
      const refused = await server.inject({ method: 'GET', url, headers })
      expect(refused.statusCode, url).toBe(403)
      expect(refused.json()).toMatchObject({ code: 'token-write-only' })
    }
  })

  it('makes no other token', async () => {
    const server = await cast.server()
    const refused = await server.inject({ ...WRITES, headers: asProgram(cast.olga) })
    expect(refused.statusCode).toBe(403)
    expect(refused.json()).toMatchObject({ code: 'token-makes-no-token' })
  })

  it('that is wrong is refused even beside a good cookie', async () => {
    const server = await cast.server()
    const answer = await server.inject({
      method: 'GET',
      url: '/api/v1/me',
      headers: { cookie: cast.olga.cookie, authorization: 'Bearer jk_wrong' },
    })
    expect(answer.statusCode).toBe(401)
  })
})
