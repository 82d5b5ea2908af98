// Does a member leave without a job left behind, in one step or not at all?

import type { FastifyInstance } from 'fastify'
import { afterEach, beforeEach, describe, expect, it } from 'vitest'
import { changeJob } from '../../server/commands/jobs/change-job.ts'
import { invitePerson } from '../../server/commands/people/invite-person.ts'
import { newId } from '../../server/ids.ts'
import { aCast, asBrowser, asProgram, type Cast, type Player } from '../support/cast.ts'
import { cookieOf, postForm, register, withCookie } from '../support/entrance.ts'
import { aJobAtASite } from '../support/setups.ts'
import { STORE_KINDS } from '../support/stores.ts'

describe.each(STORE_KINDS)('leaving, on %s', (kind) => {
  let cast: Cast
  let server: FastifyInstance
  let jobs: string[]
  beforeEach(async () => {
    cast = await aCast(kind)
    server = await cast.server()
    jobs = []
    for (let count = 0; count < 2; count += 1) {
      const { jobId } = await aJobAtASite(cast, { by: cast.tess })
      await cast.run(cast.sam, changeJob, { jobId, assignedTo: cast.tess.crewId })
      jobs.push(jobId)
    }
  })
  afterEach(() => cast.remove())

  const leave = (
    payload: object,
    headers: Record<string, string> = asProgram(cast.olga),
    member: Player = cast.tess,
  ) => server.inject({ method: 'POST', url: `/api/v1/members/${member.memberId}/leave`, headers, payload })
  const assigned = async () =>
    Promise.all(
      jobs.map(async (jobId) => {
        const url = `/api/v1/jobs/${jobId}`
        return (await server.inject({ url, headers: asProgram(cast.olga) })).json().assignedTo
      }),
    )
  const statusOf = async (headers: Record<string, string>) =>
    (await server.inject({ url: '/api/v1/me', headers })).statusCode

  it('needs an answer for each open job, and names those without one', async () => {
    const answer = await leave({ jobs: { [jobs[0] ?? '']: cast.sam.crewId } })
    expect(answer.json()).toMatchObject({
      status: 409,
      code: 'open-work',
      errors: [{ path: `jobs.${jobs[1]}` }],
    })
    // Nothing of it was done: neither the job that had an answer, nor the leaving.
    expect(await assigned()).toEqual([cast.tess.crewId, cast.tess.crewId])
    expect(await statusOf(asBrowser(cast.tess))).toBe(200)
  })

  it('hands all to one and a single one to another, ends what was open, and says so in the chain', async () => {
    const invited = await cast.run(cast.olga, invitePerson, { email: 'x@y.example', role: 'owner' })
    const answer = await leave({
      to: cast.sam.memberId,
      jobs: { [jobs[1] ?? '']: cast.wren.crewId },
      note: 'The nitrogen is in the van.',
    })
    expect(answer.json()).toMatchObject({ active: false })
    expect(answer.json().handedOver).toHaveLength(2)
    expect(await assigned()).toEqual([cast.sam.crewId, cast.wren.crewId])
    for (const headers of [asBrowser(cast.tess), asProgram(cast.tess)])
      expect(await statusOf(headers)).toBe(401)
    const [crew] = await cast.store.store.query<{ active: number | boolean }>(
      `select active from crew where id = '${cast.tess.crewId}'`,
    )
    expect(Boolean(crew?.active)).toBe(false)
    const kinds = await cast.store.store.query<{ kind: string }>(
      'select kind from entries order by at, number',
    )
    expect(kinds.filter((one) => one.kind === 'job-handed-over').length).toBeGreaterThanOrEqual(2)
    expect(kinds.some((one) => one.kind === 'member-changed')).toBe(true)
    // An invitation that somebody else made stands.
    const url = '/api/v1/invitations'
    const { items } = (await server.inject({ url, headers: asProgram(cast.olga) })).json()
    expect(items[0]).toMatchObject({ id: invited.invitation.id, state: 'waiting' })
    // Once more: there is nothing left to hand over, and they stay out.
    expect((await leave({})).json()).toMatchObject({ active: false, handedOver: [] })
  })

  it('lets an owner bring nobody back by a link of their own', async () => {
    await server.inject({
      method: 'PATCH',
      url: `/api/v1/members/${cast.sam.memberId}`,
      headers: asProgram(cast.olga),
      payload: { role: 'owner' },
    })
    await cast.run({ ...cast.sam, role: 'owner' }, invitePerson, { email: 'x@y.example', role: 'owner' })
    expect((await leave({}, asProgram(cast.olga), cast.sam)).statusCode).toBe(200)
    const { items } = (
      await server.inject({ url: '/api/v1/invitations', headers: asProgram(cast.olga) })
    ).json()
    expect(items[0].state).toBe('ended')
  })

  it('keeps the jobs of who still works here without an account', async () => {
    expect((await leave({ keepsWorking: true })).statusCode).toBe(200)
    expect(await assigned()).toEqual([cast.tess.crewId, cast.tess.crewId])
    expect(await statusOf(asBrowser(cast.tess))).toBe(401)
  })

  it.each([
    ['to themselves', () => ({ to: cast.tess.crewId }), 400, 'to'],
    ['to nobody of this company', () => ({ to: cast.zoe.crewId }), 404, 'to'],
    [
      'a job that is not theirs',
      () => ({ to: cast.sam.crewId, jobs: { [newId()]: cast.sam.crewId } }),
      404,
      'jobs.',
    ],
    ['to what is no id', () => ({ to: 'Sam' }), 400, 'to'],
    ['with a field that is not known', () => ({ to: cast.sam.crewId, reason: 'x' }), 400, 'reason'],
  ])('hands nothing over %s', async (_what, payload, status, path) => {
    const answer = await leave(payload())
    expect(answer.statusCode).toBe(status)
    expect(answer.json().errors[0].path).toContain(path)
    expect(await assigned()).toEqual([cast.tess.crewId, cast.tess.crewId])
    expect(await statusOf(asBrowser(cast.tess))).toBe(200)
  })

  it('looks at who is named even when there is nothing to hand over', async () => {
    const answer = await leave({ to: cast.zoe.crewId }, asProgram(cast.olga), cast.wren)
    expect(answer.json()).toMatchObject({ status: 404, errors: [{ path: 'to' }] })
    expect(await statusOf(asBrowser(cast.wren))).toBe(200)
  })

  it('is for owners of the same company alone, and not of the last one', async () => {
    const stranger = withCookie(cookieOf(await register(server)))
    for (const path of ['leave', 'sign-out']) {
      const url = `/api/v1/members/${cast.tess.memberId}/${path}`
      const by = (headers: Record<string, string>) =>
        server.inject({ method: 'POST', url, headers, payload: {} })
      expect((await by(stranger)).statusCode).toBe(404)
      expect((await by({})).statusCode).toBe(401)
      for (const player of [cast.tess, cast.sam, cast.wren])
        expect((await by(asProgram(player))).statusCode).toBe(403)
    }
    expect((await leave({}, asProgram(cast.olga), cast.olga)).json().code).toBe('last-owner')
  })

  it('is not gone around: shutting out refuses while there is open work', async () => {
    const answer = await server.inject({
      method: 'PATCH',
      url: `/api/v1/members/${cast.tess.memberId}`,
      headers: asProgram(cast.olga),
      payload: { active: false },
    })
    expect(answer.json()).toMatchObject({ status: 409, code: 'open-work', errors: [{ path: 'active' }] })
  })

  it('is a form, which comes back filled in', async () => {
    const cookie = { cookie: cast.olga.cookie }
    const url = `/members/${cast.tess.memberId}/leave`
    const refused = await postForm(server, url, { to: '', [`jobs.${jobs[0]}`]: cast.sam.crewId }, cookie)
    expect(refused.statusCode).toBe(409)
    expect(refused.body).toContain('Choose who gets this job.')
    const done = await postForm(server, url, { to: cast.sam.crewId }, cookie)
    expect(done.headers.location).toBe('/members')
    expect(await assigned()).toEqual([cast.sam.crewId, cast.sam.crewId])
  })

  it('signs a member out here without shutting them out', async () => {
    const url = `/members/${cast.tess.memberId}/sign-out`
    await postForm(server, url, {}, { cookie: cast.olga.cookie })
    expect(await statusOf(asBrowser(cast.tess))).toBe(401)
    expect(await statusOf(asProgram(cast.tess))).toBe(200)
  })
})
