// Does an invitation bring in the right person, once, and for no longer than it stands?

import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import { runPublicCommand } from '../../../server/commands/command.ts'
import { acceptInvitation } from '../../../server/commands/people/accept-invitation.ts'
import { changeMember } from '../../../server/commands/people/change-member.ts'
import { INVITATION_DAYS, invitePerson } from '../../../server/commands/people/invite-person.ts'
import { revokeInvitation } from '../../../server/commands/people/revoke-invitation.ts'
import { newId } from '../../../server/ids.ts'
import { listCrew, memberByEmail } from '../../../server/store/queries/people.ts'
import { verifyChain } from '../../../server/store/record.ts'
import { scopeOf } from '../../../server/store/store.ts'
import type { Role } from '../../../server/vocabulary.ts'
import { aCast, type Cast, DAY } from '../../support/cast.ts'
import { STORE_KINDS } from '../../support/stores.ts'

const PASSWORD = 'a long pass phrase'

describe.each(STORE_KINDS)('joining on %s', (kind) => {
  let cast: Cast
  beforeAll(async () => {
    cast = await aCast(kind)
  })
  afterAll(() => cast.remove())

  const scope = () => scopeOf(cast.store.store.reader(), cast.olga.companyId)
  const accept = (raw: unknown) => runPublicCommand(cast.machinery, acceptInvitation, raw)
  const refusalOf = (raw: unknown) =>
    accept(raw).then(
      () => null,
      (problem) => problem,
    )
  const count = async (table: string) =>
    Number((await cast.store.store.query<{ n: number }>(`select count(*) as n from ${table}`))[0]?.n)

  async function invite(email: string, role: Role = 'technician') {
    const { invitation, code } = await cast.run(cast.olga, invitePerson, { email, role })
    return { id: invitation.id, code: code?.reveal() ?? '' }
  }

  it('makes a new person, member and person of the crew', async () => {
    const { code } = await invite('Nils@North.example', 'warranty')
    const done = await accept({ code, name: 'Nils', password: PASSWORD })
    expect(done).toMatchObject({ company: { id: cast.olga.companyId }, role: 'warranty' })
    expect(await memberByEmail(scope(), 'nils@north.example')).toMatchObject({
      id: done.memberId,
      name: 'Nils',
      role: 'warranty',
      active: true,
    })
    expect((await listCrew(scope())).find((one) => one.memberId === done.memberId)?.name).toBe('Nils')
    expect(await verifyChain(scope(), cast.olga.companyId)).toEqual([])
  })

  it('keeps the code only as a hash, and neither address nor name in the record', async () => {
    const id = newId()
    const { code } = await cast.run(cast.olga, invitePerson, {
      id,
      email: 'quiet@north.example',
      role: 'technician',
    })
    const secret = code?.reveal() ?? ''
    await accept({ code: secret, name: 'Quentin', password: PASSWORD })
    for (const table of ['invitations', 'idempotency_keys', 'entries'])
      expect(JSON.stringify(await cast.store.store.query(`select * from ${table}`))).not.toContain(secret)
    const entries = JSON.stringify(await cast.store.store.query('select content from entries'))
    expect(entries).not.toMatch(/quiet|quentin|north\.example/i)
  })

  it('shows the code once: the same request again answers without it', async () => {
    const raw = { id: newId(), email: 'twice@north.example', role: 'technician' as const }
    const first = await cast.done(cast.olga, invitePerson, raw)
    const again = await cast.done(cast.olga, invitePerson, raw)
    expect(first.repeated).toBe(false)
    expect(first.result.code?.reveal()).toMatch(/^.{43}$/)
    expect(again.repeated).toBe(true)
    expect(again.result.code).toBeNull()
    expect(again.result.invitation).toEqual(first.result.invitation)
  })

  it('takes a known person for their own password, and leaves name and password as they are', async () => {
    const { code: first } = await invite('vera@north.example')
    await accept({ code: first, name: 'Vera', password: PASSWORD })
    const zoe = { ...cast.zoe, role: 'owner' as const }
    const { code } = await cast.run(zoe, invitePerson, { email: 'vera@north.example', role: 'manager' })
    const secret = code?.reveal() ?? ''
    const people = await count('people')
    expect(await refusalOf({ code: secret, password: 'another pass phrase' })).toMatchObject({
      status: 401,
      code: 'wrong-credentials',
    })
    const done = await accept({ code: secret, name: 'Somebody Else', password: PASSWORD })
    expect(done).toMatchObject({ person: { name: 'Vera' }, company: { id: cast.zoe.companyId } })
    expect(await count('people')).toBe(people)
  })

  it('asks a new person for a name, and chooses nothing for them', async () => {
    const { code } = await invite('nameless@north.example')
    const people = await count('people')
    const refused = await refusalOf({ code, password: PASSWORD })
    expect(refused).toMatchObject({ status: 400, errors: [{ path: 'name' }] })
    expect(await count('people')).toBe(people)
    expect(await accept({ code, name: 'Nell', password: PASSWORD })).toMatchObject({
      person: { name: 'Nell' },
    })
  })

  it('answers unknown, taken back and ended in the same words', async () => {
    const revoked = await invite('revoked@north.example')
    await cast.run(cast.olga, revokeInvitation, { invitationId: revoked.id })
    const ended = await invite('ended@north.example')
    const before = cast.clock.now
    cast.clock.pass(INVITATION_DAYS * DAY)
    const members = await count('members')
    const refusals = []
    for (const code of ['made-up', revoked.code, ended.code])
      refusals.push(await refusalOf({ code, name: 'Late', password: PASSWORD }))
    for (const refused of refusals) {
      expect(refused).toMatchObject({ status: 404, code: 'invitation-unusable' })
      expect(refused.message).toBe(refusals[0]?.message)
    }
    expect(await count('members')).toBe(members)
    cast.clock.now = before
  })

  it('stands until the last moment of its fourteen days', async () => {
    const { code } = await invite('just@north.example')
    const before = cast.clock.now
    cast.clock.pass(INVITATION_DAYS * DAY - 1)
    expect(await accept({ code, name: 'Just', password: PASSWORD })).toMatchObject({ role: 'technician' })
    cast.clock.now = before
  })

  it('lets the same person press the button twice', async () => {
    const { code } = await invite('double@north.example')
    const raw = { code, name: 'Dora', password: PASSWORD }
    const first = await accept(raw)
    const members = await count('members')
    expect(await accept(raw)).toEqual(first)
    expect(await count('members')).toBe(members)
    const { code: other } = await invite('at-once@north.example')
    const [one, two] = await Promise.all([accept({ ...raw, code: other }), accept({ ...raw, code: other })])
    expect(two).toEqual(one)
    expect(await count('members')).toBe(members + 1)
    expect(await refusalOf({ ...raw, password: 'not doras phrase' })).toMatchObject({ status: 401 })
  })

  it('brings one in when two hold the same code at the same moment', async () => {
    const { code } = await invite('race@north.example')
    const members = await count('members')
    const people = await count('people')
    const answers = await Promise.allSettled(
      ['Rolf', 'Rita', 'Rune'].map((name) => accept({ code, name, password: `${name} has a pass phrase` })),
    )
    expect(answers.filter((answer) => answer.status === 'fulfilled')).toHaveLength(1)
    expect(await count('members')).toBe(members + 1)
    expect(await count('people')).toBe(people + 1)
  })

  it('invites nobody who is a member, active or not', async () => {
    await expect(
      cast.run(cast.olga, invitePerson, { email: 'nils@NORTH.example', role: 'owner' }),
    ).rejects.toMatchObject({ status: 409, code: 'already-member', errors: [{ path: 'email' }] })
    const nils = await memberByEmail(scope(), 'nils@north.example')
    await cast.run(cast.olga, changeMember, { memberId: nils?.id ?? '', active: false })
    await expect(
      cast.run(cast.olga, invitePerson, { email: 'nils@north.example', role: 'owner' }),
    ).rejects.toMatchObject({ status: 409, code: 'already-member' })
  })

  it('takes nothing back that was used, and nothing of another company', async () => {
    const { id, code } = await invite('kept@north.example')
    await expect(
      cast.run({ ...cast.zoe, role: 'owner' }, revokeInvitation, { invitationId: id }),
    ).rejects.toMatchObject({ status: 404 })
    await accept({ code, name: 'Kay', password: PASSWORD })
    await expect(cast.run(cast.olga, revokeInvitation, { invitationId: id })).rejects.toMatchObject({
      status: 409,
      code: 'invitation-used',
    })
  })

  it('can be taken back twice without harm', async () => {
    const { id } = await invite('gone@north.example')
    const first = await cast.run(cast.olga, revokeInvitation, { invitationId: id })
    cast.clock.pass(1000)
    const second = await cast.run(cast.olga, revokeInvitation, { invitationId: id })
    expect(second.expiresAt).toBe(first.expiresAt)
  })
})
