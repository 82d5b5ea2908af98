// Does a pressure test behave the same as a page and as JSON, and for those who may not?

import type { FastifyInstance } from 'fastify'
import { parse as parseHtml } from 'node-html-parser'
import { afterAll, beforeAll, beforeEach, describe, expect, it } from 'vitest'
import { newId } from '../../server/ids.ts'
import { aCast, asBrowser, asProgram, type Cast, MINUTE, NOON, type Player } from '../support/cast.ts'
import { aSection, type ReadySection } from '../support/section.ts'

let cast: Cast
let section: ReadySection
let server: FastifyInstance
beforeAll(async () => {
  cast = await aCast()
  section = await aSection(cast)
  server = await cast.server()
})
afterAll(() => cast.remove())

const at = (minutes: number) => new Date(NOON + minutes * MINUTE).toISOString()
const setUp = (more: object = {}) => ({
  jobId: section.jobId,
  medium: 'nitrogen',
  gaugeInstrumentId: section.gauge,
  thermometerInstrumentId: section.thermometer,
  ...more,
})
const reading = (minutes: number, stage: string, value: number, unit = 'MPa', celsius = 22) => ({
  at: at(minutes),
  stage,
  gaugePressure: { value, unit },
  temperature: { value: celsius, unit: 'degC' },
})
const post = (player: Player | null, url: string, payload?: unknown, headers: object = {}) =>
  server.inject({
    method: 'POST',
    url: `/api/v1${url}`,
    headers: { ...(player ? asProgram(player) : {}), ...headers },
    ...(payload === undefined ? {} : { payload: payload as object }),
  })
const get = (player: Player, url: string) =>
  server.inject({ method: 'GET', url: `/api/v1${url}`, headers: asProgram(player) })
const send = (player: Player, url: string, fields: Record<string, string>) =>
  server.inject({
    method: 'POST',
    url,
    headers: { ...asBrowser(player), 'content-type': 'application/x-www-form-urlencoded' },
    payload: new URLSearchParams(fields).toString(),
  })
const look = (player: Player, url: string) =>
  server.inject({ method: 'GET', url, headers: asBrowser(player) })
const start = async (more: object = {}): Promise<string> =>
  (await post(cast.tess, `/systems/${section.systemId}/pressure-tests`, setUp(more))).json().id
const entries = async () =>
  (await cast.store.store.query<{ n: number }>('select count(*) as n from entries'))[0]?.n

describe('as JSON', () => {
  it('goes from start to verdict, in the unit of the caller', async () => {
    const started = await post(cast.tess, `/systems/${section.systemId}/pressure-tests`, setUp())
    expect(started.statusCode).toBe(201)
    expect(started.json()).toMatchObject({
      systemId: section.systemId,
      medium: 'nitrogen',
      covers: [],
      verdict: null,
      readings: [],
      atmosphericPressureSource: 'sea-level',
      absoluteAtmosphericPressure: { value: 101_325, unit: 'Pa' },
      performedAt: at(0),
    })
    const { id } = started.json()
    // A bare array is taken.
    const read = await post(cast.tess, `/pressure-tests/${id}/readings`, [
      reading(-100, 'raise', 602, 'psi'),
      reading(-89, 'hold', 602, 'psi'),
      reading(-20, 'hold', 565, 'psi'),
    ])
    expect(read.statusCode).toBe(201)
    expect(read.json().readings[1]).toMatchObject({
      at: at(-89),
      stage: 'hold',
      gaugePressure: { value: 602, unit: 'psi' },
      temperature: { value: 22, unit: 'degC' },
    })
    const concluded = await post(cast.tess, `/pressure-tests/${id}/conclude`)
    expect(concluded.statusCode).toBe(200)
    const answer = concluded.json()
    expect(answer).toMatchObject({ verdict: 'falls', policyVersion: 1, hold: { value: 69, unit: 'min' } })
    expect(answer.change.unit).toBe('psi')
    expect(answer.change.value).toBeCloseTo(-37, 6)
    expect(answer.expectedGaugePressure).toEqual({ value: expect.closeTo(602, 6), unit: 'psi' })
    expect(answer.idealGasGaugePressure.value).toBeCloseTo(602, 6)
    expect(answer.leakRate.unit).toBe('Pa.m3/s')
    expect(answer.leakRate.value).toBeGreaterThan(0)
    expect(answer.refrigerantPerYear.value).toBeGreaterThan(answer.smallestSeenRefrigerantPerYear.value)
    expect(answer.reasons.map((reason: { code: string }) => reason.code)).toContain('fall-proven')
    expect((await get(cast.tess, `/pressure-tests/${id}`)).json()).toEqual(answer)
    const late = await post(cast.tess, `/pressure-tests/${id}/readings`, [reading(-5, 'hold', 4.15)])
    expect([late.statusCode, late.json().code]).toEqual([409, 'test-concluded'])
  })

  it('records oxygen and says the test is void', async () => {
    const id = await start({ medium: 'oxygen' })
    const answer = (await post(cast.tess, `/pressure-tests/${id}/conclude`)).json()
    expect(answer.verdict).toBe('void')
    expect(answer.reasons[0].code).toBe('wrong-medium')
  })

  it('answers the same request once more, and refuses another with its id', async () => {
    const url = `/systems/${section.systemId}/pressure-tests`
    const body = setUp({ id: newId() })
    const first = await post(cast.tess, url, body)
    const count = await entries()
    const again = await post(cast.tess, url, body)
    expect([first.statusCode, again.statusCode]).toEqual([201, 200])
    expect(again.json()).toEqual(first.json())
    expect((await post(cast.tess, url, { ...body, medium: 'helium' })).statusCode).toBe(409)
    expect(await entries()).toBe(count)
  })

  it('takes readings and a conclusion once by their key', async () => {
    const id = await start()
    const key = { 'idempotency-key': 'reading-1' }
    await post(cast.tess, `/pressure-tests/${id}/readings`, [reading(-5, 'raise', 1)], key)
    const again = await post(cast.tess, `/pressure-tests/${id}/readings`, [reading(-5, 'raise', 1)], key)
    expect(again.statusCode).toBe(200)
    expect((await get(cast.tess, `/pressure-tests/${id}`)).json().readings).toHaveLength(1)
  })
})

describe('who may', () => {
  const places = () => [
    `/systems/${section.systemId}/pressure-tests`,
    `/pressure-tests/${testId}/readings`,
    `/pressure-tests/${testId}/conclude`,
  ]
  let testId: string
  beforeAll(async () => {
    testId = await start()
  })
  const bodyFor = (url: string) =>
    url.endsWith('readings') ? [reading(-5, 'raise', 1)] : url.endsWith('conclude') ? {} : setUp()

  it('is nobody who is signed out, and not the warranty desk', async () => {
    const count = await entries()
    for (const url of places()) {
      expect((await post(null, url, bodyFor(url))).statusCode).toBe(401)
      expect((await post(cast.wren, url, bodyFor(url))).statusCode).toBe(403)
    }
    expect((await get(cast.wren, `/pressure-tests/${testId}`)).statusCode).toBe(200)
    const seen = await look(cast.wren, `/pressure-tests/${testId}`)
    expect(seen.statusCode).toBe(200)
    expect(parseHtml(seen.body).querySelector('main form')).toBeNull()
    expect(await entries()).toBe(count)
  })

  it('is not another company: to them it is not there', async () => {
    const count = await entries()
    for (const url of places()) expect((await post(cast.zoe, url, bodyFor(url))).statusCode).toBe(404)
    expect((await get(cast.zoe, `/pressure-tests/${testId}`)).statusCode).toBe(404)
    expect((await look(cast.zoe, `/pressure-tests/${testId}`)).statusCode).toBe(404)
    expect((await look(cast.zoe, `/systems/${section.systemId}/pressure-tests/new`)).statusCode).toBe(404)
    expect(await entries()).toBe(count)
  })
})

describe('what can not have been', () => {
  let before: unknown
  beforeEach(async () => {
    before = await entries()
  })

  it.each([
    ['no medium', { medium: undefined }, 400, 'medium'],
    ['a medium nobody knows', { medium: 'argon' }, 400, 'medium'],
    ['no gauge', { gaugeInstrumentId: undefined }, 400, 'gaugeInstrumentId'],
    ['a gauge that is not there', { gaugeInstrumentId: newId() }, 404, 'gaugeInstrumentId'],
    ['no id at all', { gaugeInstrumentId: 'gauge-1' }, 400, 'gaugeInstrumentId'],
    ['a job that is not there', { jobId: newId() }, 404, undefined],
    ['the future', { performedAt: at(600) }, 400, 'performedAt'],
    ['a moment without a zone', { performedAt: '2026-03-04T10:00' }, 400, 'performedAt'],
    ['a tracer in plain nitrogen', { tracer: { kind: 'hydrogen', fraction: 0.05 } }, 400, 'tracer'],
    [
      'more tracer than gas',
      { medium: 'nitrogen-trace', tracer: { kind: 'hydrogen', fraction: 5 } },
      400,
      'tracer.fraction',
    ],
    ['an elevation in kilograms', { siteElevation: { value: 3, unit: 'kg' } }, 400, 'siteElevation.unit'],
    [
      'a mountain higher than any',
      { siteElevation: { value: 20_000, unit: 'm' } },
      400,
      'siteElevation.value',
    ],
    [
      'no air',
      { absoluteAtmosphericPressure: { value: 0, unit: 'Pa' } },
      400,
      'absoluteAtmosphericPressure.value',
    ],
    ['a section with two names', { covers: [{ unitId: newId(), jointId: newId() }] }, 400, 'covers.0'],
    ['a section that is not there', { covers: [{ jointId: newId() }] }, 404, 'covers.0.jointId'],
    ['an unknown field', { colour: 'green' }, 400, 'colour'],
    ['a person who is not there', { performedBy: newId() }, 404, 'performedBy'],
  ])('a start with %s', async (_, more, status, path) => {
    const answer = await post(cast.tess, `/systems/${section.systemId}/pressure-tests`, setUp(more))
    expect(answer.statusCode).toBe(status)
    expect(answer.headers['content-type']).toContain('application/problem+json')
    if (path !== undefined) expect(answer.json().errors[0].path).toBe(path)
    expect(await entries()).toBe(before)
  })

  it.each([
    ['none', [], 'readings'],
    ['no pressure', [{ ...reading(-5, 'hold', 1), gaugePressure: undefined }], 'readings.0.gaugePressure'],
    [
      'a pressure as text',
      [{ ...reading(-5, 'hold', 1), gaugePressure: { value: '1', unit: 'MPa' } }],
      'readings.0.gaugePressure.value',
    ],
    ['a pressure in degrees', [reading(-5, 'hold', 1, 'degC')], 'readings.0.gaugePressure.unit'],
    ['less than a vacuum', [reading(-5, 'hold', -2, 'bar')], 'readings.0.gaugePressure.value'],
    ['a pressure no gauge has', [reading(-5, 'hold', 900, 'MPa')], 'readings.0.gaugePressure.value'],
    ['no temperature', [{ ...reading(-5, 'hold', 1), temperature: undefined }], 'readings.0.temperature'],
    ['colder than anything', [reading(-5, 'hold', 1, 'MPa', -300)], 'readings.0.temperature.value'],
    ['a stage nobody knows', [reading(-5, 'soak', 1)], 'readings.0.stage'],
    ['the future', [reading(-5, 'hold', 1), reading(60, 'hold', 1)], 'readings.1.at'],
    ['an unknown field', [{ ...reading(-5, 'hold', 1), note: 'x' }], 'readings.0.note'],
  ])('readings: %s', async (_, readings, path) => {
    const id = await start()
    const count = await entries()
    const answer = await post(cast.tess, `/pressure-tests/${id}/readings`, readings)
    expect(answer.statusCode).toBe(400)
    expect(answer.json().errors[0].path).toBe(path)
    expect((await get(cast.tess, `/pressure-tests/${id}`)).json().readings).toEqual([])
    expect(await entries()).toBe(count)
  })
})

describe('as pages', () => {
  it('asks for what the test needs, and starts it once however often it is sent', async () => {
    const page = await look(
      cast.tess,
      `/systems/${section.systemId}/pressure-tests/new?jobId=${section.jobId}`,
    )
    expect(page.statusCode).toBe(200)
    const html = parseHtml(page.body)
    expect(html.querySelector('h1')?.text).toBe('Pressure test of Hall')
    expect(html.text).toContain('4.150')
    expect(html.text).toContain('Installation manual FW, page 12')
    const form = html.querySelector('main form[action$="/pressure-tests"]')
    const id = form?.querySelector('input[name=id]')?.getAttribute('value') ?? ''
    const fields = {
      id,
      jobId: form?.querySelector('input[name=jobId]')?.getAttribute('value') ?? '',
      gaugeInstrumentId: section.gauge,
      thermometerInstrumentId: section.thermometer,
      medium: 'nitrogen-trace',
      'tracer.kind': 'hydrogen',
      'tracer.fraction#': '5',
      'covers.0.lineSetId': section.lineSetId,
      conditions: '',
      performedBy: cast.sam.crewId,
      supervisedBy: '',
    }
    for (const _ of [1, 2]) {
      const answer = await send(cast.tess, `/systems/${section.systemId}/pressure-tests`, fields)
      expect([answer.statusCode, answer.headers.location]).toEqual([303, `/pressure-tests/${id}`])
    }
    expect((await get(cast.tess, `/pressure-tests/${id}`)).json()).toMatchObject({
      tracer: { kind: 'hydrogen', fraction: 0.05 },
      covers: [{ lineSetId: section.lineSetId }],
      performedBy: cast.sam.crewId,
      recordedBy: cast.tess.memberId,
      supervisedBy: null,
    })
  })

  it('takes a reading with a decimal comma, shows it as typed, and judges as it goes', async () => {
    const id = await start()
    for (const [minutes, stage, pressure] of [
      [-100, 'raise', '4,15'],
      [-89, 'hold', '4,15'],
      [-20, 'hold', '3,9'],
    ] as const) {
      const answer = await send(cast.tess, `/pressure-tests/${id}/readings`, {
        'readings.0.stage': stage,
        'readings.0.gaugePressure.value': pressure,
        'readings.0.gaugePressure.unit': 'MPa',
        'readings.0.temperature.value': '22',
        'readings.0.temperature.unit': 'degC',
        'readings.0.at@': at(minutes).slice(0, 16),
        _offset: '0',
      })
      expect([answer.statusCode, answer.headers.location]).toEqual([303, `/pressure-tests/${id}`])
    }
    const page = parseHtml((await look(cast.tess, `/pressure-tests/${id}`)).body)
    expect(page.querySelector('.clock')?.getAttribute('data-since')).toBe(at(-89))
    expect(page.text).toContain('As it stands: Falls.')
    expect(page.text).toContain('So far: Falls. Look for the leak with bubbles')
    expect(page.querySelector('[data-due]')).toBeNull()
    expect(page.querySelector('figure.curve svg title')?.text).toContain('Pressure test of Hall')
    const done = await send(cast.tess, `/pressure-tests/${id}/conclude`, {})
    expect(done.statusCode).toBe(303)
    const after = parseHtml((await look(cast.tess, `/pressure-tests/${id}`)).body)
    expect(after.querySelector('.why b')?.text).toBe('Falls.')
    expect(after.querySelector(`form[action="/pressure-tests/${id}/readings"]`)).toBeNull()
    expect(after.text).toContain('an estimate')
  })

  it('keeps what was typed when a reading can not be, with the message beside the field', async () => {
    const id = await start()
    const answer = await send(cast.tess, `/pressure-tests/${id}/readings`, {
      'readings.0.stage': 'hold',
      'readings.0.gaugePressure.value': 'four',
      'readings.0.gaugePressure.unit': 'psi',
      'readings.0.temperature.value': '22',
      'readings.0.temperature.unit': 'degC',
    })
    expect(answer.statusCode).toBe(400)
    const html = parseHtml(answer.body)
    const input = html.querySelector('input[name="readings.0.gaugePressure.value"]')
    expect(input?.getAttribute('value')).toBe('four')
    expect(input?.getAttribute('aria-invalid')).toBe('true')
    expect(html.querySelector('.field-wrong .message')?.text).toContain('Enter a number')
    expect(html.querySelector('input[name="readings.0.temperature.value"]')?.getAttribute('value')).toBe('22')
  })

  it('says above the form that the test is over', async () => {
    const id = await start()
    await send(cast.tess, `/pressure-tests/${id}/conclude`, {})
    const answer = await send(cast.tess, `/pressure-tests/${id}/conclude`, {})
    expect(answer.statusCode).toBe(409)
    expect(parseHtml(answer.body).querySelector('.flash-refused')?.text).toContain('concluded')
  })

  it('says how high it may be filled and what the warmest hour makes of it', async () => {
    const id = await start()
    await post(cast.tess, `/pressure-tests/${id}/readings`, [reading(-5, 'raise', 4.15)])
    const page = parseHtml(
      (
        await look(
          cast.tess,
          `/pressure-tests/${id}?at.value=22&at.unit=degC&warmest.value=40&warmest.unit=degC`,
        )
      ).body,
    )
    const words = page.querySelector('#warmest')?.text ?? ''
    expect(page.querySelector('#warmest .caution')?.text).toContain('would pass the limit')
    // Nitrogen at 4.25 MPa absolute gains about 16 kPa for each of the 18 K: trade.md, 13.5–17.5 kPa/K.
    const becomes = Number(/will show (\d\.\d+)/.exec(words)?.[1])
    expect(becomes).toBeGreaterThan(4.15 + 18 * 0.0135)
    expect(becomes).toBeLessThan(4.15 + 18 * 0.0175)
    const fill = Number(/no more than (\d\.\d+)/.exec(words)?.[1])
    expect(fill).toBeLessThan(4.3 - 18 * 0.0135)
    expect(fill).toBeGreaterThan(4.3 - 0.03 - 18 * 0.0175)
  })

  it('sends who is signed out to the door', async () => {
    const id = await start()
    const answer = await server.inject({ method: 'GET', url: `/pressure-tests/${id}` })
    expect(answer.statusCode).toBe(303)
    expect(answer.headers.location).toContain('/sign-in')
  })
})
