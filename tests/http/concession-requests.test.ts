// Are requests for a concession answered one by one, by the right hands, and never where none is allowed?

import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import { criteriaJson } from '../../server/commands/people/criteria.ts'
import { setPolicy } from '../../server/commands/people/set-policy.ts'
import { submitJob } from '../../server/commands/release/submit-job.ts'
import { newId } from '../../server/ids.ts'
import { findPolicy } from '../../server/store/queries/policy.ts'
import { scopeOf } from '../../server/store/store.ts'
import { aCast, type Cast } from '../support/cast.ts'
import { twoFaces } from '../support/two-faces.ts'
import { aFreshJob, aWholeJob, heldOn, makeJoint, type Whole } from '../support/worked.ts'

let cast: Cast
let faces: Awaited<ReturnType<typeof twoFaces>>
beforeAll(async () => {
  cast = await aCast()
  faces = await twoFaces(cast)
})
afterAll(() => cast.remove())

let marks = 0
/** Held for half an hour where an hour is asked for: a manager may let that go. */
async function anAskedJob(): Promise<Whole & { requestId: string }> {
  marks += 1
  const whole = await aWholeJob(cast, `asked-${marks}`, { holdMinutes: 30 })
  await cast.run(cast.tess, submitJob, {
    jobId: whole.jobId,
    requests: [
      {
        requirement: 'standing-pressure-held',
        subjectId: whole.zone.lineSetId,
        reason: 'The gas was needed elsewhere.',
      },
    ],
  })
  const { items } = (await faces.get(cast.tess, `/jobs/${whole.jobId}/concession-requests`)).json()
  return { ...whole, requestId: items[0].id }
}
const answer = (requestId: string, body: object, by = cast.sam) =>
  faces.post(by, `/concession-requests/${requestId}/answer`, body)

describe('a request for a concession', () => {
  it('waits in the list with all that is needed, and is granted on a condition', async () => {
    expect((await faces.look(cast.sam, '/concession-requests')).body).toContain('Nothing waits for an answer')
    const { jobId, requestId } = await anAskedJob()
    const listed = (await faces.get(cast.sam, '/concession-requests')).json()
    expect(listed).toMatchObject({ total: 1, items: [{ id: requestId, state: 'waits', answer: null }] })
    const page = (await faces.look(cast.sam, '/concession-requests')).body
    for (const words of [
      'The gas was needed elsewhere.',
      'Asked by Tess',
      'Never asked for',
      'Wanted at least 60',
    ])
      expect(page).toContain(words)

    const given = await faces.send(cast.sam, `/concession-requests/${requestId}/answer`, {
      id: newId(),
      decision: 'granted',
      reason: 'Bubbles on every joint.',
      conditions: 'Tested again before winter.',
    })
    expect(given.statusCode, given.body).toBe(303)
    expect((await faces.get(cast.sam, '/concession-requests')).json().total).toBe(0)
    const seen = (await faces.look(cast.tess, `/jobs/${jobId}`)).body
    expect(seen).toContain('Bubbles on every joint. On condition: Tested again before winter.')
    const { certificate } = (await faces.post(cast.sam, `/jobs/${jobId}/sign-off`, {})).json()
    expect((await faces.look(cast.sam, `/certificates/${certificate.id}`)).body).toContain(
      'Bubbles on every joint. On condition: Tested again before winter.',
    )
    const next = await anAskedJob()
    expect((await faces.look(cast.sam, '/concession-requests')).body).toContain('1 conceded, 0 refused')
    await answer(next.requestId, { decision: 'refused', reason: 'Not again.' })
  })

  it('is refused with a reason that the asker reads, holds the job, and may be asked for again', async () => {
    const { jobId, requestId, zone } = await anAskedJob()
    const refused = await answer(requestId, { decision: 'refused', reason: 'Hold it for an hour.' })
    expect(refused.statusCode, refused.body).toBe(201)
    expect(refused.json()).toMatchObject({ requestId, granted: false, reason: 'Hold it for an hour.' })
    const page = (await faces.look(cast.tess, `/jobs/${jobId}`)).body
    expect(page).toContain('Hold it for an hour.')
    expect((await faces.post(cast.sam, `/jobs/${jobId}/sign-off`, {})).json().code).toBe('hold-points')
    await faces.post(cast.sam, `/jobs/${jobId}/send-back`, { reason: 'Hold it for an hour.' })
    const again = await faces.post(cast.tess, `/jobs/${jobId}/submit`, {
      requests: [
        { requirement: 'standing-pressure-held', subjectId: zone.lineSetId, reason: 'There is no more gas.' },
      ],
    })
    expect(again.statusCode, again.body).toBe(200)
    const { items } = (await faces.get(cast.tess, `/jobs/${jobId}/concession-requests`)).json()
    expect(items.map(({ state }: { state: string }) => state)).toEqual(['refused', 'waits'])
    await answer(items[1].id, { decision: 'granted', reason: 'Well then.' })
  })

  it('is answered once; the same answer twice is one', async () => {
    const { requestId } = await anAskedJob()
    const body = { id: newId(), decision: 'granted', reason: 'Seen.' }
    expect((await answer(requestId, body)).statusCode).toBe(201)
    const before = await faces.entries()
    expect((await answer(requestId, body)).statusCode).toBe(200)
    const other = await answer(requestId, { decision: 'refused', reason: 'No.' })
    expect([other.statusCode, other.json().code]).toEqual([409, 'already-decided'])
    expect(await faces.entries()).toBe(before)
  })

  it('waits no more once the job went back', async () => {
    const { jobId, requestId } = await anAskedJob()
    await faces.post(cast.sam, `/jobs/${jobId}/send-back`, { reason: 'A photo is missing.' })
    expect((await faces.get(cast.sam, '/concession-requests')).json().total).toBe(0)
    const late = await answer(requestId, { decision: 'granted', reason: 'Fine.' })
    expect([late.statusCode, late.json().code]).toEqual([409, 'not-submitted'])
    expect((await faces.look(cast.tess, `/jobs/${jobId}`)).body).toContain('went back without an answer')
  })

  it('is for managers and owners who had no hand in it; others write nothing', async () => {
    const { requestId } = await anAskedJob()
    const before = await faces.entries()
    const body = { decision: 'granted', reason: 'Fine.' }
    for (const one of [cast.tess, cast.wren])
      expect((await answer(requestId, body, one)).statusCode).toBe(403)
    expect((await answer(requestId, body, cast.zoe)).statusCode).toBe(403)
    expect((await faces.post(null, `/concession-requests/${requestId}/answer`, body)).statusCode).toBe(401)
    for (const bad of [
      {},
      { decision: 'granted' },
      { decision: 'perhaps', reason: 'x' },
      { ...body, reason: ' ' },
      { ...body, more: 1 },
    ])
      expect((await answer(requestId, bad)).statusCode, JSON.stringify(bad)).toBe(400)
    const form = await faces.send(cast.sam, `/concession-requests/${requestId}/answer`, {
      id: newId(),
      decision: 'granted',
      reason: '',
      conditions: 'Kept as typed.',
    })
    expect(form.statusCode).toBe(400)
    expect(form.body).toContain('Kept as typed.')
    expect(form.body).toContain('aria-invalid="true"')
    expect(await faces.entries()).toBe(before)
    await answer(requestId, body)
  })
})

describe('what allows no concession', () => {
  it('is neither asked for nor granted when it is posted anyhow, whatever the requirement', async () => {
    const scope = () => scopeOf(cast.store.store.reader(), cast.tess.companyId)
    const { criteria } = await findPolicy(scope())
    await cast.run(cast.olga, setPolicy, {
      criteria: criteriaJson({ ...criteria, handlerSchemes: ['Refrigerant handling'] }),
      reason: 'No camera.',
    } as never)
    const work = await aFreshJob(cast, 'never')
    await makeJoint(cast, work, 'outdoorLiquid', {
      torque: {
        indication: 'read',
        reading: { value: 60, unit: 'N.m' },
        instrumentId: work.zone.instruments.torqueWrench,
      },
    })
    const never = (await heldOn(cast, work.jobId)).filter(({ concedable }) => !concedable)
    const tried = new Set<string>()
    const before = await faces.entries()
    for (const { requirement, subject } of never) {
      const asked = { requirement, subjectId: subject.id, reason: 'It will do.' }
      const granted = await faces.post(cast.sam, `/jobs/${work.jobId}/concessions`, asked)
      expect([granted.statusCode, granted.json().code], requirement).toEqual([422, 'no-concession'])
      expect(granted.json().findings[0].reason).not.toBe('')
      const sent = await faces.post(cast.tess, `/jobs/${work.jobId}/submit`, { requests: [asked] })
      expect([sent.statusCode, sent.json().code], requirement).toEqual([422, 'no-concession'])
      tried.add(requirement)
    }
    expect(await faces.entries()).toBe(before)
    // The rest of the trade's list, and each way of not being met, is in the tables of tests/rules.
    for (const code of [
      'every-joint-made',
      'flare-accepted',
      'joint-torque-in-range',
      'joint-leak-checked',
      'ports-and-caps-closed',
      'handler-qualified',
    ])
      expect([...tried], code).toContain(code)
    const page = (await faces.look(cast.sam, `/jobs/${work.jobId}`)).body
    for (const { requirement, subject } of never)
      expect(page).not.toContain(`name="_request ${requirement} ${subject.id}"`)
  })
})
