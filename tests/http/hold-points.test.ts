// Does the release work on both faces: what holds a job, asking, conceding, signing, reopening?

import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import { aCast, asBrowser, type Cast, type Player } from '../support/cast.ts'
import { twoFaces } from '../support/two-faces.ts'
import { Visitor } from '../support/visitor.ts'
import { aFreshJob, aWholeJob, heldOn, makeJoint } from '../support/worked.ts'

let cast: Cast
let faces: Awaited<ReturnType<typeof twoFaces>>
beforeAll(async () => {
  cast = await aCast()
  faces = await twoFaces(cast)
})
afterAll(() => cast.remove())

const visitorOf = (player: Player) => {
  const visitor = new Visitor(faces.server)
  visitor.carry(player.cookie)
  return visitor
}
const requestName = (jointId: string) => `_request joint-torque-in-range ${jointId}`

interface Point {
  requirement: string
  title: string
  source: string
  subject: { kind: string; id: string; name: string }
  outcome: string
  reason: string
  nextAction: string | null
  concedable: boolean
}

describe('the hold points of a job', () => {
  it('say for each subject how it stands, by what, and what to do next', async () => {
    const work = await aFreshJob(cast, 'points')
    await makeJoint(cast, work, 'outdoorLiquid')
    const points = (await faces.get(cast.wren, `/jobs/${work.jobId}/hold-points`)).json() as Point[]
    const torques = points.filter(({ requirement }) => requirement === 'joint-torque-in-range')
    expect(torques).toHaveLength(4)
    expect(torques.find(({ subject }) => subject.id === work.zone.joints.outdoorLiquid)).toMatchObject({
      outcome: 'met',
      nextAction: null,
      subject: {
        kind: 'joint',
        name: expect.stringContaining(work.zone.tags[work.zone.joints.outdoorLiquid] ?? '-'),
      },
    })
    for (const point of points) {
      expect(point.title).not.toBe('')
      expect(point.source).not.toBe('')
      expect(point.reason).not.toBe('')
      if (point.outcome === 'open' || point.outcome === 'failed')
        expect(point.nextAction, point.title).toBeTruthy()
    }
    const held = points.filter(({ outcome }) => !['met', 'not-applicable', 'conceded'].includes(outcome))
    const refusal = await faces.post(cast.tess, `/jobs/${work.jobId}/submit`, {})
    expect(refusal.statusCode).toBe(422)
    expect(refusal.json().findings).toEqual(held)
    expect((await faces.get(cast.zoe, `/jobs/${work.jobId}/hold-points`)).statusCode).toBe(404)
  })

  it('offer no way to submit on the page while something can not be asked for', async () => {
    const work = await aFreshJob(cast, 'no-button')
    const page = await visitorOf(cast.tess).go(`/jobs/${work.jobId}`)
    expect(page.text).toContain('What holds this job')
    expect(page.page.querySelector('#submit-job button')).toBeNull()
    expect(page.page.querySelector('input[name^="_request"]')).toBeNull()
    // Sent all the same, by hand: nothing goes in.
    const before = await faces.entries()
    const sent = await faces.send(cast.tess, `/jobs/${work.jobId}/submit`, {
      [requestName(work.zone.joints.outdoorGas)]: 'It will do.',
    })
    expect(sent.statusCode).toBe(422)
    expect(sent.body).toContain('this can not be conceded')
    const granted = await faces.send(cast.sam, `/jobs/${work.jobId}/concessions`, {
      requirement: 'joint-torque-in-range',
      subjectId: work.zone.joints.outdoorGas,
      reason: 'It will do.',
    })
    expect(granted.statusCode).toBe(422)
    expect(await faces.entries()).toBe(before)
    const asSam = await visitorOf(cast.sam).go(`/jobs/${work.jobId}`)
    expect(asSam.text).not.toContain('Grant this concession')
  })
})

describe('a torque that nobody measured, with a witness and bubbles', () => {
  it('is asked for, sent back, asked for again, conceded, signed off and printed', async () => {
    const torque = {
      indication: 'not-measured',
      reason: 'No room for the wrench',
      witnessedBy: cast.wren.crewId,
    }
    const { jobId, zone } = await aWholeJob(cast, 'asked', { torque: { outdoorGas: torque } })
    const name = requestName(zone.joints.outdoorGas)
    const tess = visitorOf(cast.tess)
    const sam = visitorOf(cast.sam)

    const open = await tess.go(`/jobs/${jobId}`)
    expect(open.text).toContain('What is left can be conceded')
    const silent = await tess.send(open, `/jobs/${jobId}/submit`)
    expect(silent.status).toBe(422)
    expect((await faces.get(cast.tess, `/jobs/${jobId}`)).json().stage).toBe('open')
    const asked = await tess.send(open, `/jobs/${jobId}/submit`, { [name]: 'The wall is too near.' })
    expect(asked.status, asked.text).toBe(200)
    expect(asked.text).toContain('A concession is asked for: The wall is too near.')

    const audit = await sam.go(`/jobs/${jobId}`)
    expect(audit.page.querySelector(`form[action="/jobs/${jobId}/sign-off"] button`)).toBeNull()
    const without = await sam.send(audit, `/jobs/${jobId}/send-back`)
    expect(without.status).toBe(400)
    expect(without.page.querySelector('textarea[name="reason"][aria-invalid="true"]')).not.toBeNull()
    const back = await sam.send(audit, `/jobs/${jobId}/send-back`, { reason: 'Use the short wrench.' })
    expect(back.text).toContain('Use the short wrench.')
    expect((await faces.get(cast.tess, `/jobs/${jobId}`)).json().stage).toBe('open')

    await tess.send(`/jobs/${jobId}`, `/jobs/${jobId}/submit`, { [name]: 'Tried; it does not fit.' })
    const conceded = await sam.send(`/jobs/${jobId}`, `/jobs/${jobId}/concessions`, {
      reason: 'Seen by a second person, no bubbles.',
    })
    expect(conceded.status, conceded.text).toBe(200)
    expect(conceded.text).toContain('Released by concession: Seen by a second person, no bubbles.')
    const signed = await sam.send(conceded, `/jobs/${jobId}/sign-off`)
    expect(signed.url).toMatch(/^\/certificates\//)
    expect(signed.text).toContain('Seen by a second person, no bubbles.')
    const again = await faces.post(cast.sam, `/jobs/${jobId}/sign-off`, {})
    expect(again.json().code).toBe('job-sealed')
  })
})

describe('a certificate', () => {
  it('is superseded by reopening, says so to anybody, and is followed by revision 2', async () => {
    const { jobId } = await aWholeJob(cast, 'twice')
    await faces.post(cast.tess, `/jobs/${jobId}/submit`, {})
    const first = (await faces.post(cast.sam, `/jobs/${jobId}/sign-off`, {})).json().certificate
    const asked = async (code: string) => (await faces.server.inject({ url: `/verify/${code}` })).body
    expect(await asked(first.code)).toMatch(/genuine/i)
    expect(await asked(first.code)).not.toMatch(/superseded/i)

    expect((await faces.post(cast.sam, `/jobs/${jobId}/reopen`, {})).json().errors[0].path).toBe('reason')
    const reopened = await visitorOf(cast.sam).send(`/jobs/${jobId}`, `/jobs/${jobId}/reopen`, {
      reason: 'A cap was loose.',
    })
    expect(reopened.text).toContain('A cap was loose.')
    expect(await asked(first.code)).toMatch(/superseded/i)

    await faces.post(cast.tess, `/jobs/${jobId}/submit`, {})
    const second = (await faces.post(cast.sam, `/jobs/${jobId}/sign-off`, {})).json().certificate
    expect(second).toMatchObject({ revision: 2 })
    expect(second.code).not.toBe(first.code)
    expect(await asked(second.code)).toMatch(/genuine/i)
    expect(await asked(second.code)).not.toMatch(/superseded/i)
    expect(await asked(first.code)).toMatch(/superseded/i)
    const page = await visitorOf(cast.wren).go(`/jobs/${jobId}`)
    expect(page.text).toContain('Certificate, revision 1')
    expect(page.text).toContain('Certificate, revision 2')
  })

  it('is not offered to who recorded the work, on the page as by the API', async () => {
    const { jobId } = await aWholeJob(cast, 'own', { by: cast.sam })
    await faces.post(cast.sam, `/jobs/${jobId}/submit`, {})
    const page = await visitorOf(cast.sam).go(`/jobs/${jobId}`)
    expect(page.text).toContain('somebody else concedes and signs it off')
    expect(page.page.querySelector(`form[action="/jobs/${jobId}/sign-off"]`)).toBeNull()
    const sent = await faces.send(cast.sam, `/jobs/${jobId}/sign-off`, {})
    expect(sent.statusCode).toBe(422)
    expect((await faces.post(cast.sam, `/jobs/${jobId}/sign-off`, {})).json().code).toBe('own-work')
    expect((await visitorOf(cast.olga).send(`/jobs/${jobId}`, `/jobs/${jobId}/sign-off`)).url).toMatch(
      /certificates/,
    )
  })

  it('is not offered to who only read the gauge', async () => {
    const { jobId } = await aWholeJob(cast, 'gauge', { vacuumReader: cast.sam })
    await faces.post(cast.tess, `/jobs/${jobId}/submit`, {})
    const page = await faces.server.inject({ url: `/jobs/${jobId}`, headers: asBrowser(cast.sam) })
    expect(page.body).toContain('somebody else concedes and signs it off')
    expect(page.body).not.toContain(`action="/jobs/${jobId}/sign-off"`)
  })

  it('needs a job that was submitted, and nothing can be sent back or reopened out of turn', async () => {
    const { jobId } = await aWholeJob(cast, 'turns')
    const code = async (verb: string, body: object = {}) =>
      (await faces.post(cast.sam, `/jobs/${jobId}/${verb}`, body)).json().code
    const reason = { reason: 'Because.' }
    expect(await code('sign-off')).toBe('not-submitted')
    expect(await code('send-back', reason)).toBe('not-submitted')
    expect(await code('reopen', reason)).toBe('not-sealed')
    expect(await heldOn(cast, jobId)).toEqual([])
    await faces.post(cast.tess, `/jobs/${jobId}/submit`, {})
    expect(await code('reopen', reason)).toBe('not-sealed')
    const stray = await faces.post(cast.sam, `/jobs/${jobId}/send-back`, {
      ...reason,
      subjects: [cast.zoe.crewId],
    })
    expect(stray.statusCode).toBe(404)
    await faces.post(cast.sam, `/jobs/${jobId}/sign-off`, {})
    expect(await code('send-back', reason)).toBe('not-submitted')
    expect(await code('concessions', { ...reason, requirement: 'vacuum-held', subjectId: jobId })).toBe(
      'job-sealed',
    )
  })
})
