// What comes back: are the page's figures those of the API, and are figures by person shown to whom the policy says?

import { parse } from 'node-html-parser'
import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import { SESSION_COOKIE } from '../../server/access/sessions.ts'
import { closeCallback } from '../../server/commands/callbacks/close-callback.ts'
import { openCallback } from '../../server/commands/callbacks/open-callback.ts'
import { signOffJob } from '../../server/commands/release/sign-off-job.ts'
import { submitJob } from '../../server/commands/release/submit-job.ts'
import { sightOfPersons } from '../../server/http/reliability.ts'
import { ROLES } from '../../server/vocabulary.ts'
import { aCast, type Cast, DAY } from '../support/cast.ts'
import { STORE_KINDS } from '../support/stores.ts'
import { twoFaces } from '../support/two-faces.ts'
import { aWholeJob, type Whole } from '../support/worked.ts'

interface Group {
  key: string
  label: string
  joints: number
  jointYears: number
  events: number
  flagged: boolean
  interval: [number, number] | null
}

it.each([
  ['off', { technician: 'none', manager: 'none', owner: 'none', warranty: 'none' }],
  ['own-only', { technician: 'own', manager: 'own', owner: 'own', warranty: 'none' }],
  ['managers', { technician: 'own', manager: 'all', owner: 'all', warranty: 'none' }],
] as const)('figures by person, when the policy says %s', (personFigures, sight) => {
  expect(Object.fromEntries(ROLES.map((role) => [role, sightOfPersons(role, { personFigures })]))).toEqual(
    sight,
  )
})

describe.each(STORE_KINDS)('what comes back, on %s', (kind) => {
  let cast: Cast
  let faces: Awaited<ReturnType<typeof twoFaces>>
  let first: Whole
  const ask = async (query: string, player = cast.sam): Promise<Group[]> => {
    const answer = await faces.get(player, `/reliability${query}`)
    expect(answer.statusCode, answer.body).toBe(200)
    return answer.json()
  }

  beforeAll(async () => {
    cast = await aCast(kind)
    faces = await twoFaces(cast)
    for (const mark of ['1', '2']) {
      const work = await aWholeJob(cast, mark)
      first ??= work
      await cast.run(cast.tess, submitJob, { jobId: work.jobId })
      await cast.run(cast.sam, signOffJob, { jobId: work.jobId })
    }
    cast.clock.pass(100 * DAY)
    const callback = await cast.run(cast.wren, openCallback, {
      systemId: first.zone.systemId,
      symptom: 'Cools no more',
    })
    await cast.run(cast.wren, closeCallback, {
      callbackId: callback.id,
      outcome: 'found',
      found: [
        {
          part: 'joint',
          jointId: first.zone.joints.indoorGas,
          where: 'flare-face',
          method: 'bubble',
          cause: 'crack',
        },
      ],
    })
    cast.clock.pass(100 * DAY)
    // Nobody stays signed in for so long.
    for (const player of [cast.sam, cast.wren])
      player.cookie = `${SESSION_COOKIE}=${await cast.deps.sessions.start(player.personId, player.companyId)}`
  }, 120_000)
  afterAll(() => cast.remove())

  it('counts the joints that were made and signed off, from sign-off to the leak or now', async () => {
    const groups = await ask('?by=position')
    const gas = groups.find(({ label }) => label === 'indoor end, gas line')
    expect(gas).toMatchObject({ joints: 2, events: 1, flagged: false })
    // One joint for 100 days until it leaked, one for 200 until now.
    expect(gas?.jointYears).toBeCloseTo(300 / 365.25, 2)
    expect(groups.reduce((sum, { events }) => sum + events, 0)).toBe(1)
    // Garwood for one event: 0.0253 to 5.572.
    expect(gas?.interval?.[1]).toBeCloseTo((5.572 * 1000) / (300 / 365.25), -1)
  })

  it('leaves out what lies outside the days that were asked for', async () => {
    const before = await ask('?by=position&to=2026-05-01')
    expect(before.reduce((sum, { events }) => sum + events, 0)).toBe(0)
    expect((await ask('?by=position&from=2026-08-01')).reduce((sum, { events }) => sum + events, 0)).toBe(0)
    const wrong = await faces.get(cast.sam, '/reliability?from=2026-08-01&to=2026-01-01')
    expect(wrong.json()).toMatchObject({ status: 400, errors: [{ path: 'to' }] })
    const nonsense = await faces.get(cast.sam, '/reliability?by=luck')
    expect(nonsense.json()).toMatchObject({ status: 400, errors: [{ path: 'by' }] })
  })

  it('shows the same figures on the page, and says that so few leaks prove nothing', async () => {
    for (const query of ['?by=position', '?by=flaringTool&also=position', '?by=month']) {
      const groups = await ask(query)
      const page = await faces.look(cast.sam, `/reliability${query}`)
      expect(page.statusCode).toBe(200)
      const rows = parse(page.body)
        .querySelectorAll('section[aria-label="All groups"] tbody tr')
        .map((row) => row.querySelectorAll('th, td').map((cell) => cell.text.trim()))
      expect(rows.map(([label, joints, years, events]) => [label, joints, years, events])).toEqual(
        groups.map(({ label, joints, jointYears, events }) => [
          label,
          String(joints),
          jointYears.toFixed(1),
          String(events),
        ]),
      )
      expect(page.body).toContain('Too few leaks for any group to stand out')
    }
  })

  it('says the same of all joints together on the page and to programs', async () => {
    const all = (await faces.get(cast.sam, '/reliability/overview')).json()
    expect(all.all).toMatchObject({ joints: 8, events: 1 })
    expect(all.firstPass).toMatchObject({ inspected: 8, accepted: 8 })
    expect(all.causes).toEqual([{ cause: 'crack', number: 1 }])
    const sum = (key: string) =>
      all.months.reduce((total: number, month: Record<string, number>) => total + (month[key] ?? 0), 0)
    expect([sum('signedOff'), sum('leaks')]).toEqual([8, 1])
    expect(sum('jointYears')).toBeCloseTo(all.all.jointYears, 9)
    expect(all.survival.at(-1)).toMatchObject({ share: 7 / 8 })
    const page = parse((await faces.look(cast.sam, '/reliability')).body)
    for (const [labelled, rows] of [
      ['months', all.months.filter((month: { jointYears: number }) => month.jointYears > 0).length],
      ['causes', 1],
      ['still-tight', all.survival.length],
    ])
      expect(page.querySelectorAll(`section[aria-labelledby="${labelled}"] tbody tr`), labelled).toHaveLength(
        rows,
      )
    // Nothing was inspected, and nothing found, on days after that.
    const later = (await faces.get(cast.sam, '/reliability/overview?from=2026-09-01')).json()
    expect(later).toMatchObject({ firstPass: null, causes: [], all: { events: 0 } })
    expect((await faces.get(cast.sam, '/reliability/overview?from=soon')).statusCode).toBe(400)
  })

  it('charts the torques that were read on a size, with a table behind it', async () => {
    const chart = (await faces.get(cast.sam, '/reliability/torque?size=0.009525')).json()
    expect(chart.nuts.map(({ torque }: { torque: unknown }) => torque)).toEqual(
      Array(4).fill({ value: 38, unit: 'N.m' }),
    )
    expect(chart).toMatchObject({
      chart: { mean: 38, outside: [] },
      range: { lowNm: 34, highNm: 42 },
      // Every nut the same: nothing can be said of how they spread.
      capability: { cp: null, cpk: null },
    })
    const page = parse((await faces.look(cast.wren, '/reliability/torque?size=0.009525')).body)
    expect(page.querySelectorAll('.curve-reading circle').length).toBeGreaterThanOrEqual(4)
    expect(page.querySelectorAll('.curve-table tbody tr')).toHaveLength(4)
    const none = await faces.get(cast.sam, '/reliability/torque?to=2020-01-01')
    expect(none.json()).toMatchObject({ nuts: [], chart: null, capability: null })
    const stranger = (await faces.get(cast.zoe, '/reliability/torque?size=0.009525')).json()
    expect(stranger).toMatchObject({ tubeOd: null, nuts: [] })
  })

  it('leads from a group to its joints, the one that leaked first', async () => {
    const group = (await ask('?by=position')).find(({ label }) => label === 'indoor end, gas line')
    const path = `/reliability/joints?by=position&key=${encodeURIComponent(group?.key ?? '')}`
    const joints = (await faces.get(cast.wren, path)).json()
    expect(joints).toHaveLength(2)
    expect(joints[0]).toMatchObject({ jointId: first.zone.joints.indoorGas, leak: { cause: 'crack' } })
    expect(joints[1]).toMatchObject({ leak: null, endedAt: null })
    const page = await faces.look(cast.wren, path)
    expect(page.body).toContain(`/joints/${first.zone.joints.indoorGas}`)
  })

  it('tells at the joint that it came back, and of no other', async () => {
    const { indoorGas, indoorLiquid } = first.zone.joints
    const [callback] = (await faces.get(cast.wren, `/joints/${indoorGas}/history`)).json().callbacks
    expect(callback).toMatchObject({ outcome: 'found', found: [{ jointId: indoorGas, cause: 'crack' }] })
    expect((await faces.get(cast.wren, `/joints/${indoorLiquid}/history`)).json().callbacks).toEqual([])
    const page = parse((await faces.look(cast.wren, `/joints/${indoorGas}`)).body)
    const told = page.querySelector('section[aria-labelledby="came-back"]')
    expect(told?.querySelector('a')?.getAttribute('href')).toBe(`/callbacks/${callback.id}`)
    expect(told?.text).toContain('crack')
    expect((await faces.look(cast.wren, `/joints/${indoorLiquid}`)).body).not.toContain('It came back')
  })

  it('tells a technician only of their own joints, the desk of nobody, and a manager of all', async () => {
    expect((await ask('?by=technician')).map(({ label }) => label)).toEqual(['Tess'])
    expect((await ask('?by=technician', cast.tess)).map(({ label }) => label)).toEqual(['Tess'])
    const desk = await faces.get(cast.wren, '/reliability?by=technician')
    expect(desk.statusCode).toBe(403)
    for (const query of ['?by=technician', '?by=position&also=technician'])
      expect((await faces.look(cast.wren, `/reliability${query}`)).statusCode).toBe(403)
    const own = parse((await faces.look(cast.wren, '/reliability')).body)
    expect(
      own.querySelectorAll('select[name=by] option').map((one) => one.getAttribute('value')),
    ).not.toContain('technician')
    // Olga made none of them: as an owner she sees all, with figures of one's own she would see none.
    expect(await ask('?by=technician', cast.olga)).toHaveLength(1)
  })
})
