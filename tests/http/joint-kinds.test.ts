// Is each kind of joint asked only for what it has, on its page and by the API?

import { afterAll, beforeAll, beforeEach, describe, expect, it } from 'vitest'
import { addJoint } from '../../server/commands/places/add-joint.ts'
import type { JointKind, JointOrigin } from '../../server/vocabulary.ts'
import { aCast, type Cast, MINUTE } from '../support/cast.ts'
import { inches } from '../support/setups.ts'
import { twoFaces } from '../support/two-faces.ts'
import { Visitor } from '../support/visitor.ts'
import { aFreshJob, heldOn, type Work } from '../support/worked.ts'

let cast: Cast
let faces: Awaited<ReturnType<typeof twoFaces>>
let work: Work
let visitor: Visitor
let marks = 0
beforeAll(async () => {
  cast = await aCast()
  faces = await twoFaces(cast)
})
afterAll(() => cast.remove())
beforeEach(async () => {
  marks += 1
  work = await aFreshJob(cast, `kinds-${marks}`)
  visitor = new Visitor(faces.server)
  visitor.carry(cast.tess.cookie)
})

const aJoint = async (kind: JointKind, origin: JointOrigin = 'field') =>
  (
    await cast.run(cast.tess, addJoint, {
      systemId: work.zone.systemId,
      jobId: work.jobId,
      lineSetId: work.zone.lineSetId,
      place: `${kind} in the loft`,
      line: 'gas',
      tubeOd: inches(0.375),
      kind,
      origin,
      indoors: false,
    })
  ).id
const address = (jointId: string) => `/joints/${jointId}?job=${work.jobId}`
const joint = async (jointId: string) => (await faces.get(cast.tess, `/joints/${jointId}`)).json()
/** Presses "all as listed" or the only button of the step that comes next. */
const next = async (jointId: string, step: string, given: Record<string, string> = {}) => {
  const page = await visitor.go(address(jointId))
  const action = page.page
    .querySelectorAll('form')
    .map((form) => form.getAttribute('action') ?? '')
    .find((one) => one.endsWith(step) && !one.includes('~'))
  if (!action) throw new Error(`${step} is not asked for.\n${page.text}`)
  const all = page.page.querySelector(`form[action="${action}"] button[name="allAsListed"]`)
  const sent = await visitor.send(
    page,
    action,
    given,
    all ? { name: 'allAsListed', value: 'true' } : undefined,
  )
  expect(sent.status, sent.text).toBe(200)
  return { page, sent }
}
const last = async (jointId: string) => (await joint(jointId)).makes.at(-1).steps.at(-1)

describe('a joint is asked', () => {
  it.each(['brazed', 'press'] as const)(
    'for no nut where it is %s, and none is said to be on',
    async (kind) => {
      const id = await aJoint(kind)
      await next(id, '/makes')
      const { page } = await next(id, '/preparation')
      expect(page.page.querySelector('input[name="points.nutOn"]')).toBeNull()
      expect((await last(id)).points).toEqual({
        squareCut: 'yes',
        deburred: 'yes',
        burrsKeptOut: 'yes',
        tubeClean: 'yes',
      })
    },
  )

  it('to be gauged where it is pressed, and not how a flare looks that it has not', async () => {
    const id = await aJoint('press')
    const { makes } = await joint(id)
    expect(makes).toEqual([])
    await next(id, '/makes')
    await next(id, '/preparation')
    const make = (await joint(id)).makes[0].id
    const { pressTool = null } = work.zone.instruments as Record<string, string>
    const tool =
      pressTool ??
      (
        await faces.post(cast.tess, '/instruments', {
          kind: 'press-tool',
          name: 'Press tool 1',
          serial: `PT-${marks}`,
        })
      ).json().id
    const pressed = await faces.post(cast.tess, `/makes/${make}/pressing`, {
      instrumentId: tool,
      jawSize: '3/8',
      insertionMarked: true,
    })
    expect(pressed.statusCode, pressed.body).toBe(201)
    const { page, sent } = await next(id, '/inspection', { diameterCheck: 'gauge-pass' })
    expect(page.page.querySelector('input[name^="points."]')).toBeNull()
    expect(await last(id)).toMatchObject({ points: {}, allAsListed: false, diameterCheck: 'gauge-pass' })
    expect(sent.text).toContain('Inspected, accepted')
    const held = await heldOn(cast, work.jobId)
    expect(
      held.filter(({ requirement, subject }) => requirement === 'press-verified' && subject.id === id),
    ).toEqual([])
  })

  it('by the API too: a point that it has not may be left out, and one that it has may not', async () => {
    const id = await aJoint('brazed')
    const make = (await faces.post(cast.tess, `/joints/${id}/makes`, { jobId: work.jobId })).json().id
    const points = { squareCut: 'yes', deburred: 'yes', burrsKeptOut: 'yes' }
    const short = await faces.post(cast.tess, `/makes/${make}/preparation`, { points })
    expect(short.statusCode).toBe(400)
    expect(short.json().errors).toMatchObject([{ path: 'points.tubeClean' }])
    const whole = await faces.post(cast.tess, `/makes/${make}/preparation`, {
      points: { ...points, tubeClean: 'yes' },
    })
    expect(whole.statusCode, whole.body).toBe(201)
  })

  it('for its core where it is a port, and not where it is a cap', async () => {
    const { joints } = (await faces.get(cast.tess, `/systems/${work.zone.systemId}`)).json()
    const ports = joints.filter(({ kind }: { kind: string }) => ['service-port', 'valve-cap'].includes(kind))
    expect(ports.length).toBeGreaterThan(2)
    const page = await visitor.go(address(ports[0].id))
    const sent = await visitor.send(page, `/jobs/${work.jobId}/steps`, {
      'points.coreTight': 'no',
      'reasons.coreTight': 'The core weeps.',
    })
    expect(sent.status, sent.text).toBe(200)
    for (const port of ports) {
      const closing = (await joint(port.id)).makes[0].steps.find(
        ({ kind }: { kind: string }) => kind === 'closing',
      )
      expect(closing.points, port.kind).toEqual(
        port.kind === 'service-port'
          ? { coreTight: 'no', capOn: 'yes', capTight: 'yes' }
          : { capOn: 'yes', capTight: 'yes' },
      )
    }
  })

  it('only for its leak check where it was there before, as often as it is looked at, and corrected like any', async () => {
    const id = await aJoint('flare', 'existing')
    const first = await visitor.go(address(id))
    expect(first.text).toContain('It was there before and stays as it is')
    const { sent } = await next(id, '/leak-checks', {
      'gaugePressure.value': '4.15',
      'gaugePressure.unit': 'MPa',
    })
    expect(sent.text).toContain('Leak check, bubble: none found')
    expect(sent.text).toContain('its leak check is recorded')
    expect((await joint(id)).makes).toEqual([])
    expect(sent.text).not.toContain('It does not count')
    cast.clock.pass(MINUTE)
    const low = await next(id, '/leak-checks', { 'gaugePressure.value': '0.4', 'gaugePressure.unit': 'MPa' })
    expect(low.sent.text).toContain('It does not count: Bubbles were looked for at 0.400 MPa')
    cast.clock.pass(5 * MINUTE)
    await next(id, '/leak-checks', { 'gaugePressure.value': '4,1', 'gaugePressure.unit': 'MPa' })
    const { leakChecks } = await joint(id)
    expect(leakChecks.map(({ gaugePressure }: { gaugePressure: object }) => gaugePressure)).toEqual([
      { value: 4.15, unit: 'MPa' },
      { value: 0.4, unit: 'MPa' },
      { value: 4.1, unit: 'MPa' },
    ])
    const page = await visitor.go(address(id))
    expect(page.page.querySelectorAll('form[action="/corrections"]')).toHaveLength(3)
  })
})
