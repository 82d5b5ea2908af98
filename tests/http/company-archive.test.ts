// Does an owner get the whole company out by a page, and into an empty server by another?

import { mkdtempSync, readdirSync, rmSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import type { FastifyInstance } from 'fastify'
import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import { sessionsOf } from '../../server/access/sessions.ts'
import { buildApp } from '../../server/app.ts'
import { verifyRecord } from '../../server/certificate/verify-record.ts'
import { resetPassword } from '../../server/commands/people/reset-password.ts'
import { shelfOf } from '../../server/http/company-archive.ts'
import type { Deps } from '../../server/http/deps.ts'
import { openArchive } from '../../server/moving/import-company.ts'
import { localFiles } from '../../server/store/files.ts'
import {
  aCast,
  asBrowser,
  asProgram,
  type Cast,
  DAY,
  ORIGIN,
  type Player,
  TEST_KEY,
} from '../support/cast.ts'
import { aSealedJob } from '../support/certified.ts'
import { PASSWORD, signIn } from '../support/entrance.ts'
import { aForm } from '../support/pictures.ts'
import { freshStore, type TestStore } from '../support/stores.ts'

const EMAIL = 'olga@north-ridge.example'
let cast: Cast
let folder: string
let archive: Buffer
const others: TestStore[] = []
beforeAll(async () => {
  folder = mkdtempSync(join(tmpdir(), 'jointkeep-archive-'))
  cast = await aCast()
  await aSealedJob(cast)
  await cast.store.store.execute(
    `update people set email = '${EMAIL}', email_lower = '${EMAIL}' where id = '${cast.olga.personId}'`,
  )
})
afterAll(async () => {
  await cast.remove()
  for (const other of others) await other.remove()
  rmSync(folder, { recursive: true, force: true })
})

const ask = async (method: 'GET' | 'POST', path: string, by: Player | null, payload?: object) => {
  const server = await cast.server()
  return server.inject({
    method,
    url: `/api/v1${path}`,
    headers: by ? asProgram(by) : {},
    ...(payload === undefined ? {} : { payload }),
  })
}

describe('the archive of a company', () => {
  it('is there for owners alone', async () => {
    for (const [method, path] of [
      ['GET', '/exports/company'],
      ['GET', '/exports/company.tar'],
      ['POST', '/exports/company'],
    ] as const) {
      expect((await ask(method, path, null, {})).statusCode).toBe(401)
      for (const player of [cast.tess, cast.sam, cast.wren])
        expect((await ask(method, path, player, {})).statusCode, `${path} ${player.name}`).toBe(403)
    }
    expect((await ask('GET', '/exports/company', cast.olga)).json()).toEqual({ state: 'none' })
    expect((await ask('GET', '/exports/company.tar', cast.olga)).statusCode).toBe(404)
    expect((await ask('POST', '/exports/company', cast.olga, { whole: true })).statusCode).toBe(400)
  })

  it('is begun, goes on by itself, and is fetched when it is whole', async () => {
    const begun = await ask('POST', '/exports/company', cast.olga, {})
    expect(begun.statusCode).toBe(201)
    expect(begun.json().state).toBe('writing')
    await shelfOf(cast.deps).ended(cast.olga.companyId)
    const whole = (await ask('GET', '/exports/company', cast.olga)).json()
    expect(whole).toMatchObject({ id: begun.json().id, state: 'whole', missing: 0 })
    expect(whole.done).toBe(whole.total)
    const file = await ask('GET', '/exports/company.tar', cast.olga)
    expect(file.statusCode).toBe(200)
    expect(file.headers['content-disposition']).toMatch(/^attachment; filename="company-.*\.tar"$/)
    expect(Number(file.headers['content-length'])).toBe(whole.bytes)
    archive = file.rawPayload
    expect(archive.length).toBe(whole.bytes)
    const place = join(folder, 'fetched.tar')
    writeFileSync(place, archive)
    const opened = await openArchive(place)
    expect(opened.manifest.company.name).toBe('North Ridge Air')
    opened.tar.close()
    // Sent twice it is one; and who else has an archive does not see this one.
    const again = await ask('POST', '/exports/company', cast.olga, { id: whole.id })
    expect(again.json()).toMatchObject({ id: whole.id, state: 'whole' })
    await cast.store.store.execute(`update members set role = 'owner' where id = '${cast.zoe.memberId}'`)
    expect((await ask('GET', '/exports/company', cast.zoe)).json()).toEqual({ state: 'none' })
    expect((await ask('GET', '/exports/company.tar', cast.zoe)).statusCode).toBe(404)
  })

  it('is put on record each time it is taken out', async () => {
    const rows = await cast.store.store.query(
      `select member_id from entries where kind = 'company-written-out' and company_id = '${cast.olga.companyId}'`,
    )
    expect(rows).toEqual([{ member_id: cast.olga.memberId }, { member_id: cast.olga.memberId }])
  })

  it('has a page that works without script', async () => {
    const server = await cast.server()
    const page = () => server.inject({ url: '/exports/company', headers: asBrowser(cast.olga) })
    expect((await page()).body).toContain('href="/exports/company.tar"')
    const sent = await server.inject({
      method: 'POST',
      url: '/exports/company',
      headers: { ...asBrowser(cast.olga), 'content-type': 'application/x-www-form-urlencoded' },
      payload: '',
    })
    expect(sent.headers.location).toBe('/exports/company')
    const now = (await page()).body
    expect(now).toContain('Look again')
    expect(now).toContain('hx-trigger="every 1s"')
    await shelfOf(cast.deps).ended(cast.olga.companyId)
    expect((await page()).body).toContain('The archive is whole')
  })

  it('is kept for a day, and half of one for nobody', async () => {
    cast.clock.pass(DAY + 60_000)
    expect((await ask('GET', '/exports/company', cast.olga)).json()).toEqual({ state: 'none' })
    const left = readdirSync(join(cast.deps.config.files, 'archives'))
    expect(left).toEqual([])
    // The service ends in the middle: what was half written is not there.
    void ask('POST', '/exports/company', cast.olga, {})
    const shelf = shelfOf(cast.deps)
    const begun = await shelf.begin(cast.olga.companyId, 'other', async (write) => {
      for (;;) await write(Buffer.alloc(1000))
    })
    expect(begun.state).toBe('writing')
    await shelf.stop()
    expect((await shelf.look(cast.olga.companyId))?.state).not.toBe('writing')
    expect(await shelf.take(cast.olga.companyId).then((found) => found?.bytes ?? null)).not.toBe(1000)
  })
})

describe('a server that holds no company yet', () => {
  interface Empty {
    server: FastifyInstance
    deps: Deps
    close(): Promise<void>
  }
  async function anEmptyServer(signup: 'first' | 'closed' = 'first'): Promise<Empty> {
    const fresh = await freshStore('sqlite')
    others.push(fresh)
    const files = mkdtempSync(join(folder, 'files-'))
    const signingKey = join(files, 'key.json')
    writeFileSync(signingKey, JSON.stringify(TEST_KEY))
    const { machinery, config } = cast.deps
    const deps: Deps = {
      config: { ...config, files, signingKey },
      machinery: {
        ...machinery,
        store: fresh.store,
        files: localFiles(files),
        settings: { ...machinery.settings, signup },
      },
      sessions: sessionsOf(fresh.store, machinery.clock, false),
    }
    const { server } = await buildApp(deps)
    await server.ready()
    return { server, deps, close: () => server.close() }
  }
  const send = ({ server }: Empty, fields: Record<string, string>, bytes: Uint8Array = archive) => {
    const form = aForm(fields, { name: 'archive', fileName: 'company.tar', bytes, type: 'application/x-tar' })
    return server.inject({
      method: 'POST',
      url: '/import-company',
      headers: { origin: ORIGIN, ...form.headers },
      payload: form.payload,
    })
  }
  /** The page says how far it is, until it is done. */
  async function outcome({ server }: Empty, at: string): Promise<string> {
    for (let look = 0; look < 200; look += 1) {
      const { body } = await server.inject({ url: at })
      if (!body.includes('hx-trigger')) return body
      await new Promise((resolve) => setTimeout(resolve, 20))
    }
    throw new Error('It does not come to an end.')
  }
  const OWNER = { email: EMAIL, password: PASSWORD }

  it('takes one up by its page; its owner signs in, and all of it verifies', async () => {
    const empty = await anEmptyServer()
    expect((await empty.server.inject({ url: '/sign-up' })).body).toContain('href="/import-company"')
    const sent = await send(empty, OWNER)
    expect(sent.statusCode, sent.body).toBe(303)
    const body = await outcome(empty, String(sent.headers.location))
    expect(body).toContain('North Ridge Air is taken up')
    expect((await signIn(empty.server, EMAIL)).statusCode).toBe(201)
    const faults: unknown[] = []
    const sum = await verifyRecord(empty.deps.machinery.store, {
      keys: empty.deps.machinery.signer.publicKeys,
      files: empty.deps.machinery.files,
      onFault: (fault) => faults.push(fault),
    })
    expect(faults).toEqual([])
    expect(sum).toMatchObject({ companies: 1, certificates: 1 })
    // What arrived is gone, and no second one comes.
    expect(readdirSync(join(empty.deps.config.files, 'archives'))).toEqual([])
    expect((await empty.server.inject({ url: '/import-company' })).body).toContain(
      'There is a company on this server',
    )
    expect((await send(empty, OWNER)).statusCode).toBe(409)
    expect((await empty.server.inject({ url: '/sign-up' })).body).not.toContain('/import-company')
    await empty.close()
  })

  it.each([
    ['somebody who is no owner', { email: 'tess@elsewhere.example', password: PASSWORD }, 'no active owner'],
  ])('takes nothing up for %s', async (_name, fields, words) => {
    const empty = await anEmptyServer()
    const sent = await send(empty, fields)
    expect(await outcome(empty, String(sent.headers.location))).toContain(words)
    expect(await empty.deps.machinery.store.query('select id from people')).toEqual([])
    await empty.close()
  })

  it('takes up nothing that is broken, and says so', async () => {
    const empty = await anEmptyServer()
    for (const [bytes, words] of [
      [archive.subarray(0, archive.length - 2000), 'breaks off'],
      [Buffer.from('maker;model'), 'breaks off'],
    ] as const) {
      const sent = await send(empty, OWNER, bytes)
      expect(await outcome(empty, String(sent.headers.location))).toContain(words)
    }
    expect(await empty.deps.machinery.store.query('select id from companies')).toEqual([])
    // And after that it still takes up a whole one.
    const sent = await send(empty, OWNER)
    expect(await outcome(empty, String(sent.headers.location))).toContain('is taken up')
    await empty.close()
  })

  it.each([
    ['no password', { email: EMAIL }, 400],
    ['a short one', { email: EMAIL, password: 'short' }, 400],
    ['no address', { password: PASSWORD }, 400],
  ])('asks again with %s, and never shows the password', async (_name, fields, status) => {
    const empty = await anEmptyServer()
    const answer = await send(empty, fields as Record<string, string>)
    expect(answer.statusCode).toBe(status)
    expect(answer.body).not.toContain(PASSWORD)
    expect(answer.body).toContain('aria-invalid="true"')
    expect(readdirSync(join(empty.deps.config.files, 'archives'))).toEqual([])
    await empty.close()
  })

  it('asks for the file, takes no other form, and none from another site', async () => {
    const empty = await anEmptyServer()
    expect((await send(empty, OWNER, Buffer.alloc(0))).body).toContain('Choose the archive')
    const plain = await empty.server.inject({
      method: 'POST',
      url: '/import-company',
      headers: { origin: ORIGIN, 'content-type': 'application/x-www-form-urlencoded' },
      payload: 'email=a@b.example',
    })
    expect(plain.statusCode).toBe(400)
    const form = aForm(OWNER, { name: 'archive', bytes: archive })
    const foreign = await empty.server.inject({
      method: 'POST',
      url: '/import-company',
      headers: { origin: 'https://elsewhere.example', ...form.headers },
      payload: form.payload,
    })
    expect(foreign.statusCode).toBe(403)
    await empty.close()
  })

  it('takes none up where sign-up is closed', async () => {
    const empty = await anEmptyServer('closed')
    expect((await send(empty, OWNER)).statusCode).toBe(403)
    expect((await empty.server.inject({ url: '/import-company' })).body).not.toContain(
      '<form method="post" action="/import-company"',
    )
    await empty.close()
  })

  it('that has one already takes no second', async () => {
    const server = await cast.server()
    await resetPassword(cast.machinery, { email: EMAIL, password: PASSWORD })
    const form = aForm(OWNER, { name: 'archive', bytes: archive })
    const sent = await server.inject({
      method: 'POST',
      url: '/import-company',
      headers: { origin: ORIGIN, ...form.headers },
      payload: form.payload,
    })
    expect(sent.statusCode).toBe(409)
  })
})
