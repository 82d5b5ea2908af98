// Is it said, before criteria are set, what they would have changed for the jobs of late?

import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import { criteriaJson } from '../../server/commands/people/criteria.ts'
import { signOffJob } from '../../server/commands/release/sign-off-job.ts'
import { submitJob } from '../../server/commands/release/submit-job.ts'
import { findPolicy } from '../../server/store/queries/policy.ts'
import { scopeOf } from '../../server/store/store.ts'
import { aCast, type Cast, DAY } from '../support/cast.ts'
import { STORE_KINDS } from '../support/stores.ts'
import { twoFaces } from '../support/two-faces.ts'
import { Visitor } from '../support/visitor.ts'
import { aWholeJob } from '../support/worked.ts'

describe.each(STORE_KINDS)('criteria that are only tried, on %s', (kind) => {
  let cast: Cast
  let faces: Awaited<ReturnType<typeof twoFaces>>
  let jobId: string
  beforeAll(async () => {
    cast = await aCast(kind)
    faces = await twoFaces(cast)
    const whole = await aWholeJob(cast, `tried-${kind}`)
    jobId = whole.jobId
    await cast.run(cast.tess, submitJob, { jobId })
    await cast.run(cast.sam, signOffJob, { jobId })
    cast.clock.pass(2 * DAY)
  })
  afterAll(() => cast.remove())

  const inForce = async () =>
    criteriaJson((await findPolicy(scopeOf(cast.store.store.reader(), cast.sam.companyId))).criteria)
  /** A standing test has to hold for two days: the one that was made held for an hour or so. */
  const stricter = async () => {
    const criteria = await inForce()
    return { ...criteria, pressure: { ...criteria.pressure, hold: { value: 48, unit: 'h' } } }
  }
  const tried = async (body: object) => {
    const answer = await faces.post(cast.sam, '/policy/preview', body)
    expect(answer.statusCode, answer.body).toBe(200)
    return answer.json()
  }

  it('change nothing where they are those in force', async () => {
    expect(await tried({ criteria: await inForce() })).toMatchObject({
      total: 1,
      judged: 1,
      next: null,
      counts: { changed: 0, newlyHeld: 0, newlyReleased: 0 },
      requirements: [],
      jobs: [],
    })
  })

  it('say which job would have been held, at what and why, and write nothing', async () => {
    const before = await faces.entries()
    const preview = await tried({ criteria: await stricter() })
    expect(preview.counts).toEqual({ changed: 1, newlyHeld: 1, newlyReleased: 0 })
    expect(preview.requirements).toEqual([
      {
        requirement: 'standing-pressure-held',
        title: expect.any(String),
        held: 1,
        released: 0,
        other: 0,
      },
    ])
    const [job] = preview.jobs
    expect(job).toMatchObject({ jobId, heldBefore: false, heldAfter: true })
    expect(job.changes).toEqual([
      expect.objectContaining({
        requirement: 'standing-pressure-held',
        before: 'met',
        turns: 'held',
        reasonAfter: expect.stringMatching(/48|2880/),
      }),
    ])
    expect(await faces.entries()).toBe(before)
    expect((await inForce()).pressure.hold).toEqual({ value: 3600, unit: 's' })
  })

  it('look at as many days as are asked for, and go on where they left off', async () => {
    expect(await tried({ criteria: await stricter(), days: 1 })).toMatchObject({ total: 0, jobs: [] })
    expect(await tried({ criteria: await stricter(), from: 1 })).toMatchObject({
      total: 1,
      judged: 0,
      next: null,
    })
  })

  it('are tried on the page from the form as it is filled in, and can be set from there', async () => {
    const sam = new Visitor(await cast.server())
    sam.carry(cast.sam.cookie)
    const answered = await sam.press(await sam.go('/policy/edit'), '/policy', '/policy/preview', {
      'criteria.pressure.hold.value': 48 * 60,
      reason: 'Longer, since winter.',
    })
    expect(answered.status).toBe(200)
    expect(answered.text).toContain('1 job more would have been held')
    const set = await sam.send(answered, '/policy')
    expect(set.url).toBe('/policy')
    expect(set.text).toContain('Longer, since winter.')
    expect((await inForce()).pressure.hold).toEqual({ value: 48 * 3600, unit: 's' })
  })

  it('are for those who may set them, whole and of this company', async () => {
    expect((await faces.post(cast.tess, '/policy/preview', { criteria: await inForce() })).statusCode).toBe(
      403,
    )
    expect((await faces.post(null, '/policy/preview', { criteria: await inForce() })).statusCode).toBe(401)
    const wrong = await faces.post(cast.sam, '/policy/preview', {
      criteria: { ...(await inForce()), pressure: {} },
      days: 0,
    })
    expect(wrong.statusCode).toBe(400)
    expect(wrong.json().errors.map(({ path }: { path: string }) => path)).toEqual(
      expect.arrayContaining(['criteria.pressure.hold', 'days']),
    )
  })
})
