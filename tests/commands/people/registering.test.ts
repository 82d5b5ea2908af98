// Does a company come to be with all that it needs, once, and only while sign-up is open?

import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import { runPublicCommand } from '../../../server/commands/command.ts'
import { registerCompany } from '../../../server/commands/people/register-company.ts'
import { signIn } from '../../../server/commands/people/sign-in.ts'
import { newId } from '../../../server/ids.ts'
import { BUILT_IN_POLICY } from '../../../server/rules/policy.ts'
import { listCrew, listMembers } from '../../../server/store/queries/people.ts'
import { findPolicy } from '../../../server/store/queries/policy.ts'
import { verifyChain } from '../../../server/store/record.ts'
import { scopeOf } from '../../../server/store/store.ts'
import { aCast, type Cast } from '../../support/cast.ts'
import { STORE_KINDS } from '../../support/stores.ts'

const PASSWORD = 'a long pass phrase'
const TERN = { name: 'Tern Cooling', ownerName: 'Ida', email: 'Ida@Tern.example', password: PASSWORD }

describe.each(STORE_KINDS)('registering a company on %s', (kind) => {
  let cast: Cast
  beforeAll(async () => {
    cast = await aCast(kind)
  })
  afterAll(() => cast.remove())

  const register = (raw: unknown) => runPublicCommand(cast.machinery, registerCompany, raw)
  const refusalOf = (raw: unknown) =>
    register(raw).then(
      () => null,
      (problem) => problem,
    )
  const count = async (table: string) =>
    Number((await cast.store.store.query<{ n: number }>(`select count(*) as n from ${table}`))[0]?.n)
  const counts = async () =>
    Object.fromEntries(
      await Promise.all(
        ['companies', 'people', 'members', 'crew', 'chains', 'entries', 'policies'].map(
          async (table) => [table, await count(table)] as const,
        ),
      ),
    )
  let companyId = ''

  it('makes company, owner, crew, chain and the built-in criteria together', async () => {
    const before = await counts()
    const made = await register(TERN)
    companyId = made.company.id
    const after = await counts()
    for (const table of Object.keys(before)) expect(after[table], table).toBe((before[table] ?? 0) + 1)
    const scope = scopeOf(cast.store.store.reader(), companyId)
    const { items } = await listMembers(scope, { limit: 5 })
    expect(items).toMatchObject([
      { id: made.memberId, name: 'Ida', email: 'Ida@Tern.example', role: 'owner', active: true },
    ])
    expect(await listCrew(scope)).toMatchObject([{ name: 'Ida', memberId: made.memberId }])
    expect(await findPolicy(scope)).toEqual({ version: 1, criteria: BUILT_IN_POLICY })
  })

  it('has it on a record that holds, without a name in it', async () => {
    const scope = scopeOf(cast.store.store.reader(), companyId)
    expect(await verifyChain(scope, companyId)).toEqual([])
    const entries = await cast.store.store.query<{ kind: string; content: string }>(
      `select kind, content from entries where company_id = '${companyId}'`,
    )
    expect(entries.map((entry) => entry.kind)).toEqual(['company-founded'])
    expect(entries[0]?.content).not.toMatch(/ida|tern/i)
  })

  it('keeps no password', async () => {
    const people = await cast.store.store.query('select * from people')
    expect(JSON.stringify(people)).not.toContain(PASSWORD)
  })

  it('gives a known person a second company for the right password, however the address is written', async () => {
    const peopleBefore = await count('people')
    const second = await register({ ...TERN, name: 'Tern Service', email: 'ida@TERN.example' })
    expect(await count('people')).toBe(peopleBefore)
    const { companies, companyId: only } = await runPublicCommand(cast.machinery, signIn, {
      email: TERN.email,
      password: PASSWORD,
    })
    expect(companies.map((one) => [one.companyName, one.role])).toEqual([
      ['Tern Cooling', 'owner'],
      ['Tern Service', 'owner'],
    ])
    expect(only).toBeNull()
    expect(companies[1]).toMatchObject({ companyId: second.company.id, memberId: second.memberId })
  })

  it('refuses a known address with another password as signing in does, and writes nothing', async () => {
    const before = await counts()
    const refused = await refusalOf({ ...TERN, password: 'another pass phrase' })
    const signingIn = await runPublicCommand(cast.machinery, signIn, {
      email: TERN.email,
      password: 'another pass phrase',
    }).catch((problem) => problem)
    expect(refused).toMatchObject({ status: 401, code: 'wrong-credentials' })
    expect([refused.status, refused.code, refused.message, refused.errors]).toEqual([
      signingIn.status,
      signingIn.code,
      signingIn.message,
      signingIn.errors,
    ])
    expect(await counts()).toEqual(before)
  })

  it('answers a second press of the button with the first company', async () => {
    const id = newId()
    const raw = { ...TERN, id, name: 'Tern Again', email: 'ole@tern.example' }
    const first = await register(raw)
    const before = await counts()
    expect(await register(raw)).toEqual(first)
    expect(await counts()).toEqual(before)
  })

  it('answers two presses at the same moment with one company', async () => {
    const raw = { ...TERN, id: newId(), name: 'Tern Twice', email: 'una@tern.example' }
    const before = await counts()
    const [first, second] = await Promise.all([register(raw), register(raw)])
    expect(second).toEqual(first)
    const after = await counts()
    expect(after.companies).toBe((before.companies ?? 0) + 1)
    expect(after.people).toBe((before.people ?? 0) + 1)
  })

  it('refuses an id that stands for another company', async () => {
    expect(await refusalOf({ ...TERN, id: companyId, name: 'Other' })).toMatchObject({
      status: 409,
      code: 'id-reused',
    })
    expect(await refusalOf({ ...TERN, id: cast.tess.companyId, name: cast.tess.companyName })).toMatchObject({
      status: 409,
      code: 'id-reused',
    })
  })

  it('is closed when the server says so, and when there is a first company and it takes no more', async () => {
    const { settings } = cast.machinery
    const before = await counts()
    for (const signup of ['closed', 'first'] as const) {
      settings.signup = signup
      expect(await refusalOf({ ...TERN, email: `${signup}@tern.example` })).toMatchObject({
        status: 403,
        code: 'sign-up-closed',
      })
    }
    settings.signup = 'open'
    expect(await counts()).toEqual(before)
  })

  it.each([
    ['no name', { ...TERN, name: undefined }, 'name'],
    ['a blank name', { ...TERN, name: '  ' }, 'name'],
    ['a name that is a number', { ...TERN, name: 7 }, 'name'],
    ['an endless name', { ...TERN, name: 'x'.repeat(121) }, 'name'],
    ['a name with a character that can not be kept', { ...TERN, name: 'a\0b' }, 'name'],
    ['no owner', { ...TERN, ownerName: undefined }, 'ownerName'],
    ['no address', { ...TERN, email: undefined }, 'email'],
    ['an address without a place', { ...TERN, email: 'ida@' }, 'email'],
    ['an address that is a list', { ...TERN, email: ['ida@tern.example'] }, 'email'],
    ['a short password', { ...TERN, password: 'elevensigns' }, 'password'],
    ['an endless password', { ...TERN, password: 'x'.repeat(201) }, 'password'],
    ['a password that is a number', { ...TERN, password: 123456789012 }, 'password'],
    ['an id that is none', { ...TERN, id: 'first' }, 'id'],
    ['a role of its own', { ...TERN, role: 'owner' }, 'role'],
  ])('refuses %s with the path of the field', async (_what, raw, path) => {
    const before = await counts()
    const refused = await refusalOf(raw)
    expect(refused).toMatchObject({ status: 400, code: 'malformed' })
    expect(refused.errors.map((error: { path: string }) => error.path)).toContain(path)
    expect(await counts()).toEqual(before)
  })
})

describe.each(STORE_KINDS)('the first company on %s', (kind) => {
  it('is founded once, however many try at the same moment', async () => {
    const cast = await aCast(kind)
    const { freshStore } = await import('../../support/stores.ts')
    const empty = await freshStore(kind)
    const machinery = {
      ...cast.machinery,
      store: empty.store,
      settings: { ...cast.machinery.settings, signup: 'first' as const },
    }
    const answers = await Promise.allSettled(
      [1, 2, 3, 4].map((n) =>
        runPublicCommand(machinery, registerCompany, { ...TERN, email: `ida${n}@tern.example` }),
      ),
    )
    expect(answers.filter((answer) => answer.status === 'fulfilled')).toHaveLength(1)
    for (const answer of answers)
      if (answer.status === 'rejected') expect(answer.reason.code).toBe('sign-up-closed')
    const rows = await empty.store.query<{ n: number }>('select count(*) as n from companies')
    expect(Number(rows[0]?.n)).toBe(1)
    await empty.remove()
    await cast.remove()
  })
})
