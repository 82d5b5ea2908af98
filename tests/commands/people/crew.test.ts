// Are the people of the crew kept, with their licences, and their names out of the record's chain?

import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import { addCrewPerson } from '../../../server/commands/people/add-crew-person.ts'
import { changeCrewPerson } from '../../../server/commands/people/change-crew-person.ts'
import { newId } from '../../../server/ids.ts'
import { crewOfMember, findCrewPerson } from '../../../server/store/queries/crew.ts'
import { salted, verifyChain } from '../../../server/store/record.ts'
import { scopeOf } from '../../../server/store/store.ts'
import { aCast, type Cast } from '../../support/cast.ts'
import { STORE_KINDS } from '../../support/stores.ts'

const LICENCE = { scheme: 'Section 608', category: 'Type II', number: 'B-4411', validUntil: '2027-05-31' }

describe.each(STORE_KINDS)('the crew on %s', (kind) => {
  let cast: Cast
  beforeAll(async () => {
    cast = await aCast(kind)
  })
  afterAll(() => cast.remove())
  const scope = () => scopeOf(cast.store.store.reader(), cast.sam.companyId)

  it('takes somebody without an account, with their licences', async () => {
    const row = await cast.run(cast.sam, addCrewPerson, { name: 'Ines', credentials: [LICENCE] })
    expect(await findCrewPerson(scope(), row.id)).toMatchObject({
      name: 'Ines',
      memberId: null,
      active: true,
      credentials: [{ ...LICENCE, validUntil: Date.UTC(2027, 4, 31, 23, 59, 59, 999) }],
    })
  })

  it('takes an instant as the end of a licence, too, and none', async () => {
    const row = await cast.run(cast.sam, addCrewPerson, {
      name: 'Jan',
      credentials: [
        { scheme: 'A', number: '1', validUntil: '2027-05-31T12:00:00+02:00' },
        { scheme: 'B', number: '2' },
      ],
    })
    expect(row.credentials.map((one) => one.validUntil)).toEqual([Date.UTC(2027, 4, 31, 10), null])
  })

  it('has names and licences in the record only as salted hashes', async () => {
    const id = newId()
    const row = await cast.run(cast.sam, addCrewPerson, { id, name: 'Wilhelmina', credentials: [LICENCE] })
    const entries = await cast.store.store.query<{ subject_id: string; content: string }>(
      'select subject_id, content from entries',
    )
    expect(JSON.stringify(entries)).not.toMatch(/Wilhelmina|B-4411|Section/)
    const entry = entries.find((one) => one.subject_id === id)
    expect(JSON.parse(entry?.content ?? '{}').body.name).toBe(salted(row.salt, 'Wilhelmina'))
    expect(row.salt.length).toBeGreaterThan(40)
    expect(await verifyChain(scope(), cast.sam.companyId)).toEqual([])
  })

  it('changes what is sent, and only that', async () => {
    const { id } = await cast.run(cast.sam, addCrewPerson, { name: 'Kim', credentials: [LICENCE] })
    await cast.run(cast.sam, changeCrewPerson, { crewId: id, active: false })
    expect(await findCrewPerson(scope(), id)).toMatchObject({ name: 'Kim', active: false })
    await cast.run(cast.sam, changeCrewPerson, { crewId: id, name: 'Kim B.', credentials: [] })
    expect(await findCrewPerson(scope(), id)).toMatchObject({
      name: 'Kim B.',
      active: false,
      credentials: [],
    })
  })

  it('moves an account to the person who worked here before they had it', async () => {
    const { id } = await cast.run(cast.sam, addCrewPerson, { name: 'Tess, before' })
    await cast.run(cast.sam, changeCrewPerson, { crewId: id, memberId: cast.tess.memberId })
    expect((await crewOfMember(scope(), cast.tess.memberId))?.id).toBe(id)
    expect(await findCrewPerson(scope(), cast.tess.crewId)).toMatchObject({ memberId: null, active: false })
  })

  it('adds no second person for a member', async () => {
    await expect(
      cast.run(cast.sam, addCrewPerson, { name: 'Wren too', memberId: cast.wren.memberId }),
    ).rejects.toMatchObject({ status: 409, code: 'member-in-crew', errors: [{ path: 'memberId' }] })
  })

  it('knows no member and no person of another company', async () => {
    await expect(
      cast.run(cast.sam, addCrewPerson, { name: 'Zoe', memberId: cast.zoe.memberId }),
    ).rejects.toMatchObject({ status: 404, errors: [{ path: 'memberId' }] })
    await expect(
      cast.run(cast.sam, changeCrewPerson, { crewId: cast.tess.crewId, memberId: cast.zoe.memberId }),
    ).rejects.toMatchObject({ status: 404, errors: [{ path: 'memberId' }] })
    await expect(
      cast.run(cast.sam, changeCrewPerson, { crewId: cast.zoe.crewId, name: 'Mine' }),
    ).rejects.toMatchObject({ status: 404 })
  })

  it.each([
    ['no name', {}, 'name'],
    ['a blank name', { name: ' ' }, 'name'],
    ['licences that are no list', { name: 'A', credentials: 'none' }, 'credentials'],
    ['a licence without its law', { name: 'A', credentials: [{ number: '1' }] }, 'credentials.0.scheme'],
    ['a licence without its number', { name: 'A', credentials: [{ scheme: 'B' }] }, 'credentials.0.number'],
    [
      'a day that is none',
      { name: 'A', credentials: [{ scheme: 'B', number: '1', validUntil: '2027-02-30' }] },
      'credentials.0.validUntil',
    ],
    [
      'a moment without a zone',
      { name: 'A', credentials: [{ scheme: 'B', number: '1', validUntil: '2027-02-03T10:00' }] },
      'credentials.0.validUntil',
    ],
    [
      'a grade that nobody asked for',
      { name: 'A', credentials: [{ scheme: 'B', number: '1', grade: 2 }] },
      'credentials.0.grade',
    ],
    [
      'too many licences',
      { name: 'A', credentials: Array(31).fill({ scheme: 'B', number: '1' }) },
      'credentials',
    ],
  ])('refuses %s with the path of the field, and writes nothing', async (_what, raw, path) => {
    const count = async () => (await cast.store.store.query('select id from crew')).length
    const before = await count()
    const refused = await cast.done(cast.sam, addCrewPerson, raw).catch((problem) => problem)
    expect(refused).toMatchObject({ status: 400 })
    expect(refused.errors.map((error: { path: string }) => error.path)).toEqual([path])
    expect(await count()).toBe(before)
  })
})
