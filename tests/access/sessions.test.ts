// Does the cookie open a session, and does the database alone open none?

import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import { endSessionsIn, endSessionsOf, sessionsOf } from '../../server/access/sessions.ts'
import { sha256 } from '../../server/ids.ts'
import { scopeOf } from '../../server/store/store.ts'
import { aCast, type Cast, DAY } from '../support/cast.ts'
import { STORE_KINDS } from '../support/stores.ts'

describe.each(STORE_KINDS)('sessions on %s', (kind) => {
  let cast: Cast
  beforeAll(async () => {
    cast = await aCast(kind)
  })
  afterAll(() => cast.remove())

  it('keeps only the hash of what the browser holds', async () => {
    const secret = await cast.deps.sessions.start(cast.tess.personId, cast.tess.companyId)
    const rows = await cast.store.store.query<{ id: string }>('select id from sessions')
    expect(rows.map((row) => row.id)).toContain(sha256(secret))
    expect(JSON.stringify(rows)).not.toContain(secret)
  })

  it('does not take the stored hash for a secret', async () => {
    const secret = await cast.deps.sessions.start(cast.tess.personId, cast.tess.companyId)
    expect(await cast.deps.sessions.find(secret)).toMatchObject({
      personId: cast.tess.personId,
      companyId: cast.tess.companyId,
    })
    expect(await cast.deps.sessions.find(sha256(secret))).toBeNull()
  })

  it('ends after thirty days without use', async () => {
    const before = cast.clock.now
    const secret = await cast.deps.sessions.start(cast.sam.personId, cast.sam.companyId)
    cast.clock.pass(30 * DAY + 1000)
    expect(await cast.deps.sessions.find(secret)).toBeNull()
    const rows = await cast.store.store.query<{ id: string }>('select id from sessions')
    expect(rows.map((row) => row.id)).not.toContain(sha256(secret))
    cast.clock.now = before
  })

  it('goes on while it is used', async () => {
    const before = cast.clock.now
    const secret = await cast.deps.sessions.start(cast.sam.personId, cast.sam.companyId)
    for (let fortnight = 0; fortnight < 4; fortnight += 1) {
      cast.clock.pass(16 * DAY)
      expect(await cast.deps.sessions.find(secret)).not.toBeNull()
    }
    cast.clock.now = before
  })

  it('removes those that are past their end, and only those', async () => {
    const before = cast.clock.now
    const old = await cast.deps.sessions.start(cast.wren.personId, cast.wren.companyId)
    cast.clock.pass(20 * DAY)
    const young = await cast.deps.sessions.start(cast.wren.personId, cast.wren.companyId)
    cast.clock.pass(15 * DAY)
    await cast.deps.sessions.removeExpired()
    const ids = (await cast.store.store.query<{ id: string }>('select id from sessions')).map((row) => row.id)
    expect(ids).toContain(sha256(young))
    expect(ids).not.toContain(sha256(old))
    cast.clock.now = before
  })

  it('ends one, those in one company, and all of a person', async () => {
    const { sessions } = cast.deps
    const { personId, companyId } = cast.olga
    const start = (company: string | null) => sessions.start(personId, company)
    const one = await start(companyId)
    await sessions.end(one)
    expect(await sessions.find(one)).toBeNull()

    const [here, elsewhere] = [await start(companyId), await start(cast.zoe.companyId)]
    await cast.store.store.transaction((session) => endSessionsIn(scopeOf(session, companyId), personId))
    expect(await sessions.find(here)).toBeNull()
    expect(await sessions.find(elsewhere)).not.toBeNull()

    await cast.store.store.transaction((session) => endSessionsOf(session, personId))
    expect(await sessions.find(elsewhere)).toBeNull()
  })
})

describe('the cookie', () => {
  it('is out of reach of scripts and other sites, and secure where the server is', async () => {
    const cast = await aCast()
    const attributes = (secure: boolean) =>
      sessionsOf(cast.store.store, () => cast.clock.now, secure).cookie('secret').attributes
    expect(attributes(false)).toMatchObject({ httpOnly: true, sameSite: 'lax', path: '/', secure: false })
    expect(attributes(true)).toMatchObject({ httpOnly: true, sameSite: 'lax', secure: true })
    expect(cast.deps.sessions.cookie(null)).toMatchObject({ value: '', attributes: { maxAge: 0 } })
    await cast.remove()
  })
})
