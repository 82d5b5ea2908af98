// Does an evacuation behave the same as a page and as JSON, and for those who may not?

import { parse as parseHtml } from 'node-html-parser'
import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import { newId } from '../../server/ids.ts'
import { aCast, type Cast, MINUTE, NOON } from '../support/cast.ts'
import { aSection, type ReadySection } from '../support/section.ts'
import { twoFaces } from '../support/two-faces.ts'

let cast: Cast
let section: ReadySection
let faces: Awaited<ReturnType<typeof twoFaces>>
beforeAll(async () => {
  cast = await aCast()
  section = await aSection(cast)
  faces = await twoFaces(cast)
})
afterAll(() => cast.remove())

const at = (minutes: number) => new Date(NOON + minutes * MINUTE).toISOString()
const where = () => `/systems/${section.systemId}/evacuations`
const setUp = (more: object = {}) => ({
  jobId: section.jobId,
  gaugeInstrumentId: section.vacuumGauge,
  gaugeAt: 'far-side',
  isolatedAt: 'core-tool',
  ...more,
})
const start = async (more: object = {}): Promise<string> =>
  (await faces.post(cast.tess, where(), setUp(more))).json().id
const reading = (minutes: number, phase: string, value: number, unit = 'micron') => ({
  at: at(minutes),
  phase,
  absolutePressure: { value, unit },
})
const decay = (micron: (minute: number) => number) =>
  Array.from({ length: 16 }, (_, minute) => reading(minute - 20, 'decay', Math.round(micron(minute))))

describe('as JSON', () => {
  it('goes from start to verdict, in the unit of the caller', async () => {
    const started = await faces.post(
      cast.tess,
      where(),
      setUp({ covers: [{ lineSetId: section.lineSetId }] }),
    )
    expect(started.statusCode).toBe(201)
    expect(started.json()).toMatchObject({
      covers: [{ lineSetId: section.lineSetId }],
      gaugeAt: 'far-side',
      isolatedAt: 'core-tool',
      verdict: null,
    })
    const { id } = started.json()
    const read = await faces.post(cast.tess, `/evacuations/${id}/readings`, [
      reading(-60, 'pull', 5000),
      reading(-21, 'pull', 300),
      ...decay((minute) => 310 + 200 * (1 - Math.exp(-minute / 3))),
    ])
    expect(read.statusCode).toBe(201)
    expect(read.json().readings).toHaveLength(18)
    const answer = (await faces.post(cast.tess, `/evacuations/${id}/conclude`)).json()
    expect(answer).toMatchObject({
      verdict: 'tight',
      curve: { kind: 'saturating', startPressure: { unit: 'micron' } },
      lowestPressure: { value: 300, unit: 'micron' },
      target: { value: expect.closeTo(500, 0), unit: 'micron' },
      limit: { value: expect.closeTo(1500, 0), unit: 'micron' },
      reasons: [],
      minutesToDecide: null,
    })
    expect(answer.curve.plateau.value).toBeCloseTo(510, -1)
    expect(answer.curve.timeConstant).toEqual({ value: expect.closeTo(3, 0), unit: 'min' })
    expect((await faces.get(cast.tess, `/evacuations/${id}`)).json()).toEqual(answer)
    const late = await faces.post(cast.tess, `/evacuations/${id}/conclude`)
    expect([late.statusCode, late.json().code]).toEqual([409, 'test-concluded'])
  })

  it('says how many minutes are still needed when it can not tell yet', async () => {
    const id = await start()
    await faces.post(cast.tess, `/evacuations/${id}/readings`, [
      reading(-21, 'pull', 300),
      ...decay((minute) => 310 + 8 * minute).slice(0, 8),
    ])
    const running = parseHtml((await faces.look(cast.tess, `/evacuations/${id}`)).body)
    expect(running.text).toContain('So far: Cannot tell yet.')
    expect(running.text).toContain('Enough time has passed: the next reading should decide it.')
    const answer = (await faces.post(cast.tess, `/evacuations/${id}/conclude`)).json()
    expect(answer.verdict).toBe('cannot-tell')
    expect(answer.minutesToDecide).toBeGreaterThan(0)
    expect(answer.reasons.map((reason: { code: string }) => reason.code)).toContain('hold-too-short')
  })

  it('says what to do while it runs, and when the next reading is due', async () => {
    const id = await start()
    const page = async () => parseHtml((await faces.look(cast.tess, `/evacuations/${id}`)).body)
    const read = (...readings: object[]) => faces.post(cast.tess, `/evacuations/${id}/readings`, readings)
    expect((await page()).text).toContain('before you isolate it')
    await read(reading(-9, 'pull', 300))
    expect((await page()).text).toContain('The target is reached. Isolate it from the pump')
    expect((await page()).querySelector('[data-due]')).toBeNull()
    await read(reading(-8, 'decay', 305), reading(-1, 'decay', 305))
    const due = (await page()).querySelector('[data-due]')
    expect([due?.getAttribute('data-due'), due?.getAttribute('class')]).toEqual([at(0), 'due due-now'])
    expect((await page()).text).toContain('About 2 more minutes should decide it, until 15:02')
    await read(reading(0, 'decay', 306))
    const next = (await page()).querySelector('[data-due]')
    expect(next?.getAttribute('data-due')).toBe(at(1))
    expect(next?.text).toContain('Next reading at 15:01 UTC, in 01:00')
    expect((await page()).querySelector('a[href$="/log"]')).not.toBeNull()
  })

  it('is not for the signed out, the warranty desk or another company', async () => {
    const id = await start()
    const count = await faces.entries()
    for (const [url, body] of [
      [where(), setUp()],
      [`/evacuations/${id}/readings`, [reading(-5, 'pull', 900)]],
      [`/evacuations/${id}/conclude`, {}],
    ] as const) {
      expect((await faces.post(null, url, body)).statusCode).toBe(401)
      expect((await faces.post(cast.wren, url, body)).statusCode).toBe(403)
      expect((await faces.post(cast.zoe, url, body)).statusCode).toBe(404)
    }
    expect((await faces.get(cast.zoe, `/evacuations/${id}`)).statusCode).toBe(404)
    expect((await faces.look(cast.zoe, `/evacuations/${id}`)).statusCode).toBe(404)
    expect((await faces.look(cast.zoe, `${where()}/new`)).statusCode).toBe(404)
    // An evacuation is no pressure test.
    expect((await faces.get(cast.tess, `/pressure-tests/${id}`)).statusCode).toBe(404)
    expect(await faces.entries()).toBe(count)
  })

  it.each([
    ['no gauge', { gaugeInstrumentId: undefined }, 400, 'gaugeInstrumentId'],
    ['a wrench for a gauge', { gaugeInstrumentId: 'wrench' }, 400, 'gaugeInstrumentId'],
    ['a gauge nowhere known', { gaugeAt: 'roof' }, 400, 'gaugeAt'],
    ['no job', { jobId: undefined }, 400, 'jobId'],
    ['a job that is not there', { jobId: newId() }, 404, undefined],
    ['the future', { performedAt: at(600) }, 400, 'performedAt'],
    ['a section that is not there', { covers: [{ unitId: newId() }] }, 404, 'covers.0.unitId'],
    ['an unknown field', { medium: 'nitrogen' }, 400, 'medium'],
  ])('refuses a start with %s', async (_, more, status, path) => {
    const count = await faces.entries()
    const body = setUp(more) as { gaugeInstrumentId?: string }
    if (body.gaugeInstrumentId === 'wrench') body.gaugeInstrumentId = section.wrench
    const answer = await faces.post(cast.tess, where(), body)
    expect(answer.statusCode).toBe(status)
    if (path !== undefined) expect(answer.json().errors[0].path).toBe(path)
    expect(await faces.entries()).toBe(count)
  })

  it.each([
    ['no pressure', [{ phase: 'pull' }], 'readings.0.absolutePressure'],
    ['less than nothing', [reading(-5, 'pull', -1)], 'readings.0.absolutePressure.value'],
    ['far above the air', [reading(-5, 'pull', 42, 'bar')], 'readings.0.absolutePressure.value'],
    ['a pressure in grams', [reading(-5, 'pull', 42, 'g')], 'readings.0.absolutePressure.unit'],
    ['a phase nobody knows', [reading(-5, 'rest', 42)], 'readings.0.phase'],
    ['the future', [reading(60, 'pull', 42)], 'readings.0.at'],
  ])('refuses readings with %s', async (_, readings, path) => {
    const id = await start()
    const count = await faces.entries()
    const answer = await faces.post(cast.tess, `/evacuations/${id}/readings`, readings)
    expect([answer.statusCode, answer.json().errors[0].path]).toEqual([400, path])
    expect(await faces.entries()).toBe(count)
  })
})

describe('as pages', () => {
  it('asks for the gauge and names the target and the limit with their source', async () => {
    const page = parseHtml((await faces.look(cast.tess, `${where()}/new?jobId=${section.jobId}`)).body)
    expect(page.querySelector('h1')?.text).toBe('Evacuation of Hall')
    expect(page.text).toContain('500')
    expect(page.text).toContain('1500')
    expect(page.text).toContain('built in')
    const id = page.querySelector('main form input[name=id]')?.getAttribute('value') ?? ''
    const fields = { id, jobId: section.jobId, gaugeInstrumentId: section.vacuumGauge, gaugeAt: 'far-side' }
    for (const _ of [1, 2]) {
      const answer = await faces.send(cast.tess, where(), fields)
      expect([answer.statusCode, answer.headers.location]).toEqual([303, `/evacuations/${id}`])
    }
  })

  it('draws the decay, counts the time isolated, and ends with a verdict and what to do', async () => {
    const id = await start()
    await faces.post(cast.tess, `/evacuations/${id}/readings`, [
      reading(-21, 'pull', 300),
      ...decay((minute) => 310 + 100 * minute),
    ])
    const running = parseHtml((await faces.look(cast.tess, `/evacuations/${id}`)).body)
    expect(running.querySelector('.clock')?.getAttribute('data-since')).toBe(at(-20))
    expect(running.text).toContain('As it stands: Leak.')
    expect(running.querySelectorAll('figure.curve').length).toBe(2)
    const sent = await faces.send(cast.tess, `/evacuations/${id}/conclude`, {})
    expect(sent.statusCode).toBe(303)
    const done = parseHtml((await faces.look(cast.tess, `/evacuations/${id}`)).body)
    expect(done.querySelector('.why')?.text).toContain('isolate closer')
    expect(done.querySelector('button.do')).toBeNull()
  })

  it('takes a reading without a temperature, now, and gives back one that can not be', async () => {
    const id = await start()
    const good = await faces.send(cast.tess, `/evacuations/${id}/readings`, {
      'readings.0.phase': 'pull',
      'readings.0.absolutePressure.value': '1 250',
      'readings.0.absolutePressure.unit': 'micron',
      'readings.0.temperature.value': '',
      'readings.0.temperature.unit': 'degC',
      'readings.0.at@': '',
    })
    expect(good.statusCode).toBe(303)
    const { readings } = (await faces.get(cast.tess, `/evacuations/${id}`)).json()
    expect(readings).toMatchObject([
      { at: at(0), absolutePressure: { value: 1250, unit: 'micron' }, temperature: null },
    ])
    const bad = await faces.send(cast.tess, `/evacuations/${id}/readings`, {
      'readings.0.phase': 'pull',
      'readings.0.absolutePressure.value': '-3',
      'readings.0.absolutePressure.unit': 'micron',
    })
    expect(bad.statusCode).toBe(400)
    expect(parseHtml(bad.body).querySelector('.field-wrong .message')?.text).toContain('at least')
  })
})
