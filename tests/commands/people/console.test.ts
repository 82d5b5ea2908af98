// Can whoever runs the server make an owner and set a password?

import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import { runPublicCommand } from '../../../server/commands/command.ts'
import { createOwner } from '../../../server/commands/people/create-owner.ts'
import { resetPassword } from '../../../server/commands/people/reset-password.ts'
import { signIn } from '../../../server/commands/people/sign-in.ts'
import { newId } from '../../../server/ids.ts'
import { verifyChain } from '../../../server/store/record.ts'
import { scopeOf } from '../../../server/store/store.ts'
import { aCast, type Cast } from '../../support/cast.ts'
import { STORE_KINDS } from '../../support/stores.ts'

const PASSWORD = 'a long pass phrase'

describe.each(STORE_KINDS)('at the console of %s', (kind) => {
  let cast: Cast
  beforeAll(async () => {
    cast = await aCast(kind)
    cast.machinery.settings.signup = 'closed'
  })
  afterAll(() => cast.remove())
  const chainOf = (companyId: string) => verifyChain(scopeOf(cast.store.store.reader(), companyId), companyId)
  const signingIn = (email: string, password: string) =>
    runPublicCommand(cast.machinery, signIn, { email, password })

  it('a company and its owner are made although sign-up is closed', async () => {
    const made = await createOwner(cast.machinery, {
      companyName: 'Tern Cooling',
      name: 'Ida',
      email: 'ida@tern.example',
      password: PASSWORD,
    })
    expect(made.personIsNew).toBe(true)
    expect(await signingIn('ida@tern.example', PASSWORD)).toMatchObject({ companyId: made.companyId })
    expect(await chainOf(made.companyId)).toEqual([])
  })

  it('a company that lost its owner gets one; a known person keeps name and password', async () => {
    const made = await createOwner(cast.machinery, {
      companyId: cast.zoe.companyId,
      name: 'Not Ida',
      email: 'IDA@tern.example',
      password: 'not their password',
    })
    expect(made).toMatchObject({ companyId: cast.zoe.companyId, personIsNew: false })
    const { person, companies } = await signingIn('ida@tern.example', PASSWORD)
    expect(person.name).toBe('Ida')
    expect(companies.find((one) => one.companyId === cast.zoe.companyId)?.role).toBe('owner')
    expect(await chainOf(cast.zoe.companyId)).toEqual([])
    await expect(
      createOwner(cast.machinery, {
        companyId: cast.zoe.companyId,
        name: 'Ida',
        email: 'ida@tern.example',
        password: PASSWORD,
      }),
    ).rejects.toMatchObject({ code: 'already-member' })
  })

  it('no owner is made for a company that is not there', async () => {
    const people = (await cast.store.store.query('select id from people')).length
    await expect(
      createOwner(cast.machinery, {
        companyId: newId(),
        name: 'Eve',
        email: 'eve@tern.example',
        password: PASSWORD,
      }),
    ).rejects.toMatchObject({ status: 404 })
    expect((await cast.store.store.query('select id from people')).length).toBe(people)
  })

  it('a new password replaces the old, ends what was open, and is on record', async () => {
    const { person } = await signingIn('ida@tern.example', PASSWORD)
    const secret = await cast.deps.sessions.start(person.id, cast.zoe.companyId)
    await resetPassword(cast.machinery, { email: 'Ida@tern.example', password: 'another pass phrase' })
    expect(await cast.deps.sessions.find(secret)).toBeNull()
    await expect(signingIn('ida@tern.example', PASSWORD)).rejects.toMatchObject({ status: 401 })
    const { companies } = await signingIn('ida@tern.example', 'another pass phrase')
    for (const { companyId } of companies) {
      const rows = await cast.store.store.query(
        `select id from entries where kind = 'password-reset' and company_id = '${companyId}'`,
      )
      expect(rows).toHaveLength(1)
      expect(await chainOf(companyId)).toEqual([])
    }
  })

  it('lets somebody in again who tried too often', async () => {
    for (let time = 0; time < 10; time += 1)
      await expect(signingIn('ida@tern.example', 'wrong pass phrase')).rejects.toMatchObject({ status: 401 })
    await expect(signingIn('ida@tern.example', 'another pass phrase')).rejects.toMatchObject({ status: 429 })
    await resetPassword(cast.machinery, { email: 'ida@tern.example', password: PASSWORD })
    expect(await signingIn('ida@tern.example', PASSWORD)).toMatchObject({ person: { name: 'Ida' } })
  })

  it('neither takes a short password or an address of nobody', async () => {
    await expect(
      resetPassword(cast.machinery, { email: 'ida@tern.example', password: 'short' }),
    ).rejects.toMatchObject({ status: 400 })
    await expect(
      resetPassword(cast.machinery, { email: 'nobody@tern.example', password: PASSWORD }),
    ).rejects.toMatchObject({ status: 404 })
    await expect(
      createOwner(cast.machinery, { companyName: '', name: 'A', email: 'a@b.example', password: PASSWORD }),
    ).rejects.toMatchObject({ status: 400 })
  })
})
