// Can a role be changed, somebody be shut out, and the company never be left without an owner?

import { afterEach, beforeEach, describe, expect, it } from 'vitest'
import { actorOfMember, actorOfToken } from '../../../server/access/tokens.ts'
import { changeMember } from '../../../server/commands/people/change-member.ts'
import { findMember } from '../../../server/store/queries/people.ts'
import { verifyChain } from '../../../server/store/record.ts'
import { scopeOf } from '../../../server/store/store.ts'
import { aCast, type Cast, type Player } from '../../support/cast.ts'
import { STORE_KINDS } from '../../support/stores.ts'

describe.each(STORE_KINDS)('members on %s', (kind) => {
  let cast: Cast
  beforeEach(async () => {
    cast = await aCast(kind)
  })
  afterEach(() => cast.remove())

  const scope = () => scopeOf(cast.store.store.reader(), cast.olga.companyId)
  const change = (player: Player, memberId: string, changes: object) =>
    cast.run(player, changeMember, { memberId, ...changes })
  const secretOf = (player: Player) => player.cookie.split('=')[1] ?? ''

  it('get another role, and it holds at once', async () => {
    await change(cast.olga, cast.tess.memberId, { role: 'manager' })
    const actor = await actorOfMember(cast.store.store.reader(), cast.tess.personId, cast.tess.companyId)
    expect(actor?.role).toBe('manager')
    expect(await verifyChain(scope(), cast.olga.companyId)).toEqual([])
  })

  it('are shut out with their sessions and tokens here, and no others', async () => {
    await change(cast.olga, cast.tess.memberId, { active: false })
    expect(await cast.deps.sessions.find(secretOf(cast.tess))).toBeNull()
    expect(await cast.deps.sessions.find(secretOf(cast.sam))).not.toBeNull()
    const reader = cast.store.store.reader()
    expect(await actorOfToken(reader, cast.tess.token, cast.clock.now)).toBeNull()
    expect(await actorOfToken(reader, cast.sam.token, cast.clock.now)).not.toBeNull()
  })

  it('come back without the tokens they had', async () => {
    await change(cast.olga, cast.tess.memberId, { active: false })
    await change(cast.olga, cast.tess.memberId, { active: true })
    const reader = cast.store.store.reader()
    expect(await actorOfMember(reader, cast.tess.personId, cast.tess.companyId)).not.toBeNull()
    expect(await actorOfToken(reader, cast.tess.token, cast.clock.now)).toBeNull()
  })

  it.each([
    ['demoted', { role: 'manager' }, 'role'],
    ['shut out', { active: false }, 'active'],
    ['demoted and shut out', { role: 'technician', active: false }, 'role'],
  ])('the last owner is not %s', async (_what, changes, path) => {
    await expect(change(cast.olga, cast.olga.memberId, changes)).rejects.toMatchObject({
      status: 409,
      code: 'last-owner',
      errors: [{ path }],
    })
    expect(await findMember(scope(), cast.olga.memberId)).toMatchObject({ role: 'owner', active: true })
    expect(await cast.deps.sessions.find(secretOf(cast.olga))).not.toBeNull()
  })

  it('an owner who is shut out does not count as one', async () => {
    await change(cast.olga, cast.sam.memberId, { role: 'owner', active: false })
    await expect(change(cast.olga, cast.olga.memberId, { role: 'manager' })).rejects.toMatchObject({
      code: 'last-owner',
    })
  })

  it('an owner may go when another stays', async () => {
    await change(cast.olga, cast.sam.memberId, { role: 'owner' })
    await change(cast.olga, cast.olga.memberId, { role: 'manager' })
    expect(await findMember(scope(), cast.olga.memberId)).toMatchObject({ role: 'manager' })
  })

  it('two owners who shut each other out at the same moment do not both succeed', async () => {
    await change(cast.olga, cast.sam.memberId, { role: 'owner' })
    const sam: Player = { ...cast.sam, role: 'owner' }
    const answers = await Promise.allSettled([
      change(cast.olga, cast.sam.memberId, { active: false }),
      change(sam, cast.olga.memberId, { active: false }),
    ])
    expect(answers.map((answer) => answer.status).sort()).toEqual(['fulfilled', 'rejected'])
    const owners = await cast.store.store.query(
      `select id from members where company_id = '${cast.olga.companyId}' and role = 'owner' and active`,
    )
    expect(owners).toHaveLength(1)
  })

  it('four owners who leave at the same moment leave one', async () => {
    const all = [cast.olga, cast.sam, cast.tess, cast.wren]
    for (const player of all.slice(1)) await change(cast.olga, player.memberId, { role: 'owner' })
    const answers = await Promise.allSettled(
      all.map((player) => change({ ...player, role: 'owner' }, player.memberId, { role: 'technician' })),
    )
    expect(answers.filter((answer) => answer.status === 'fulfilled')).toHaveLength(all.length - 1)
    expect(await verifyChain(scope(), cast.olga.companyId)).toEqual([])
  })

  it('of another company are missing', async () => {
    await expect(change(cast.olga, cast.zoe.memberId, { role: 'owner' })).rejects.toMatchObject({
      status: 404,
    })
  })

  it('are not changed by nothing', async () => {
    await expect(change(cast.olga, cast.tess.memberId, {})).rejects.toMatchObject({
      status: 400,
      errors: [{ path: 'role' }],
    })
  })
})
