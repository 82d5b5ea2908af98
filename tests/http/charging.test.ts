// Do the charge and the running check behave the same as pages and as JSON, and for those who may not?

import { parse as parseHtml } from 'node-html-parser'
import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import { newId } from '../../server/ids.ts'
import { aCast, type Cast, DAY, HOUR, NOON } from '../support/cast.ts'
import { aSection, type ReadySection } from '../support/section.ts'
import { twoFaces } from '../support/two-faces.ts'

let cast: Cast
let section: ReadySection
let faces: Awaited<ReturnType<typeof twoFaces>>
beforeAll(async () => {
  cast = await aCast()
  faces = await twoFaces(cast)
  section = await aSection(cast)
})
afterAll(() => cast.remove())

const ahead = (milliseconds: number) => new Date(NOON + milliseconds).toISOString()

describe('the charge', () => {
  const charges = () => `/systems/${section.systemId}/charges`
  const charge = () => `/systems/${section.systemId}/charge`

  it('says what is required before anything was done', async () => {
    const answer = (await faces.get(cast.wren, charge())).json()
    expect(answer).toMatchObject({
      refrigerant: 'R-32',
      factory: { value: 0.9, unit: 'kg' },
      additional: { value: expect.closeTo(0.05, 9), unit: 'kg' },
      required: { value: expect.closeTo(0.95, 9), unit: 'kg' },
      requiredSource: 'equipment sheet, Installation manual FW, page 12',
      limits: { maximum: { value: 1.5, unit: 'kg' } },
      charges: [],
    })
    // R-32, m₁ = 6 × 0.307 = 1.84 kg: no room is too small for less.
    expect(answer.rooms).toMatchObject([{ lineSetId: section.lineSetId, verdict: 'fits' }])
  })

  it('counts what was released and weighed in, and turns it into CO₂', async () => {
    const fresh = await aSection(cast)
    const url = `/systems/${fresh.systemId}/charges`
    const released = await faces.post(cast.tess, url, { jobId: fresh.jobId, direction: 'factory-released' })
    expect(released.statusCode).toBe(201)
    expect(released.json()).toMatchObject({ direction: 'factory-released', mass: null, source: 'factory' })
    const body = {
      id: newId(),
      jobId: fresh.jobId,
      direction: 'in',
      mass: { value: 1.76, unit: 'oz' },
      scaleInstrumentId: fresh.scale,
      source: 'virgin',
    }
    const weighed = await faces.post(cast.tess, url, body)
    expect(weighed.json()).toMatchObject({ id: body.id, mass: { value: 1.76, unit: 'oz' } })
    const again = await faces.post(cast.tess, url, body)
    expect([again.statusCode, again.json()]).toEqual([200, weighed.json()])
    const answer = (await faces.get(cast.tess, `/systems/${fresh.systemId}/charge`)).json()
    expect(answer.verdict).toBe('within')
    expect(answer.weighed.value).toBeCloseTo(1.76 * 0.028349523125, 9)
    expect(answer.total.value).toBeCloseTo(0.9 + 1.76 * 0.028349523125, 9)
    // IPCC AR4: 675.
    expect(answer.co2e).toMatchObject({ gwp: 675, basis: 'AR4', unit: 'kg' })
    expect(answer.co2e.value).toBeCloseTo(answer.total.value * 675, 6)
    expect(answer.charges).toHaveLength(2)
  })

  it.each([
    ['no direction', { direction: undefined }, 400, 'direction'],
    ['a direction nobody knows', { direction: 'sideways' }, 400, 'direction'],
    ['a negative mass', { mass: { value: -5, unit: 'g' } }, 400, 'mass.value'],
    ['an absurd mass', { mass: { value: 900, unit: 'kg' } }, 400, 'mass.value'],
    ['a mass in volts', { mass: { value: 5, unit: 'V' } }, 400, 'mass.unit'],
    ['a mass as text', { mass: { value: '5', unit: 'g' } }, 400, 'mass.value'],
    ['a scale and no mass', { mass: undefined, scaleInstrumentId: 'scale' }, 400, 'mass'],
    ['a gauge for a scale', { scaleInstrumentId: 'gauge' }, 400, 'scaleInstrumentId'],
    ['a scale that is not there', { scaleInstrumentId: newId() }, 404, 'scaleInstrumentId'],
    ['the future', { performedAt: ahead(HOUR) }, 400, 'performedAt'],
    ['an unknown field', { colour: 'green' }, 400, 'colour'],
  ])('refuses %s', async (_, more, status, path) => {
    const count = await faces.entries()
    const body: Record<string, unknown> = {
      jobId: section.jobId,
      direction: 'in',
      mass: { value: 50, unit: 'g' },
      ...more,
    }
    if (body.scaleInstrumentId === 'scale') body.scaleInstrumentId = section.scale
    if (body.scaleInstrumentId === 'gauge') body.scaleInstrumentId = section.gauge
    const answer = await faces.post(cast.tess, charges(), body)
    expect([answer.statusCode, answer.json().errors[0].path]).toEqual([status, path])
    expect(await faces.entries()).toBe(count)
  })

  it('is not for the signed out, the warranty desk or another company', async () => {
    const count = await faces.entries()
    const body = { jobId: section.jobId, direction: 'factory-released' }
    expect((await faces.post(null, charges(), body)).statusCode).toBe(401)
    expect((await faces.post(cast.wren, charges(), body)).statusCode).toBe(403)
    expect((await faces.post(cast.zoe, charges(), body)).statusCode).toBe(404)
    expect((await faces.get(cast.zoe, charge())).statusCode).toBe(404)
    expect((await faces.look(cast.zoe, charge())).statusCode).toBe(404)
    expect(await faces.entries()).toBe(count)
  })

  it('shows the arithmetic, takes a weighing, and gives back one that can not be', async () => {
    const fresh = await aSection(cast)
    const here = `/systems/${fresh.systemId}/charge?jobId=${fresh.jobId}`
    const page = parseHtml((await faces.look(cast.tess, here)).body)
    expect(page.text.replaceAll('\u00a0', ' ')).toContain(
      'Kitchen: 10.00 m − 7.50 m pre-charged = 2.50 m, × 20 g/m = 0.050 kg',
    )
    const id = page.querySelector('main form input[name=id]')?.getAttribute('value') ?? ''
    const fields = {
      id,
      jobId: fresh.jobId,
      direction: 'in',
      'mass.value': '50,5',
      'mass.unit': 'g',
      scaleInstrumentId: fresh.scale,
      source: '',
      cylinderId: '',
    }
    for (const _ of [1, 2]) {
      const sent = await faces.send(cast.tess, `/systems/${fresh.systemId}/charges`, fields)
      expect([sent.statusCode, sent.headers.location]).toEqual([303, here])
    }
    const after = parseHtml((await faces.look(cast.tess, here)).body)
    expect(after.querySelectorAll('table.stack tbody tr').length).toBe(1)
    expect(after.text).toContain('50.5')
    const bad = await faces.send(cast.tess, `/systems/${fresh.systemId}/charges`, {
      ...fields,
      id: newId(),
      'mass.value': 'some',
    })
    expect(bad.statusCode).toBe(400)
    const form = parseHtml(bad.body)
    expect(form.querySelector('input[name="mass.value"]')?.getAttribute('value')).toBe('some')
    expect(form.querySelector('.field-wrong .message')?.text).toContain('Enter a number')
    // The desk may look and finds no form.
    expect(parseHtml((await faces.look(cast.wren, here)).body).querySelector('main form')).toBeNull()
  })

  it('says what is missing when there is nothing to compute with', async () => {
    const bare = await aSection(cast, { figures: { chargeScheme: null, chargeAdders: [] } })
    const answer = (await faces.get(cast.tess, `/systems/${bare.systemId}/charge`)).json()
    expect(answer).toMatchObject({ verdict: 'unknown', required: null, additional: null })
    const page = parseHtml((await faces.look(cast.tess, `/systems/${bare.systemId}/charge`)).body)
    expect(page.text).toContain('the sheet states no charge scheme')
  })
})

describe('the running check', () => {
  const checks = () => `/systems/${section.systemId}/running-checks`
  const read = (more: object = {}) => ({
    jobId: section.jobId,
    mode: 'cooling',
    steadyMinutes: 20,
    liquidLinePressure: { value: 348, unit: 'psi' },
    liquidLineTemperature: { value: 93, unit: 'degF' },
    ...more,
  })

  it('answers subcooling in the unit of the caller, against the sheet', async () => {
    const answer = await faces.post(cast.tess, checks(), read())
    expect(answer.statusCode).toBe(201)
    const check = answer.json()
    expect(check).toMatchObject({
      mode: 'cooling',
      steadyMinutes: 20,
      liquidLinePressure: { value: 348, unit: 'psi' },
      subcooling: { unit: 'degF.diff' },
      superheat: null,
      split: null,
      notPossible: null,
      verdict: 'within',
    })
    // 348 psi over the air is 2.5007 MPa, where R-32 boils at 40.4 °C or 104.7 °F (tests/reference/sat_R32.csv).
    expect(check.subcooling.value).toBeCloseTo(104.7 - 93, 0)
    const listed = (await faces.get(cast.wren, checks())).json()
    expect(listed.items[0]).toEqual(check)
  })

  it('takes a reason and a date instead, and asks for one of the two', async () => {
    const notPossible = { reason: 'No mains yet', dueAt: ahead(14 * DAY) }
    const answer = await faces.post(cast.tess, checks(), {
      jobId: section.jobId,
      mode: 'heating',
      notPossible,
    })
    expect(answer.json()).toMatchObject({ verdict: 'not-possible', notPossible })
    const neither = await faces.post(cast.tess, checks(), { jobId: section.jobId, mode: 'heating' })
    expect([neither.statusCode, neither.json().errors[0].path]).toEqual([400, 'liquidLinePressure'])
  })

  it.each([
    ['no mode', { mode: undefined }, 400, 'mode'],
    ['a mode nobody knows', { mode: 'defrost' }, 400, 'mode'],
    ['a week of minutes and more', { steadyMinutes: 99_999 }, 400, 'steadyMinutes'],
    ['negative minutes', { steadyMinutes: -1 }, 400, 'steadyMinutes'],
    ['a temperature in metres', { supplyAir: { value: 1, unit: 'm' } }, 400, 'supplyAir.unit'],
    ['colder than anything', { supplyAir: { value: -500, unit: 'degC' } }, 400, 'supplyAir.value'],
    ['a reason without a date', { notPossible: { reason: 'x' } }, 400, 'notPossible.dueAt'],
    ['an empty reason', { notPossible: { reason: ' ', dueAt: ahead(DAY) } }, 400, 'notPossible.reason'],
    ['the future', { performedAt: ahead(HOUR) }, 400, 'performedAt'],
    ['an unknown field', { noise: 3 }, 400, 'noise'],
  ])('refuses %s', async (_, more, status, path) => {
    const count = await faces.entries()
    const answer = await faces.post(cast.tess, checks(), read(more))
    expect([answer.statusCode, answer.json().errors[0].path]).toEqual([status, path])
    expect(await faces.entries()).toBe(count)
  })

  it('is not for the signed out, the warranty desk or another company', async () => {
    const count = await faces.entries()
    expect((await faces.post(null, checks(), read())).statusCode).toBe(401)
    expect((await faces.post(cast.wren, checks(), read())).statusCode).toBe(403)
    expect((await faces.post(cast.zoe, checks(), read())).statusCode).toBe(404)
    expect((await faces.get(cast.zoe, checks())).statusCode).toBe(404)
    expect((await faces.look(cast.zoe, checks())).statusCode).toBe(404)
    expect(await faces.entries()).toBe(count)
  })

  it('works it out without recording, then records and shows it', async () => {
    const fresh = await aSection(cast)
    const here = `/systems/${fresh.systemId}/running-checks`
    const page = parseHtml((await faces.look(cast.tess, `${here}?jobId=${fresh.jobId}`)).body)
    const fields = {
      id: page.querySelector('main form input[name=id]')?.getAttribute('value') ?? '',
      jobId: fresh.jobId,
      mode: 'cooling',
      'steadyMinutes#': '20',
      'liquidLinePressure.value': '2,4',
      'liquidLinePressure.unit': 'MPa',
      'liquidLineTemperature.value': '34',
      'liquidLineTemperature.unit': 'degC',
    }
    const count = await faces.entries()
    const tried = parseHtml((await faces.look(cast.tess, `${here}?${new URLSearchParams(fields)}`)).body)
    expect(tried.querySelector('#tried')?.text).toContain('As specified.')
    expect(tried.querySelector('input[name="liquidLinePressure.value"]')?.getAttribute('value')).toBe('2,4')
    expect(await faces.entries()).toBe(count)
    const sent = await faces.send(cast.tess, here, fields)
    expect(sent.statusCode).toBe(303)
    expect(sent.headers.location).toBe(`${here}?jobId=${fresh.jobId}#check-${fields.id}`)
    expect(await faces.entries()).toBe(count + 1)
    const after = parseHtml((await faces.look(cast.tess, here)).body)
    expect(after.querySelector(`#check-${fields.id} .judged-met`)?.text).toContain('Subcooling')
    const bad = await faces.send(cast.tess, here, { ...fields, id: newId(), 'steadyMinutes#': 'long' })
    expect(bad.statusCode).toBe(400)
    expect(parseHtml(bad.body).querySelector('input[name="steadyMinutes#"]')?.getAttribute('value')).toBe(
      'long',
    )
  })
})
