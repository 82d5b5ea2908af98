// Two technicians on one job, on the same joint, from two phones at the same time: is nothing lost, and do both see it?

import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import { newId } from '../../server/ids.ts'
import { aCast, type Cast, MINUTE, type Player } from '../support/cast.ts'
import { STORE_KINDS } from '../support/stores.ts'
import { faultsIn } from '../support/tampering.ts'
import { twoFaces } from '../support/two-faces.ts'
import { Visitor } from '../support/visitor.ts'
import { aFreshJob, type Work } from '../support/worked.ts'

type Faces = Awaited<ReturnType<typeof twoFaces>>
type Answer = Awaited<ReturnType<Faces['post']>>

describe.each(STORE_KINDS)('two phones on %s', (kind) => {
  let cast: Cast
  let faces: Faces
  let marks = 0
  beforeAll(async () => {
    cast = await aCast(kind)
    faces = await twoFaces(cast)
  })
  afterAll(() => cast.remove())

  const aWork = (): Promise<Work> => {
    marks += 1
    return aFreshJob(cast, `phones-${kind}-${marks}`)
  }
  /** Both at once, whichever comes first. */
  const both = (one: () => Promise<Answer>, other: () => Promise<Answer>) => Promise.all([one(), other()])
  const codes = (answers: Answer[]) => answers.map(({ statusCode }) => statusCode).sort()
  const refused = (answers: Answer[]) =>
    answers.find(({ statusCode }) => statusCode >= 400)?.json() as { code: string; detail: string }
  const accepted = (answers: Answer[]) => answers.find(({ statusCode }) => statusCode < 400)?.json()
  const jointAs = async (player: Player, id: string) => (await faces.get(player, `/joints/${id}`)).json()
  const stepsAs = async (player: Player, id: string) =>
    (await jointAs(player, id)).makes.flatMap((make: { steps: { id: string; kind: string }[] }) => make.steps)

  const begin = async (work: Work, jointId: string) => {
    const make = await faces.post(cast.tess, `/joints/${jointId}/makes`, { jobId: work.jobId })
    return make.json().id as string
  }

  it('start one making of a joint; the other is told that it is there and asked why another', async () => {
    const work = await aWork()
    const { jobId, zone } = work
    const start = (player: Player) => () =>
      faces.post(player, `/joints/${zone.joints.indoorGas}/makes`, { jobId })
    const answers = await both(start(cast.tess), start(cast.sam))
    expect(codes(answers)).toEqual([201, 400])
    expect(refused(answers)).toMatchObject({ errors: [{ path: 'reason', message: /making 2/ }] })
    for (const player of [cast.tess, cast.sam])
      expect((await jointAs(player, zone.joints.indoorGas)).makes).toMatchObject([
        { id: accepted(answers).id, number: 1 },
      ])
  })

  it('record one preparation; the other gets a conflict that says what to do instead', async () => {
    const work = await aWork()
    const makeId = await begin(work, work.zone.joints.indoorGas)
    const prepare = (player: Player) => () =>
      faces.post(player, `/makes/${makeId}/preparation`, { allAsListed: true })
    const answers = await both(prepare(cast.tess), prepare(cast.sam))
    expect(codes(answers)).toEqual([201, 409])
    expect(refused(answers)).toMatchObject({ code: 'step-out-of-order', detail: /already has/ })
    for (const player of [cast.tess, cast.sam])
      expect(await stepsAs(player, work.zone.joints.indoorGas)).toMatchObject([
        { id: accepted(answers).id, kind: 'preparation' },
      ])
  })

  it('both check the joint for leaks: both checks stand, each under its own name', async () => {
    const work = await aWork()
    const { jobId, zone } = work
    const check = (player: Player) => () =>
      faces.post(player, `/joints/${zone.joints.outdoorGas}/leak-checks`, {
        jobId,
        method: 'bubble',
        medium: 'nitrogen',
        gaugePressure: { value: 4.15, unit: 'MPa' },
        result: 'none-found',
      })
    const answers = await both(check(cast.tess), check(cast.sam))
    expect(codes(answers)).toEqual([201, 201])
    const { leakChecks } = await jointAs(cast.tess, zone.joints.outdoorGas)
    expect(leakChecks.map((one: { performedBy: string }) => one.performedBy).sort()).toEqual(
      [cast.tess.crewId, cast.sam.crewId].sort(),
    )
  })

  it('both torque the nut: both readings stand, in the order in which they came', async () => {
    const work = await aWork()
    const { zone } = work
    const makeId = await begin(work, zone.joints.indoorGas)
    const steps: [string, object][] = [
      ['preparation', { allAsListed: true }],
      ['flare', { instrumentId: zone.instruments.flaringTool, method: 'powered', depthStopUsed: true }],
      ['inspection', { allAsListed: true, diameterCheck: 'gauge-pass', outcome: 'accepted' }],
      ['assembly', { allAsListed: true, lubricated: 'face' }],
    ]
    for (const [step, body] of steps)
      expect((await faces.post(cast.tess, `/makes/${makeId}/${step}`, body)).statusCode).toBe(201)
    const pull = (player: Player, value: number) => () =>
      faces.post(player, `/makes/${makeId}/torque`, {
        indication: 'read',
        reading: { value, unit: 'N.m' },
        instrumentId: zone.instruments.torqueWrench,
      })
    const answers = await both(pull(cast.tess, 36), pull(cast.sam, 38))
    expect(codes(answers)).toEqual([201, 201])
    const torques = (await stepsAs(cast.sam, zone.joints.indoorGas)).filter(
      (step: { kind: string }) => step.kind === 'torque',
    )
    expect(torques.map((step: { reading: { value: number } }) => step.reading.value).sort()).toEqual([36, 38])
  })

  it('the same phone sends a step twice over a bad connection: one step, answered twice alike', async () => {
    const work = await aWork()
    const makeId = await begin(work, work.zone.joints.indoorGas)
    const id = newId()
    const prepare = () => faces.post(cast.tess, `/makes/${makeId}/preparation`, { id, allAsListed: true })
    const answers = await both(prepare, prepare)
    expect(codes(answers)).toEqual([200, 201])
    expect(answers[0].json()).toEqual(answers[1].json())
    expect(await stepsAs(cast.sam, work.zone.joints.indoorGas)).toHaveLength(1)
  })

  it('one submits while the other still works: never both without the other being told', async () => {
    const work = await aWork()
    const { jobId, zone } = work
    const leaveOut = (jointId: string) => () =>
      faces.post(cast.sam, `/jobs/${jobId}/left-out`, { jointId, reason: 'Not reached today.' })
    const make = () => faces.post(cast.tess, `/joints/${zone.joints.indoorGas}/makes`, { jobId })
    const answers = await both(leaveOut(zone.joints.indoorGas), make)
    expect(codes(answers)).toEqual([201, 409])
    expect(refused(answers).code).toMatch(/joint-left-out|joint-made-here/)
  })

  it('by page: who comes second sees what the first recorded, and what comes next', async () => {
    const work = await aWork()
    const { jobId, zone } = work
    const address = `/joints/${zone.joints.indoorGas}?job=${jobId}`
    const makeId = await begin(work, zone.joints.indoorGas)
    const phone = async (player: Player) => {
      const visitor = new Visitor(faces.server)
      visitor.carry(player.cookie)
      return { visitor, seen: await visitor.go(address) }
    }
    // Both have the form for the same step open.
    const first = await phone(cast.tess)
    const second = await phone(cast.sam)
    const button = { name: 'allAsListed', value: 'true' }
    const path = `/makes/${makeId}/preparation`
    const done = await first.visitor.send(first.seen, path, {}, button)
    expect(done.status).toBe(200)
    cast.clock.pass(MINUTE)
    const late = await second.visitor.send(second.seen, path, {}, button)
    expect(late.status).toBe(409)
    expect(late.text).toMatch(/already has/)
    // The page that says no is the joint as it now stands: Tess's step, and the form for the next one.
    expect(late.text).toContain('Tess')
    expect(late.page.querySelector(`form[action="/makes/${makeId}/flare"]`)).not.toBeNull()
    expect(await stepsAs(cast.sam, zone.joints.indoorGas)).toHaveLength(1)
  })

  it('leave every chain whole', async () => {
    expect(await faultsIn(cast)).toEqual([])
  })
})
