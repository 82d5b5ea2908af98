// Does the register show, filter, page and count what was not met, on both faces, to those who may see it?

import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import { answerRequest } from '../../server/commands/release/answer-request.ts'
import { submitJob } from '../../server/commands/release/submit-job.ts'
import { aCast, type Cast, DAY, MINUTE } from '../support/cast.ts'
import { twoFaces } from '../support/two-faces.ts'
import { aFreshJob, aWholeJob, makeJoint, type Whole, type Work } from '../support/worked.ts'

let cast: Cast
let faces: Awaited<ReturnType<typeof twoFaces>>
let conceded: Whole
let tight: Work
let empty: string
beforeAll(async () => {
  cast = await aCast()
  faces = await twoFaces(cast)
  empty = (await faces.look(cast.sam, '/nonconformities')).body
  conceded = await aWholeJob(cast, 'conceded', { holdMinutes: 30 })
  await cast.run(cast.tess, submitJob, {
    jobId: conceded.jobId,
    requests: [
      {
        requirement: 'standing-pressure-held',
        subjectId: conceded.zone.lineSetId,
        reason: 'The gas was needed.',
      },
    ],
  })
  const [request] = (await faces.get(cast.sam, '/concession-requests')).json().items
  cast.clock.pass(MINUTE)
  await cast.run(cast.sam, answerRequest, {
    requestId: request.id,
    decision: 'granted',
    reason: 'Bubbles on every joint.',
  })
  cast.clock.pass(2 * DAY)
  tight = await aFreshJob(cast, 'tight')
  for (const place of ['outdoorLiquid', 'indoorLiquid'] as const) {
    cast.clock.pass(MINUTE)
    await makeJoint(cast, tight, place, {
      torque: {
        indication: 'read',
        reading: { value: 30, unit: 'N.m' },
        instrumentId: tight.zone.instruments.torqueWrench,
      },
      leakCheck: null,
    })
  }
})
afterAll(() => cast.remove())

interface Row {
  id: string
  jobId: string
  requirement: string
  state: string
  subject: { id: string; name: string }
}
const list = async (query = '') => {
  const answer = await faces.get(cast.sam, `/nonconformities${query}`)
  expect(answer.statusCode, answer.body).toBe(200)
  return answer.json() as { total: number; open: number; items: Row[]; nextCursor: string | null }
}

describe('the register', () => {
  it('says so while it is empty', () => {
    expect(empty).toContain('No nonconformity is on record')
  })

  it('has the newest first, each with how it stands, and counts them all', async () => {
    const { total, open, items } = await list()
    expect({ total, open }).toEqual({ total: 3, open: 2 })
    expect(items.map(({ requirement, state }) => [requirement, state])).toEqual([
      ['joint-torque-in-range', 'open'],
      ['joint-torque-in-range', 'open'],
      ['standing-pressure-held', 'conceded'],
    ])
    expect(items[0]?.subject.name).toContain('indoor end')
  })

  it.each([
    ['?state=open', 2],
    ['?state=closed', 1],
    ['?state=conceded', 1],
    ['?state=remade', 0],
    ['?requirement=standing-pressure-held', 1],
    ['?q=NOSUCH', 0],
    ['?q=%25', 3],
    ['?from=2026-03-06', 2],
    ['?to=2026-03-05', 1],
    ['?from=2026-03-04&to=2026-03-06', 3],
    ['?state=&requirement=&by=&q=&from=&to=', 3],
  ])('finds by %s: %d', async (query, found) => {
    const { total, items } = await list(query)
    expect([total, items.length]).toEqual([found, found])
    const page = await faces.look(cast.sam, `/nonconformities${query}`)
    expect(page.statusCode).toBe(200)
    expect(page.body.match(/href="\/nonconformities\/[0-9a-f-]{36}"/g)?.length ?? 0).toBe(found)
  })

  it('finds by job and by who recorded it', async () => {
    expect((await list(`?job=${tight.jobId}`)).total).toBe(2)
    expect((await list(`?by=${cast.tess.memberId}`)).total).toBe(3)
    expect((await list(`?by=${cast.sam.memberId}`)).total).toBe(0)
  })

  it.each([
    '?state=gone',
    '?requirement=none',
    '?from=yesterday',
    '?to=2026-02-31x',
    '?limit=0',
    '?cursor=abc',
  ])('refuses %s', async (query) => {
    expect((await faces.get(cast.sam, `/nonconformities${query}`)).statusCode).toBe(400)
  })

  it('is read page by page, each once, with the same count', async () => {
    const seen: string[] = []
    for (let query = '?limit=1'; query !== ''; ) {
      const { total, items, nextCursor } = await list(query)
      expect(total).toBe(3)
      seen.push(...items.map(({ id }) => id))
      query = nextCursor === null ? '' : `?limit=1&cursor=${nextCursor}`
    }
    expect(seen).toEqual((await list()).items.map(({ id }) => id))
    const page = await faces.look(cast.sam, '/nonconformities?limit=1&state=open')
    expect(page.body).toMatch(/href="\/nonconformities\?state=open&amp;cursor=/)
  })

  it('tells one with its numbers, its entry and what became of it', async () => {
    const closed = (await list('?state=closed')).items[0]
    const one = (await faces.get(cast.sam, `/nonconformities/${closed?.id}`)).json()
    expect(one).toMatchObject({
      state: 'conceded',
      policyVersion: 1,
      disposal: { disposition: 'conceded', disposedBy: cast.sam.memberId, policyVersion: 1 },
      concession: { reason: 'Bubbles on every joint.', conditions: null, decidedBy: cast.sam.memberId },
    })
    const page = (await faces.look(cast.sam, `/nonconformities/${closed?.id}`)).body
    for (const words of ['Bubbles on every joint.', 'Concession granted, entry', 'version 1 of the criteria'])
      expect(page).toContain(words)
    const torque = (await list('?state=open')).items[0]
    const open = (await faces.look(cast.sam, `/nonconformities/${torque?.id}`)).body
    expect(open).toContain('It is open.')
    expect(open).toContain('Torque recorded, entry')
    expect(open).toContain('14–18')
  })

  it('is for managers and owners, and no other company finds anything', async () => {
    const { id } = (await list()).items[0] ?? { id: '' }
    for (const path of ['/nonconformities', '/nonconformities/trend', `/nonconformities/${id}`]) {
      expect((await faces.get(cast.olga, path)).statusCode).toBe(200)
      for (const one of [cast.tess, cast.wren])
        expect((await faces.get(one, path)).statusCode, path).toBe(403)
      expect((await faces.server.inject({ url: `/api/v1${path}` })).statusCode).toBe(401)
    }
    expect((await faces.look(cast.tess, '/jobs')).body).not.toContain('href="/nonconformities"')
  })

  it('is a table too', async () => {
    const csv = (await faces.look(cast.sam, '/exports/nonconformities.csv')).body.trim().split('\r\n')
    expect(csv).toHaveLength(4)
    expect(csv[0]).toContain('nonconformity_id,job_id')
    expect(csv[3]).toContain('Bubbles on every joint.')
  })
})

describe('the register by month', () => {
  it('counts jobs that were handed in, and on how many something was not met', async () => {
    await aWholeJob(cast, 'clean').then(({ jobId }) => cast.run(cast.tess, submitJob, { jobId }))
    const trend = (await faces.get(cast.sam, '/nonconformities/trend?months=2')).json()
    // The job that is still open was not handed in: it counts once it is.
    expect(trend.months.map(({ month, jobs, withIt }: never) => [month, jobs, withIt])).toEqual([
      ['2026-02', 0, 0],
      ['2026-03', 2, 1],
    ])
    expect(trend.months[0].per100).toBeNull()
    // One of two, exactly: 1 − √0.975 and √0.975, by hand.
    expect(trend.months[1].per100.low).toBeCloseTo(100 * (1 - Math.sqrt(0.975)), 6)
    expect(trend.months[1].per100.high).toBeCloseTo(100 * Math.sqrt(0.975), 6)
    expect(trend.requirements).toMatchObject([{ requirement: 'standing-pressure-held', jobs: 2, withIt: 1 }])
    const other = (
      await faces.get(cast.sam, '/nonconformities/trend?requirement=vacuum-held&months=1')
    ).json()
    expect(other.months[0]).toMatchObject({ jobs: 2, withIt: 0, per100: { share: 0, low: 0 } })
    const page = (await faces.look(cast.sam, '/nonconformities/trend')).body
    expect(page).toContain('2026-03: 50.0 of 100')
    for (const query of ['?months=0', '?months=61', '?requirement=none'])
      expect((await faces.get(cast.sam, `/nonconformities/trend${query}`)).statusCode, query).toBe(400)
  })
})
