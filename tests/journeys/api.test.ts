// From a cut tube to a certificate that anyone can check, through the JSON API, on every kind of store.

import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import { newId } from '../../server/ids.ts'
import { aCast, asProgram, type Cast, type Player } from '../support/cast.ts'
import { STORE_KINDS } from '../support/stores.ts'
import { faultsAfterChanging, faultsIn } from '../support/tampering.ts'
import {
  CHARGE,
  CLOSING_CHECK,
  INSTRUMENTS,
  type InstrumentKey,
  LINE_SET,
  pressureReadings,
  RUNNING,
  SHEET,
  SITE,
  SYSTEM,
  stepsOfJoint,
  TAKES,
  TORQUES,
  vacuumReadings,
} from './the-work.ts'

describe.each(STORE_KINDS)('the main job through the API on %s', (kind) => {
  let cast: Cast
  beforeAll(async () => {
    cast = await aCast(kind)
  })
  afterAll(() => cast.remove())

  async function send(
    player: Player,
    method: 'GET' | 'POST',
    path: string,
    body?: unknown,
    expected?: number,
  ) {
    const server = await cast.server()
    const response = await server.inject({
      method,
      url: `/api/v1${path}`,
      headers: asProgram(player),
      ...(body === undefined ? {} : { payload: body as object }),
    })
    if (expected !== undefined && response.statusCode !== expected)
      throw new Error(`${method} ${path}: ${response.statusCode} ${response.body}`)
    return { status: response.statusCode, json: response.json(), headers: response.headers }
  }

  it('carries a heat pump from the first cut to the certificate', async () => {
    const { tess, sam, zoe } = cast
    const ids = {} as Record<InstrumentKey, string>
    for (const { key, ...instrument } of INSTRUMENTS) {
      const { json } = await send(sam, 'POST', '/instruments', instrument, 201)
      ids[key] = json.id
      await send(
        sam,
        'POST',
        `/instruments/${json.id}/calibrations`,
        {
          at: new Date(cast.clock.now).toISOString(),
          result: 'in-tolerance',
          basis: 'certificate',
          reference: 'C-1',
        },
        201,
      )
    }
    const sheet = (await send(sam, 'POST', '/equipment-sheets', SHEET, 201)).json
    const site = (await send(sam, 'POST', '/sites', SITE, 201)).json
    const job = (
      await send(
        sam,
        'POST',
        '/jobs',
        { siteId: site.id, kind: 'installation', assignedTo: tess.memberId },
        201,
      )
    ).json
    const system = (
      await send(tess, 'POST', `/jobs/${job.id}/systems`, { ...SYSTEM, equipmentSheetId: sheet.id }, 201)
    ).json
    const laid = (
      await send(tess, 'POST', `/systems/${system.id}/line-sets`, { ...LINE_SET, jobId: job.id }, 201)
    ).json
    const flares = laid.joints.filter((joint: { kind: string }) => joint.kind === 'flare')
    const ports = laid.joints.filter((joint: { kind: string }) => joint.kind !== 'flare')
    expect(flares.map((joint: { place: string }) => joint.place).sort()).toEqual(Object.keys(TORQUES).sort())
    expect(ports.map((joint: { kind: string }) => joint.kind).sort()).toEqual([
      'service-port',
      'valve-cap',
      'valve-cap',
    ])

    // A step out of order is refused, and so is sign-off while anything is missing.
    const [first] = flares
    const make = (await send(tess, 'POST', `/joints/${first.id}/makes`, { jobId: job.id }, 201)).json
    const early = await send(tess, 'POST', `/makes/${make.id}/torque`, {
      indication: 'read',
      reading: { value: 16, unit: 'N.m' },
      instrumentId: ids.torqueWrench,
    })
    expect(early.status).toBe(409)
    expect(early.json.code).toBe('step-out-of-order')
    const tooSoon = await send(tess, 'POST', `/jobs/${job.id}/submit`, {})
    expect(tooSoon.status).toBe(422)
    expect(tooSoon.json.findings.length).toBeGreaterThan(3)

    for (const joint of flares) {
      const made =
        joint.id === first.id
          ? make
          : (await send(tess, 'POST', `/joints/${joint.id}/makes`, { jobId: job.id }, 201)).json
      const torque = TORQUES[joint.place as keyof typeof TORQUES]
      for (const [step, body] of stepsOfJoint(torque, ids, joint.place.startsWith('indoor'))) {
        const { json } = await send(tess, 'POST', `/makes/${made.id}/${step}`, body, 201)
        if (step === 'torque') {
          expect(json.verdict).toBe('in-range')
          expect(json.reading).toEqual(torque)
        }
      }
      cast.clock.pass(TAKES.joint)
    }
    const remade = await send(tess, 'POST', `/joints/${first.id}/makes`, { jobId: job.id })
    expect(remade.json.errors[0].path).toBe('reason')

    cast.clock.pass(TAKES.pressure)
    const test = (
      await send(
        tess,
        'POST',
        `/systems/${system.id}/pressure-tests`,
        {
          jobId: job.id,
          medium: 'nitrogen',
          gaugeInstrumentId: ids.pressureGauge,
          thermometerInstrumentId: ids.thermometer,
          performedAt: new Date(cast.clock.now - 80 * 60_000).toISOString(),
        },
        201,
      )
    ).json
    await send(tess, 'POST', `/pressure-tests/${test.id}/readings`, pressureReadings(cast.clock.now), 201)
    const held = (await send(tess, 'POST', `/pressure-tests/${test.id}/conclude`, {}, 200)).json
    expect(held.verdict).toBe('holds')

    cast.clock.pass(TAKES.evacuation)
    const evacuation = (
      await send(
        tess,
        'POST',
        `/systems/${system.id}/evacuations`,
        {
          jobId: job.id,
          gaugeInstrumentId: ids.vacuumGauge,
          performedAt: new Date(cast.clock.now - 45 * 60_000).toISOString(),
        },
        201,
      )
    ).json
    await send(tess, 'POST', `/evacuations/${evacuation.id}/readings`, vacuumReadings(cast.clock.now), 201)
    const tight = (await send(tess, 'POST', `/evacuations/${evacuation.id}/conclude`, {}, 200)).json
    expect(tight.verdict).toBe('tight')
    expect(tight.curve.kind).toBe('saturating')

    cast.clock.pass(TAKES.rest)
    await send(tess, 'POST', `/systems/${system.id}/charges`, { ...CHARGE, jobId: job.id }, 201)
    cast.clock.pass(TAKES.rest)
    await send(tess, 'POST', `/systems/${system.id}/running-checks`, { ...RUNNING, jobId: job.id }, 201)

    cast.clock.pass(TAKES.rest)
    const closings = ports.flatMap((port: { id: string }) => {
      const makeId = newId()
      return [
        { step: 'make', id: makeId, jointId: port.id },
        { step: 'closing', makeId, allAsListed: true },
        { step: 'leak-check', makeId, instrumentId: ids.leakDetector, ...CLOSING_CHECK },
      ]
    })
    await send(tess, 'POST', `/jobs/${job.id}/steps`, closings, 201)

    const points = (await send(tess, 'GET', `/jobs/${job.id}/hold-points`, undefined, 200)).json
    const held_ = points.filter(
      (point: { outcome: string }) => !['met', 'not-applicable'].includes(point.outcome),
    )
    expect(held_).toEqual([])

    expect((await send(tess, 'POST', `/jobs/${job.id}/submit`, {}, 200)).json.stage).toBe('submitted')
    expect((await send(tess, 'POST', `/jobs/${job.id}/sign-off`, {})).status).toBe(403)
    expect((await send(zoe, 'GET', `/jobs/${job.id}`)).status).toBe(404)
    const signed = (await send(sam, 'POST', `/jobs/${job.id}/sign-off`, {}, 200)).json
    expect((await send(sam, 'POST', `/jobs/${job.id}/sign-off`, {})).json.code).toBe('job-sealed')
    const late = await send(tess, 'POST', `/joints/${first.id}/makes`, { jobId: job.id, reason: 'again' })
    expect(late.json.code).toBe('job-sealed')

    const certificate = (
      await send(tess, 'GET', `/certificates/${signed.certificate.id}.json`, undefined, 200)
    ).json
    const verified = await send(sam, 'POST', '/verify', certificate)
    expect(verified.json.verdict).toBe('genuine')
    const server = await cast.server()
    const page = await server.inject({ method: 'GET', url: `/verify/${signed.certificate.code}` })
    expect(page.statusCode).toBe(200)
    expect(page.body).toMatch(/genuine/i)
    expect(page.body).not.toContain('Fenwick')
    expect(page.body).not.toContain('Lantern Row')

    expect(await faultsIn(cast)).toEqual([])
    const faults = await faultsAfterChanging(cast, '"readingNm":38.4')
    expect(faults.map((fault) => fault.what).join()).toMatch(/steps .* was changed/)
  })
})
