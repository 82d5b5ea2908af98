// A joint's page and JSON: the next step, both joints at a unit, and what came before.

import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import { aCast, asBrowser, asProgram, type Cast } from '../support/cast.ts'
import { aJobAtASite, type SingleZone, singleZone } from '../support/setups.ts'
import { type Seen, Visitor } from '../support/visitor.ts'

let cast: Cast
let jobId: string
let zone: SingleZone
beforeAll(async () => {
  cast = await aCast()
  ;({ jobId } = await aJobAtASite(cast))
  zone = await singleZone(cast, { jobId })
})
afterAll(() => cast.remove())

const get = async (url: string, headers: Record<string, string> = asProgram(cast.tess)) =>
  (await cast.server()).inject({ url, headers })
const post = async (url: string, payload: object, headers: Record<string, string> = asProgram(cast.tess)) =>
  (await cast.server()).inject({ method: 'POST', url, headers, payload })

/** Tess without script, signed in. */
async function tess(): Promise<Visitor> {
  const visitor = new Visitor(await cast.server())
  visitor.carry(cast.tess.cookie)
  return visitor
}
const actionOf = (seen: Seen, end: RegExp) =>
  seen.page
    .querySelectorAll('form')
    .map((form) => form.getAttribute('action') ?? '')
    .find((action) => end.test(action)) ?? ''

describe('a joint', () => {
  it('is not there for a stranger, and asks the signed-out to sign in', async () => {
    expect((await get(`/api/v1/joints/${zone.joints.indoorGas}`, asProgram(cast.zoe))).statusCode).toBe(404)
    expect((await get(`/joints/${zone.joints.indoorGas}`, asBrowser(cast.zoe))).statusCode).toBe(404)
    expect((await get(`/api/v1/joints/${zone.joints.indoorGas}`, {})).statusCode).toBe(401)
    expect((await get(`/joints/${zone.joints.indoorGas}`, {})).headers.location).toMatch(/^\/sign-in/)
  })

  it('can be read by the warranty desk, who may not record', async () => {
    const page = await get(`/joints/${zone.joints.indoorGas}?job=${jobId}`, asBrowser(cast.wren))
    expect(page.statusCode).toBe(200)
    expect(page.body).not.toContain('Start making')
    const made = await post(`/api/v1/joints/${zone.joints.indoorGas}/makes`, { jobId }, asProgram(cast.wren))
    expect(made.statusCode).toBe(403)
  })

  it('is done together with the other one at its unit, each with its own steps', async () => {
    const visitor = await tess()
    const { outdoorLiquid, outdoorGas } = zone.joints
    const fresh = await visitor.go(`/joints/${outdoorLiquid}?job=${jobId}`)
    let page = await visitor.press(fresh, `/joints/${outdoorLiquid}/makes`, '_both')
    expect(page.status, page.text).toBe(200)
    for (const step of ['preparation', 'flare', 'inspection', 'assembly']) {
      const given = step === 'flare' ? { instrumentId: zone.instruments.flaringTool } : {}
      page = await visitor.press(page, actionOf(page, new RegExp(`/${step}$`)), '_both', given)
      expect(page.status, page.text).toBe(200)
    }
    for (const jointId of [outdoorLiquid, outdoorGas]) {
      const joint = (await get(`/api/v1/joints/${jointId}`)).json()
      expect(joint.makes).toHaveLength(1)
      expect(joint.makes[0].steps.map((step: { kind: string }) => step.kind)).toEqual([
        'preparation',
        'flare',
        'inspection',
        'assembly',
      ])
      expect(joint.makes[0].steps[0].allAsListed).toBe(true)
      expect(joint.next.step).toBe('torque')
    }
  })

  it('writes nothing of two when one of them is refused, and says which field', async () => {
    const { indoorLiquid, indoorGas } = zone.joints
    const makes: string[] = []
    for (const jointId of [indoorLiquid, indoorGas])
      makes.push((await post(`/api/v1/joints/${jointId}/makes`, { jobId })).json().id)
    const answer = await post(`/api/v1/jobs/${jobId}/steps`, [
      { step: 'preparation', makeId: makes[0], allAsListed: true },
      { step: 'preparation', makeId: makes[1], points: { squareCut: 'no' } },
    ] as unknown as object)
    expect(answer.statusCode).toBe(400)
    expect(answer.json().errors.map((error: { path: string }) => error.path)).toContain(
      'steps.1.reasons.squareCut',
    )
    expect((await get(`/api/v1/joints/${indoorLiquid}`)).json().makes[0].steps).toEqual([])
  })

  it('judges a torque at once, in the unit it was read in, and keeps what was typed', async () => {
    const joint = (await get(`/api/v1/joints/${zone.joints.outdoorGas}`)).json()
    const answer = await post(`/api/v1/makes/${joint.makes[0].id}/torque`, {
      indication: 'read',
      reading: { value: 34, unit: 'ft.lbf' },
      instrumentId: zone.instruments.torqueWrench,
    })
    expect(answer.statusCode).toBe(201)
    const torque = answer.json()
    expect(torque.verdict).toBe('high')
    expect(torque.reading).toEqual({ value: 34, unit: 'ft.lbf' })
    expect(torque.applied.unit).toBe('ft.lbf')
    expect(torque.applied.value).toBeCloseTo(34, 9)
    expect(torque.range.high.value).toBeCloseTo(42 / 1.3558179483, 6)
    expect(torque.next.step).toBe('inspection')

    const page = await (await tess()).go(`/joints/${zone.joints.outdoorGas}?job=${jobId}`)
    expect(page.text).toContain('above 34–42 N·m')
    expect(page.text).toContain('inspect flare and nut')
  })

  it('refuses a torque under test pressure with the caution, and records nothing', async () => {
    const joint = (await get(`/api/v1/joints/${zone.joints.outdoorLiquid}`)).json()
    const answer = await post(`/api/v1/makes/${joint.makes[0].id}/torque`, {
      indication: 'read',
      reading: { value: 16, unit: 'N.m' },
      instrumentId: zone.instruments.torqueWrench,
      circuitState: 'under-test-pressure',
    })
    expect(answer.statusCode).toBe(422)
    expect(answer.json().code).toBe('under-test-pressure')
    expect(answer.json().detail).toMatch(/burst/)
    const after = (await get(`/api/v1/joints/${zone.joints.outdoorLiquid}`)).json()
    expect(after.next.step).toBe('torque')
  })

  it('tells its whole history, entries and hashes included', async () => {
    const history = (await get(`/api/v1/joints/${zone.joints.outdoorGas}/history`)).json()
    expect(history.entries.map((entry: { kind: string }) => entry.kind)).toEqual([
      'make-started',
      'preparation-recorded',
      'flare-recorded',
      'inspection-recorded',
      'assembly-recorded',
      'torque-recorded',
      'nonconformity-found',
    ])
    for (const entry of history.entries) expect(entry.hash).toMatch(/^[0-9a-f]{64}$/)
  })
})
