// Is everything that was answered still there after the process was killed in the middle of its writes?

import Database from 'better-sqlite3'
import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import { newId } from '../../server/ids.ts'
import { verifyChain } from '../../server/store/record.ts'
import { openSqlite } from '../../server/store/sqlite.ts'
import { scopeOf } from '../../server/store/store.ts'
import { aHome, type Home, type Service, startService } from './built-server.ts'

const CONNECTIONS = 24

let home: Home
let service: Service
let cookie: string
let companyId: string
let siteId: string
const answered = { sites: new Set<string>(), jobs: new Set<string>(), systems: new Set<string>() }
/** What was sent and may or may not have been written: either is right, as long as it is whole. */
const sent = new Set<string>()

beforeAll(async () => {
  home = aHome('kill')
  service = await startService(home)
  const signedUp = await fetch(`${service.address}/api/v1/companies`, {
    method: 'POST',
    headers: { 'content-type': 'application/json' },
    body: JSON.stringify({
      name: 'Saltmarsh Heat & Cool',
      ownerName: 'Ottilie Marsh',
      email: 'ottilie@saltmarsh.example',
      password: 'a long enough password',
    }),
  })
  expect(signedUp.status).toBe(201)
  cookie = (signedUp.headers.get('set-cookie') ?? '').split(';')[0] ?? ''
  companyId = ((await signedUp.json()) as { id: string }).id
  siteId = newId()
  expect(await post('/sites', { id: siteId, customerName: 'Ida Fenwick', address: '14 Lantern Row' })).toBe(
    201,
  )
}, 60_000)
afterAll(async () => {
  await service?.kill()
  home?.remove()
})

async function post(path: string, body: { id: string } & Record<string, unknown>): Promise<number | null> {
  sent.add(body.id)
  try {
    const answer = await fetch(`${service.address}/api/v1${path}`, {
      method: 'POST',
      headers: { 'content-type': 'application/json', cookie, origin: service.address },
      body: JSON.stringify(body),
    })
    await answer.arrayBuffer()
    return answer.status
  } catch {
    // The connection broke: nobody was told that it was written.
    return null
  }
}

/** One connection's work: a site, a job at a known site, a system on it with its chain, over and over. */
async function writeUntilItBreaks(): Promise<number> {
  let writes = 0
  for (;;) {
    const site = newId()
    const job = newId()
    const system = newId()
    for (const [kind, id, path, body] of [
      ['sites', site, '/sites', { customerName: `Customer ${site}`, address: '3 Rush Lane, Brackwater' }],
      ['jobs', job, '/jobs', { siteId, kind: 'installation', reference: job.slice(0, 30) }],
      [
        'systems',
        system,
        `/jobs/${job}/systems`,
        { name: 'Living room', refrigerant: 'R-32', outdoorModel: 'LS-35', outdoorSerial: system },
      ],
    ] as const) {
      const status = await post(path, { id, ...body })
      if (status === null) return writes
      // Too busy is an honest answer; anything else that is not a success is a failure of this test.
      if (status === 503) continue
      expect(status, path).toBe(201)
      answered[kind].add(id)
      writes += 1
    }
  }
}

describe('a service that is killed while many write', () => {
  it.each([1, 2, 3])(
    'has everything that was answered, whole and in order (round %i)',
    async (round) => {
      const workers = Array.from({ length: CONNECTIONS }, writeUntilItBreaks)
      await new Promise((resolve) => setTimeout(resolve, 600 + round * 150))
      await service.kill()
      const written = (await Promise.all(workers)).reduce((sum, one) => sum + one, 0)
      expect(written).toBeGreaterThan(CONNECTIONS)

      // As the next start finds it.
      service = await startService(home)
      const ready = await fetch(`${service.address}/health/ready`)
      expect(ready.status).toBe(200)

      const file = new Database(home.file, { readonly: true })
      expect(file.pragma('integrity_check', { simple: true })).toBe('ok')
      expect(file.pragma('foreign_key_check')).toEqual([])
      const idsIn = (table: string) =>
        new Set(
          file
            .prepare(`select id from ${table}`)
            .all()
            .map((row) => (row as { id: string }).id),
        )
      for (const [kind, ids] of Object.entries(answered)) {
        const there = idsIn(kind)
        expect(
          [...ids].filter((id) => !there.has(id)),
          `answered ${kind} that are gone`,
        ).toEqual([])
        expect(
          [...there].filter((id) => !sent.has(id)),
          `${kind} that nobody sent`,
        ).toEqual([])
      }
      // No half record: each thing has its entry, its chain, its event and its kept answer, or none of them is there.
      const one = (sql: string) => (file.prepare(sql).get() as { n: number }).n
      for (const [what, sql] of Object.entries({
        'sites without an entry': `select count(*) as n from sites s where not exists
        (select 1 from entries e where e.subject_id = s.id and e.kind = 'site-added')`,
        'jobs without an event': `select count(*) as n from jobs j where not exists
        (select 1 from job_events e where e.job_id = j.id and e.event = 'opened')`,
        'jobs without an entry': `select count(*) as n from jobs j where not exists
        (select 1 from entries e where e.subject_id = j.id and e.kind = 'job-opened')`,
        'systems without a chain': `select count(*) as n from systems s where not exists
        (select 1 from chains c where c.id = s.id and c.head_number > 0)`,
        'systems without a unit': `select count(*) as n from systems s where not exists
        (select 1 from units u where u.system_id = s.id)`,
        'systems on no job': `select count(*) as n from systems s where not exists
        (select 1 from job_systems j where j.system_id = s.id)`,
        'kept answers of nothing': `select count(*) as n from idempotency_keys k where
        not exists (select 1 from sites where 'id:' || id = k.key) and
        not exists (select 1 from jobs where 'id:' || id = k.key) and
        not exists (select 1 from systems where 'id:' || id = k.key)`,
        'things without their kept answer': `select count(*) as n from jobs j where not exists
        (select 1 from idempotency_keys k where k.key = 'id:' || j.id)`,
      }))
        expect([what, one(sql)]).toEqual([what, 0])
      const chains = [...idsIn('chains')]
      // One for each system, and the company's.
      expect(chains.length).toBe(idsIn('systems').size + 1)
      file.close()

      const store = openSqlite(home.file)
      const scope = scopeOf(store.reader(), companyId)
      for (const chainId of chains) expect(await verifyChain(scope, chainId)).toEqual([])
      await store.close()

      // Whoever was not told asks again under the same id, and it is there once.
      const again = [...answered.jobs][0] ?? ''
      expect(
        await post('/jobs', { id: again, siteId, kind: 'installation', reference: again.slice(0, 30) }),
      ).toBe(200)
    },
    120_000,
  )

  it('finishes what it accepted when it is asked to stop', async () => {
    const ids = Array.from({ length: 40 }, () => newId())
    const writes = ids.map((id) => post('/sites', { id, customerName: 'Bo Marsh', address: '1 Rush Lane' }))
    await new Promise((resolve) => setTimeout(resolve, 30))
    const code = await service.stop()
    const statuses = await Promise.all(writes)
    expect(code).toBe(0)
    const file = new Database(home.file, { readonly: true })
    for (const [index, id] of ids.entries()) {
      const row = file.prepare('select id from sites where id = ?').get(id)
      if (statuses[index] === 201) expect(row).toBeDefined()
      else expect(statuses[index]).toBeNull()
    }
    file.close()
    expect(statuses.filter((status) => status === 201).length).toBeGreaterThan(0)
  }, 60_000)
})
