// Is each kind of joint made by its own steps, in their order, and kept as it was typed?

import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import { addInstrument } from '../../server/commands/instruments/add-instrument.ts'
import { aCast, type Cast, DAY, HOUR, MINUTE, NOON } from '../support/cast.ts'
import { inches, type SingleZone } from '../support/setups.ts'
import { twoFaces } from '../support/two-faces.ts'
import { aFreshJob } from '../support/worked.ts'

let cast: Cast
let faces: Awaited<ReturnType<typeof twoFaces>>
let jobId: string
let zone: SingleZone
let pressTool: string
beforeAll(async () => {
  cast = await aCast()
  faces = await twoFaces(cast)
  ;({ jobId, zone } = await aFreshJob(cast, 'makes'))
  pressTool = (
    await cast.run(cast.tess, addInstrument, { kind: 'press-tool', name: 'Press 1', serial: 'PT-1' })
  ).id
})
afterAll(() => cast.remove())

const tell = (path: string, body: object) => faces.post(cast.tess, path, body)
async function ok(path: string, body: object) {
  const answer = await tell(path, body)
  expect(answer.statusCode, `${path} ${answer.body}`).toBe(201)
  return answer.json()
}
async function refused(path: string, body: object, status: number, code?: string) {
  const before = await faces.entries()
  const answer = await tell(path, body)
  expect(answer.statusCode, answer.body).toBe(status)
  expect(await faces.entries()).toBe(before)
  if (code) expect(answer.json().code).toBe(code)
  return answer.json()
}

let places = 0
/** A joint of its own, with a making begun unless told otherwise. */
async function aJoint(kind: string, options: { origin?: string; od?: number; make?: boolean } = {}) {
  places += 1
  const { id: jointId } = await ok(`/systems/${zone.systemId}/joints`, {
    jobId,
    place: `place ${places}`,
    line: 'gas',
    tubeOd: inches(options.od ?? 0.375),
    kind,
    origin: options.origin ?? 'field',
  })
  if (options.make === false) return { jointId, makeId: '' }
  return { jointId, makeId: (await ok(`/joints/${jointId}/makes`, { jobId })).id as string }
}

const STEPS: Record<string, () => object> = {
  preparation: () => ({ squareCut: true, deburred: true, burrsKeptOut: true, tubeClean: true, nutOn: true }),
  flare: () => ({ instrumentId: zone.instruments.flaringTool, method: 'manual-clutch', depthStopUsed: true }),
  brazing: () => ({ nitrogenFlow: true, filler: 'BCuP-2' }),
  pressing: () => ({ instrumentId: pressTool, jawSize: '3/8', insertionMarked: true }),
  inspection: () => ({ allAsListed: true, outcome: 'accepted' }),
  assembly: () => ({ allAsListed: true, lubricated: 'face' }),
  torque: () => torque(38),
  closing: () => ({ allAsListed: true }),
  'leak-check': () => ({ method: 'bubble', gaugePressure: { value: 4.15, unit: 'MPa' }, leakFound: false }),
}
const torque = (value: number, unit = 'N.m') => ({
  indication: 'read',
  reading: { value, unit },
  instrumentId: zone.instruments.torqueWrench,
})
const doStep = (makeId: string, step: string, body?: object) =>
  ok(`/makes/${makeId}/${step}`, body ?? STEPS[step]?.() ?? {})
async function upTo(makeId: string, last: string) {
  for (const step of ['preparation', 'flare', 'inspection', 'assembly', 'torque', 'leak-check']) {
    await doStep(makeId, step)
    if (step === last) return
  }
}

describe('the steps of a making', () => {
  it.each([
    ['flare', 'field', ['preparation', 'flare', 'inspection', 'assembly', 'torque', 'leak-check']],
    ['flare', 'factory', ['inspection', 'assembly', 'torque', 'leak-check']],
    ['flare', 'existing', ['preparation', 'flare', 'inspection', 'assembly', 'torque', 'leak-check']],
    ['brazed', 'field', ['preparation', 'brazing', 'leak-check']],
    ['press', 'field', ['preparation', 'pressing', 'inspection', 'leak-check']],
    ['quick-coupling', 'field', ['assembly', 'torque', 'leak-check']],
    ['compression', 'field', ['assembly', 'torque', 'leak-check']],
    ['adapter', 'field', ['assembly', 'torque', 'leak-check']],
    ['service-port', 'field', ['closing', 'leak-check']],
    ['valve-cap', 'field', ['closing', 'leak-check']],
  ])('of a %s joint, %s, are its own and come one after the other', async (kind, origin, steps) => {
    const { jointId, makeId } = await aJoint(kind, { origin })
    for (const [index, step] of steps.entries()) {
      const answer = await doStep(makeId, step)
      expect(answer.next.step, answer.next.reason).toBe(steps[index + 1] ?? null)
    }
    expect((await faces.get(cast.tess, `/joints/${jointId}`)).json().steps).toEqual(steps)
    const foreign = Object.keys(STEPS).filter((step) => !steps.includes(step))
    for (const step of foreign) {
      // Nut and body of any joint may be looked at once it was torqued.
      if (step === 'inspection' && steps.includes('torque')) continue
      await refused(`/makes/${makeId}/${step}`, STEPS[step]?.() ?? {}, 409, 'step-out-of-order')
    }
  })

  it('of a compression joint have no torque where the sheet gives none for its size', async () => {
    const { makeId } = await aJoint('compression', { od: 0.5 })
    expect((await doStep(makeId, 'assembly')).next.step).toBe('leak-check')
    await refused(`/makes/${makeId}/torque`, torque(50), 409, 'step-out-of-order')
  })

  it('of an existing joint are a leak check alone, while nobody opens it', async () => {
    const { jointId } = await aJoint('flare', { origin: 'existing', make: false })
    const answer = await ok(`/joints/${jointId}/leak-checks`, { jobId, ...STEPS['leak-check']?.() })
    expect(answer).toMatchObject({ kind: 'leak-check', makeId: null, result: 'none-found' })
    await refused(`/joints/${jointId}/leak-checks`, STEPS['leak-check']?.() ?? {}, 400)
    await ok(`/joints/${jointId}/retire`, { jobId, reason: 'Cut out.' })
    const late = { jobId, ...STEPS['leak-check']?.() }
    await refused(`/joints/${jointId}/leak-checks`, late, 409, 'joint-retired')
  })

  it('are refused out of order with what is missing', async () => {
    const { makeId } = await aJoint('flare')
    const words: [string, RegExp][] = [
      ['flare', /preparation first/],
      ['inspection', /preparation first/],
      ['torque', /preparation first/],
      ['leak-check', /preparation first/],
    ]
    for (const [step, missing] of words)
      expect(
        (await refused(`/makes/${makeId}/${step}`, STEPS[step]?.() ?? {}, 409, 'step-out-of-order')).detail,
      ).toMatch(missing)
    await doStep(makeId, 'preparation')
    const again = await refused(`/makes/${makeId}/preparation`, STEPS.preparation?.() ?? {}, 409)
    expect(again.detail).toMatch(/already has/)
    expect((await refused(`/makes/${makeId}/torque`, torque(38), 409)).detail).toMatch(/flare first/)
  })
})

describe('a making', () => {
  it('after the first needs a reason, and the one before takes no more steps', async () => {
    const { jointId, makeId } = await aJoint('flare')
    await doStep(makeId, 'preparation')
    const without = await refused(`/joints/${jointId}/makes`, { jobId }, 400)
    expect(without.errors).toEqual([{ path: 'reason', message: 'Say why making 2 is needed.' }])
    const second = await ok(`/joints/${jointId}/makes`, { jobId, reason: 'The tube was cut too short.' })
    expect(second).toMatchObject({ number: 2, reason: 'The tube was cut too short.' })
    const late = await refused(`/makes/${makeId}/flare`, STEPS.flare?.() ?? {}, 409, 'step-out-of-order')
    expect(late.detail).toMatch(/replaced by making 2/)
    const { makes } = (await faces.get(cast.tess, `/joints/${jointId}`)).json()
    expect(makes.map((make: { current: boolean }) => make.current)).toEqual([false, true])
    expect(makes[0].steps).toHaveLength(1)
  })

  it('whose flare was rejected takes nothing but the next making', async () => {
    const { jointId, makeId } = await aJoint('flare')
    await doStep(makeId, 'preparation')
    await doStep(makeId, 'flare')
    const rejected = await doStep(makeId, 'inspection', {
      points: { even: 'yes', smooth: 'yes', centred: 'yes', noCracks: 'no', noFlatSpots: 'yes' },
      reasons: { noCracks: 'A hairline at the rim.' },
      outcome: 'rejected',
    })
    expect(rejected).toMatchObject({ outcome: 'rejected', reasons: { noCracks: 'A hairline at the rim.' } })
    expect(rejected.next).toMatchObject({ step: null, reason: expect.stringContaining('start making 2') })
    for (const step of ['inspection', 'assembly', 'torque', 'leak-check'])
      await refused(`/makes/${makeId}/${step}`, STEPS[step]?.() ?? {}, 409, 'step-out-of-order')
    const { id } = await ok(`/joints/${jointId}/makes`, { jobId, reason: 'Cracked.' })
    await upTo(id, 'leak-check')
  })

  it('of a factory end that was cut off is field work', async () => {
    const { jointId } = await aJoint('flare', { origin: 'factory' })
    const { id } = await ok(`/joints/${jointId}/makes`, { jobId, reason: 'The factory flare was dented.' })
    expect((await doStep(id, 'preparation')).next.step).toBe('flare')
  })

  it('does not begin on a joint that was retired, nor on one that was left out', async () => {
    const { jointId, makeId } = await aJoint('flare')
    await ok(`/joints/${jointId}/retire`, { jobId, reason: 'The line was cut out.' })
    await refused(`/joints/${jointId}/makes`, { jobId, reason: 'again' }, 409, 'joint-retired')
    await refused(`/makes/${makeId}/preparation`, STEPS.preparation?.() ?? {}, 409, 'step-out-of-order')
    const { jointId: left } = await aJoint('flare', { make: false })
    await ok(`/jobs/${jobId}/left-out`, { jointId: left, reason: 'Not reached today.' })
    await refused(`/joints/${left}/makes`, { jobId }, 409, 'joint-left-out')
  })
})

describe('a torque', () => {
  it('that is too high asks for an inspection, then takes another torque', async () => {
    const { makeId } = await aJoint('flare')
    await upTo(makeId, 'assembly')
    const high = await doStep(makeId, 'torque', torque(47))
    expect(high).toMatchObject({ verdict: 'high', next: { step: 'inspection' } })
    await refused(`/makes/${makeId}/torque`, torque(38), 409, 'step-out-of-order')
    expect((await doStep(makeId, 'inspection')).next.step).toBe('torque')
    expect(await doStep(makeId, 'torque')).toMatchObject({
      verdict: 'in-range',
      next: { step: 'leak-check' },
    })
  })

  it('that is too high and finds a bad flare leaves only the next making', async () => {
    const { makeId } = await aJoint('flare')
    await upTo(makeId, 'assembly')
    await doStep(makeId, 'torque', torque(60))
    const rejected = await doStep(makeId, 'inspection', { ...STEPS.inspection?.(), outcome: 'rejected' })
    expect(rejected.next.step).toBeNull()
    await refused(`/makes/${makeId}/torque`, torque(38), 409, 'step-out-of-order')
  })

  it('that is too low is brought up in the same making, and every pull stays', async () => {
    const { jointId, makeId } = await aJoint('flare')
    await upTo(makeId, 'assembly')
    expect(await doStep(makeId, 'torque', torque(30))).toMatchObject({
      verdict: 'low',
      next: { step: 'torque' },
    })
    expect(await doStep(makeId, 'torque')).toMatchObject({
      verdict: 'in-range',
      next: { step: 'leak-check' },
    })
    const { makes } = (await faces.get(cast.tess, `/joints/${jointId}`)).json()
    const pulls = makes[0].steps.filter((step: { kind: string }) => step.kind === 'torque')
    expect(pulls.map((step: { reading: { value: number } }) => step.reading.value)).toEqual([30, 38])
    // One more pull, and the leak check has to be done again.
    await doStep(makeId, 'leak-check')
    cast.clock.pass(MINUTE)
    expect((await doStep(makeId, 'torque', torque(39))).next.step).toBe('leak-check')
  })

  // US Army TM 9-254 and US Navy aviation training: the setting S gives the torque T at the nut.
  it.each([
    ['30 ft·lb with a quarter foot on a foot', { value: 24, unit: 'ft.lbf' }, [0.25, 1, 'ft'], 0, 30],
    ['135 in·lb lengthened', { value: 117.391304, unit: 'in.lbf' }, [1.5, 10, 'in'], 0, 135],
    ['135 in·lb turned back', { value: 158.823529, unit: 'in.lbf' }, [-1.5, 10, 'in'], 0, 135],
    ['135 in·lb turned back by its angle', { value: 158.823529, unit: 'in.lbf' }, [1.5, 10, 'in'], 180, 135],
    ['100 in·lb with half the wrench', { value: 66.666667, unit: 'in.lbf' }, [6, 12, 'in'], 0, 100],
    ['a right angle, which changes nothing', { value: 100, unit: 'in.lbf' }, [6, 12, 'in'], 90, 100],
  ] as const)(
    'through an adapter is reckoned at the nut: %s',
    async (_, reading, [offset, length, unit], angle, wanted) => {
      const { makeId } = await aJoint('flare')
      await upTo(makeId, 'assembly')
      const answer = await doStep(makeId, 'torque', {
        ...torque(0),
        reading,
        adapter: {
          offset: { value: offset, unit },
          wrenchLength: { value: length, unit },
          ...(angle === 0 ? {} : { angleDegrees: angle }),
        },
      })
      expect(answer.applied.unit).toBe(reading.unit)
      expect(answer.applied.value).toBeCloseTo(wanted, 4)
      expect(answer.reading).toEqual(reading)
      expect(answer.adapter).toEqual({
        offset: { value: offset, unit },
        wrenchLength: { value: length, unit },
        angleDegrees: angle,
      })
    },
  )

  it('that nobody measured needs a reason, is recorded, and stays open', async () => {
    const { jointId, makeId } = await aJoint('flare')
    await upTo(makeId, 'assembly')
    const paths = async (body: object) =>
      (await refused(`/makes/${makeId}/torque`, body, 400)).errors.map((one: { path: string }) => one.path)
    expect(await paths({ indication: 'not-measured' })).toEqual(['reason'])
    expect(await paths({ indication: 'angle-by-manual', angleDegrees: 60 })).toEqual(['reason'])
    expect(await paths({ indication: 'angle-by-manual', reason: 'No room.' })).toEqual(['angleDegrees'])
    expect(await paths({ indication: 'read', instrumentId: zone.instruments.torqueWrench })).toEqual([
      'reading.value',
    ])
    expect(await paths({ indication: 'read', reading: { value: 38, unit: 'N.m' } })).toEqual(['instrumentId'])
    const angle = { indication: 'angle-by-manual', angleDegrees: 60, reason: 'No room for the wrench.' }
    expect(await doStep(makeId, 'torque', angle)).toMatchObject({
      ...angle,
      verdict: 'not-measured',
      applied: null,
    })
    expect(
      await doStep(makeId, 'torque', { indication: 'not-measured', reason: 'The wrench broke.' }),
    ).toMatchObject({
      verdict: 'not-measured',
    })
    const points = (await faces.get(cast.tess, `/jobs/${jobId}/hold-points`)).json()
    const mine = points.find(
      (one: { requirement: string; subject: { id: string } }) =>
        one.requirement === 'joint-torque-in-range' && one.subject.id === jointId,
    )
    expect(mine).toMatchObject({ outcome: 'open', concedable: false })
    expect(mine.reason).toContain('The wrench broke.')
  })

  it.each([
    [{ value: 28, unit: 'ft.lbf' }],
    [{ value: 336.5, unit: 'in.lbf' }],
    [{ value: 387.5, unit: 'kgf.cm' }],
    [{ value: 38.01, unit: 'N.m' }],
  ])('is kept as it was typed: %o', async (reading) => {
    const { jointId, makeId } = await aJoint('flare')
    await upTo(makeId, 'assembly')
    expect((await doStep(makeId, 'torque', { ...torque(0), reading })).verdict).toBe('in-range')
    const { makes } = (await faces.get(cast.tess, `/joints/${jointId}`)).json()
    expect(makes[0].steps.at(-1).reading).toEqual(reading)
  })
})

describe('what is typed', () => {
  it('of a flare, an inspection and a leak check is kept in its own unit', async () => {
    const { jointId, makeId } = await aJoint('flare')
    await doStep(makeId, 'preparation')
    await doStep(makeId, 'flare', { ...STEPS.flare?.(), projection: { value: 0.039, unit: 'in' } })
    await doStep(makeId, 'inspection', {
      allAsListed: true,
      diameterCheck: 'measured',
      outerDiameter: { value: 0.512, unit: 'in' },
      outcome: 'accepted',
    })
    await doStep(makeId, 'assembly')
    await doStep(makeId, 'torque')
    await doStep(makeId, 'leak-check', {
      method: 'refrigerant-detector',
      medium: 'refrigerant',
      instrumentId: zone.instruments.leakDetector,
      gaugePressure: { value: 165, unit: 'psi' },
      sensitivity: { value: 4, unit: 'g/yr' },
      sensitivitySource: 'trial-leak',
      checkedOnTrialLeak: true,
      result: 'found',
      where: 'under the nut',
    })
    const { makes } = (await faces.get(cast.tess, `/joints/${jointId}`)).json()
    const of = (kind: string) => makes[0].steps.find((step: { kind: string }) => step.kind === kind)
    expect(of('flare').projection).toEqual({ value: 0.039, unit: 'in' })
    expect(of('inspection').outerDiameter).toEqual({ value: 0.512, unit: 'in' })
    expect(of('leak-check')).toMatchObject({
      gaugePressure: { value: 165, unit: 'psi' },
      sensitivity: { value: 4, unit: 'g/yr' },
      result: 'found',
      where: 'under the nut',
    })
  })

  it('as points is told apart: one by one, as plain yes and no, or all as listed', async () => {
    const { makeId } = await aJoint('flare')
    const path = `/makes/${makeId}/preparation`
    const paths = async (body: object) =>
      (await refused(path, body, 400)).errors.map((one: { path: string }) => one.path)
    expect(await paths({ squareCut: true })).toEqual([
      'points.deburred',
      'points.burrsKeptOut',
      'points.tubeClean',
      'points.nutOn',
    ])
    expect(await paths({ allAsListed: true, squareCut: false })).toEqual(['points.squareCut'])
    expect(await paths({ allAsListed: true, points: { nutOn: 'not-applicable' } })).toEqual([
      'points.nutOn',
      'reasons.nutOn',
    ])
    const four = { squareCut: true, deburred: true, burrsKeptOut: true, tubeClean: true }
    expect(await paths({ ...four, points: { nutOn: 'no' } })).toEqual(['reasons.nutOn'])
    expect(await ok(path, { ...four, nutOn: false })).toMatchObject({
      points: { squareCut: 'yes', nutOn: 'no' },
      reasons: {},
      allAsListed: false,
    })
    const { makeId: other } = await aJoint('flare')
    const excepted = await ok(`/makes/${other}/preparation`, {
      ...four,
      points: { nutOn: 'not-applicable' },
      reasons: { nutOn: 'Split nut.' },
    })
    expect(excepted).toMatchObject({ points: { nutOn: 'not-applicable' }, reasons: { nutOn: 'Split nut.' } })
    const { makeId: third } = await aJoint('flare')
    expect(await ok(`/makes/${third}/preparation`, { allAsListed: true })).toMatchObject({
      points: { squareCut: 'yes', deburred: 'yes', burrsKeptOut: 'yes', tubeClean: 'yes', nutOn: 'yes' },
      allAsListed: true,
    })
  })
})

describe('who did it and when', () => {
  it('is kept apart from who typed it and when', async () => {
    const { makeId } = await aJoint('flare')
    const performedAt = new Date(NOON - 3 * HOUR).toISOString()
    const who = {
      performedBy: cast.sam.memberId,
      supervisedBy: cast.olga.crewId,
      witnessedBy: cast.wren.crewId,
      performedAt,
    }
    expect(await ok(`/makes/${makeId}/preparation`, { allAsListed: true, ...who })).toMatchObject({
      performedBy: cast.sam.crewId,
      supervisedBy: cast.olga.crewId,
      witnessedBy: cast.wren.crewId,
      performedAt,
      recordedBy: cast.tess.memberId,
      recordedAt: new Date(cast.clock.now).toISOString(),
    })
  })

  it('may lie long ago, or as far ahead as a phone’s clock is off, and no further', async () => {
    const at = (milliseconds: number) => ({
      allAsListed: true,
      performedAt: new Date(cast.clock.now + milliseconds).toISOString(),
    })
    const long = await aJoint('flare')
    expect((await ok(`/makes/${long.makeId}/preparation`, at(-400 * DAY))).performedAt).toBe(
      new Date(cast.clock.now - 400 * DAY).toISOString(),
    )
    const ahead = await aJoint('flare')
    const future = await refused(`/makes/${ahead.makeId}/preparation`, at(3 * MINUTE), 400)
    expect(future.errors).toEqual([{ path: 'performedAt', message: 'This lies in the future.' }])
    expect((await ok(`/makes/${ahead.makeId}/preparation`, at(MINUTE))).performedAt).toBe(
      new Date(cast.clock.now).toISOString(),
    )
  })

  it.each(['performedBy', 'supervisedBy', 'witnessedBy'])(
    'can not be somebody of another company: %s',
    async (name) => {
      const { makeId } = await aJoint('flare')
      for (const person of [cast.zoe.crewId, cast.zoe.memberId]) {
        const answer = await refused(
          `/makes/${makeId}/preparation`,
          { allAsListed: true, [name]: person },
          404,
        )
        expect(answer.errors[0].path).toBe(name)
      }
    },
  )
})

describe('several steps at once', () => {
  it('are recorded in order, or none of them', async () => {
    const one = await aJoint('flare')
    const two = await aJoint('flare')
    const steps = [one.makeId, two.makeId].flatMap((makeId) => [
      { step: 'preparation', makeId, allAsListed: true },
      { step: 'flare', makeId, ...STEPS.flare?.() },
    ])
    const early = await refused(
      `/jobs/${jobId}/steps`,
      { steps: [...steps].reverse() },
      409,
      'step-out-of-order',
    )
    expect(early.errors[0].path).toMatch(/^steps\.0/)
    const wrong = await refused(
      `/jobs/${jobId}/steps`,
      { steps: [...steps, { step: 'torque', makeId: one.makeId, ...torque(38) }] },
      409,
      'step-out-of-order',
    )
    expect(wrong.errors[0].path).toMatch(/^steps\.4/)
    for (const { jointId } of [one, two])
      expect((await faces.get(cast.tess, `/joints/${jointId}`)).json().makes[0].steps).toEqual([])
    const answer = await ok(`/jobs/${jobId}/steps`, { steps })
    expect(answer.steps.map((step: { kind: string }) => step.kind)).toEqual([
      'preparation',
      'flare',
      'preparation',
      'flare',
    ])
  })
})

describe('a job', () => {
  it('other than the making’s own can take a step, where it is open and of the same system', async () => {
    const { makeId } = await aJoint('flare')
    await upTo(makeId, 'assembly')
    const here = (await faces.get(cast.tess, `/jobs/${jobId}`)).json()
    const visit = await ok('/jobs', { siteId: here.siteId, kind: 'maintenance', systemIds: [zone.systemId] })
    const step = await ok(`/makes/${makeId}/torque`, { ...torque(38), jobId: visit.id })
    expect(step.jobId).toBe(visit.id)
    const elsewhere = await aFreshJob(cast, 'elsewhere')
    const answer = await refused(`/makes/${makeId}/torque`, { ...torque(38), jobId: elsewhere.jobId }, 409)
    expect(answer).toMatchObject({ code: 'not-on-this-job', errors: [{ path: 'jobId' }] })

    await cast.store.store.execute(`update jobs set stage = 'sealed' where id = '${visit.id}'`)
    await refused(`/makes/${makeId}/torque`, { ...torque(38), jobId: visit.id }, 409, 'job-sealed')
    await cast.store.store.execute(`update jobs set stage = 'submitted' where id = '${visit.id}'`)
    await refused(`/makes/${makeId}/torque`, { ...torque(38), jobId: visit.id }, 409, 'job-submitted')
    await ok(`/makes/${makeId}/leak-check`, STEPS['leak-check']?.() ?? {})
  })
})
