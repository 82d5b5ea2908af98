// Is a job opened, changed and seen as it stands, with its scope said out loud?

import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import { newId } from '../../server/ids.ts'
import { aCast, type Cast, type Player } from '../support/cast.ts'
import { twoFaces } from '../support/two-faces.ts'
import { Visitor } from '../support/visitor.ts'
import { aFreshJob, aWholeJob, makeJoint, type Work } from '../support/worked.ts'

let cast: Cast
let faces: Awaited<ReturnType<typeof twoFaces>>
let work: Work
let siteId: string
beforeAll(async () => {
  cast = await aCast()
  faces = await twoFaces(cast)
  work = await aFreshJob(cast, 'jobs')
  siteId = (await faces.get(cast.tess, `/jobs/${work.jobId}`)).json().siteId
})
afterAll(() => cast.remove())

const visitorOf = (player: Player) => {
  const visitor = new Visitor(faces.server)
  visitor.carry(player.cookie)
  return visitor
}
const read = async (jobId: string) => (await faces.get(cast.tess, `/jobs/${jobId}`)).json()

describe('a job', () => {
  it('is opened with its systems, for a person of the crew, on a day, and changed later', async () => {
    const id = newId()
    const opened = await faces.post(cast.tess, '/jobs', {
      id,
      siteId,
      kind: 'maintenance',
      reference: 'WO-12',
      systemIds: [work.zone.systemId, work.zone.systemId],
      assignedTo: cast.tess.memberId,
      scheduledFor: '2026-03-09T08:00:00+01:00',
    })
    expect(opened.statusCode, opened.body).toBe(201)
    expect(opened.json()).toMatchObject({
      id,
      stage: 'open',
      reference: 'WO-12',
      systemIds: [work.zone.systemId],
      assignedTo: cast.tess.crewId,
      scheduledFor: '2026-03-09T07:00:00.000Z',
      circuitOpened: false,
    })
    const change = await faces.server.inject({
      method: 'PATCH',
      url: `/api/v1/jobs/${id}`,
      headers: { authorization: `Bearer ${cast.sam.token}` },
      payload: { assignedTo: null, reference: 'WO-13' },
    })
    expect(change.json()).toMatchObject({
      assignedTo: null,
      reference: 'WO-13',
      scheduledFor: '2026-03-09T07:00:00.000Z',
    })
  })

  it('takes no site, system or person that is not its company’s, nor a system of another site', async () => {
    const elsewhere = await aFreshJob(cast, 'elsewhere')
    const refused = async (body: object) => {
      const before = await faces.entries()
      const answer = await faces.post(cast.tess, '/jobs', { siteId, kind: 'repair', ...body })
      expect(answer.statusCode).toBe(404)
      expect(await faces.entries()).toBe(before)
      return answer.json().errors[0].path
    }
    expect(await refused({ siteId: newId() })).toBe('siteId')
    expect(await refused({ systemIds: [work.zone.systemId, elsewhere.zone.systemId] })).toBe('systemIds')
    expect(await refused({ assignedTo: cast.zoe.crewId })).toBe('assignedTo')
    expect(await refused({ callbackId: newId() })).toBe('callbackId')
  })

  it('says that the circuit was opened as soon as one making is begun', async () => {
    const fresh = await aFreshJob(cast, 'opened')
    const visit = (
      await faces.post(cast.tess, '/jobs', {
        siteId: (await read(fresh.jobId)).siteId,
        kind: 'repair',
        systemIds: [fresh.zone.systemId],
      })
    ).json()
    expect((await read(visit.id)).circuitOpened).toBe(false)
    await faces.post(cast.tess, `/joints/${fresh.zone.joints.indoorGas}/makes`, { jobId: visit.id })
    expect((await read(visit.id)).circuitOpened).toBe(true)
  })

  it('is listed by its stage, and counted there', async () => {
    const whole = await aWholeJob(cast, 'listed')
    await faces.post(cast.tess, `/jobs/${whole.jobId}/submit`, {})
    const ids = async (stage: string) =>
      (await faces.get(cast.wren, `/jobs?stage=${stage}&limit=200`))
        .json()
        .items.map((job: { id: string }) => job.id)
    expect(await ids('submitted')).toEqual([whole.jobId])
    expect(await ids('open')).not.toContain(whole.jobId)
    await faces.post(cast.sam, `/jobs/${whole.jobId}/sign-off`, {})
    expect(await ids('sealed')).toEqual([whole.jobId])
    expect((await faces.get(cast.wren, '/jobs?stage=lost')).statusCode).toBe(400)
    expect((await faces.get(cast.zoe, '/jobs')).json().items).toEqual([])
    const changed = await faces.send(cast.sam, `/jobs/${whole.jobId}/change`, { reference: 'late' })
    expect(changed.statusCode).toBe(409)
  })

  it('shows on its page the pipes, what holds it, and each joint within a tap', async () => {
    const page = await visitorOf(cast.tess).go(`/jobs/${work.jobId}`)
    expect(page.status).toBe(200)
    const links = page.page.querySelectorAll('a').map((one) => one.getAttribute('href') ?? '')
    for (const jointId of Object.values(work.zone.joints))
      expect(links).toContain(`/joints/${jointId}?job=${work.jobId}`)
    expect(page.text).toContain('What holds this job')
    expect((await faces.look(cast.zoe, `/jobs/${work.jobId}`)).statusCode).toBe(404)
  })
})

describe('a joint left out of a job', () => {
  it('is judged not applicable, with the reason that was given', async () => {
    const fresh = await aFreshJob(cast, 'left-out')
    const jointId = fresh.zone.joints.indoorGas
    const path = `/jobs/${fresh.jobId}/left-out`
    expect((await faces.post(cast.tess, path, { jointId })).json().errors[0].path).toBe('reason')
    const left = await faces.post(cast.tess, path, { jointId, reason: 'The indoor unit comes next week' })
    expect(left.statusCode, left.body).toBe(201)
    const points = (await faces.get(cast.tess, `/jobs/${fresh.jobId}/hold-points`)).json() as {
      requirement: string
      outcome: string
      reason: string
      subject: { id: string }
    }[]
    const mine = points.filter(({ subject }) => subject.id === jointId)
    expect(mine.map(({ requirement }) => requirement)).toContain('joint-torque-in-range')
    for (const { requirement, outcome, reason } of mine) {
      // Leaving it out with a reason is what that one asks for.
      expect(outcome, requirement).toBe(requirement === 'every-joint-made' ? 'met' : 'not-applicable')
      expect(reason).toContain('The indoor unit comes next week')
    }
  })

  it('is none that was made on it, nor one of another system, nor on a job that is sealed', async () => {
    const fresh = await aFreshJob(cast, 'not-left')
    await makeJoint(cast, fresh, 'outdoorGas')
    const leave = async (jobId: string, jointId: string) => {
      const answer = await faces.post(cast.tess, `/jobs/${jobId}/left-out`, { jointId, reason: 'no' })
      return [answer.statusCode, answer.json().code]
    }
    expect(await leave(fresh.jobId, fresh.zone.joints.outdoorGas)).toEqual([409, 'joint-made-here'])
    expect(await leave(fresh.jobId, work.zone.joints.outdoorGas)).toEqual([409, 'not-on-this-job'])
    expect((await leave(fresh.jobId, newId()))[0]).toBe(404)
    await cast.store.store.execute(`update jobs set stage = 'sealed' where id = '${fresh.jobId}'`)
    expect(await leave(fresh.jobId, fresh.zone.joints.indoorGas)).toEqual([409, 'job-sealed'])
  })
})
