// Do the calculators answer what published examples say, touch no record, and refuse what lies outside?

import { parse as parseHtml } from 'node-html-parser'
import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import { aCast, type Cast } from '../support/cast.ts'
import { twoFaces } from '../support/two-faces.ts'

let cast: Cast
let faces: Awaited<ReturnType<typeof twoFaces>>
beforeAll(async () => {
  cast = await aCast()
  faces = await twoFaces(cast)
})
afterAll(() => cast.remove())

const ask = async (path: string, body: object) =>
  (await faces.post(cast.wren, `/calculations/${path}`, body)).json()

describe('as JSON', () => {
  it('sets a wrench with an adapter: T 30, L 1 ft, E 0.25 ft is 24 (US Army TM 9-254)', async () => {
    const answer = await ask('torque-setting', {
      low: { value: 28, unit: 'ft.lbf' },
      high: { value: 32, unit: 'ft.lbf' },
      adapter: { offset: { value: 0.25, unit: 'ft' }, wrenchLength: { value: 1, unit: 'ft' } },
    })
    expect(answer.target).toEqual({ value: expect.closeTo(30, 9), unit: 'ft.lbf' })
    expect(answer.setting).toEqual({ value: expect.closeTo(24, 9), unit: 'ft.lbf' })
    expect(answer.acceptance.low.value).toBeCloseTo(28, 9)
  })

  const state = (minutes: number, value: number, celsius: number) => ({
    gaugePressure: { value, unit: 'MPa' },
    temperature: { value: celsius, unit: 'degC' },
    at: new Date(Date.UTC(2026, 2, 4, 10, minutes)).toISOString(),
  })

  it('judges a hold: what cooling alone makes holds, and more falls', async () => {
    // Nitrogen at 4.25 MPa absolute loses about 16 kPa for a kelvin less.
    const base = {
      internalVolume: { value: 0.6, unit: 'L' },
      refrigerant: 'R-32',
      gaugeUncertainty: { value: 5, unit: 'kPa' },
      temperatureUncertainty: { value: 0.1, unit: 'K' },
    }
    const holds = await ask('pressure-hold', {
      start: state(0, 4.15, 22),
      end: state(70, 4.134, 21),
      ...base,
    })
    expect(holds.verdict).toBe('holds')
    expect(holds.smallestSeenRefrigerantPerYear.unit).toBe('g/yr')
    const falls = await ask('pressure-hold', { start: state(0, 4.15, 22), end: state(70, 4.05, 21), ...base })
    expect(falls.verdict).toBe('falls')
    expect(falls.change.value).toBeCloseTo(4.05 - 4.134, 2)
  })

  it('asks for about a day to see 100 g a year from 2 L (trade.md)', async () => {
    const { minutes } = await ask('hold-time', {
      gaugePressure: { value: 4.15, unit: 'MPa' },
      internalVolume: { value: 2, unit: 'L' },
      refrigerant: 'R-32',
      leakToSee: { value: 100, unit: 'g/yr' },
    })
    expect(minutes / 60).toBeGreaterThan(12)
    expect(minutes / 60).toBeLessThan(36)
  })

  it('reads a decay by its minutes', async () => {
    const readings = Array.from({ length: 16 }, (_, minute) => ({
      minutes: minute,
      absolutePressure: { value: Math.round(310 + 200 * (1 - Math.exp(-minute / 3))), unit: 'micron' },
    }))
    const answer = await ask('vacuum-decay', { readings })
    expect(answer).toMatchObject({ verdict: 'tight', curve: { kind: 'saturating' }, isolatedAt: null })
    const leak = await ask('vacuum-decay', {
      readings: readings.map((one) => ({
        ...one,
        absolutePressure: { value: 310 + 100 * one.minutes, unit: 'micron' },
      })),
    })
    expect(leak.verdict).toBe('leak')
  })

  it('adds charge by length, and none below the pre-charged one', async () => {
    const body = {
      factoryCharge: { value: 900, unit: 'g' },
      prechargedLength: { value: 7.5, unit: 'm' },
      adder: { value: 20, unit: 'g/m' },
      length: { value: 10, unit: 'm' },
      refrigerant: 'R-32',
    }
    const answer = await ask('charge', body)
    expect(answer.additional.value).toBeCloseTo(0.05, 9)
    expect(answer.total.value).toBeCloseTo(0.95, 9)
    expect(answer.co2e.value).toBeCloseTo(0.95 * 675, 6)
    expect((await ask('charge', { ...body, length: { value: 5, unit: 'm' } })).additional.value).toBe(0)
  })

  it.each([
    [2, 'floor', 34.04],
    [3, 'floor', 76.6],
    [2, 'ceiling', 3.95],
  ])('room for %d kg of R-32 at the %s: %d m² (trade.md)', async (value, mounting, area) => {
    const answer = await ask('room-area', { refrigerant: 'R-32', charge: { value, unit: 'kg' }, mounting })
    expect(answer.minimumFloorArea).toEqual({ value: expect.closeTo(area, 1), unit: 'm2' })
  })

  it('finds saturation both ways, the same', async () => {
    const by = await ask('saturation', { refrigerant: 'R-454B', temperature: { value: 20, unit: 'degC' } })
    expect(by.bubble.absolutePressure.value).toBeGreaterThan(by.dew.absolutePressure.value)
    const back = await ask('saturation', {
      refrigerant: 'R-454B',
      absolutePressure: by.bubble.absolutePressure,
    })
    expect(back.bubble.temperature).toEqual({ value: expect.closeTo(293.15, 3), unit: 'K' })
    const gauge = await ask('saturation', { refrigerant: 'R-454B', gaugePressure: by.bubble.gaugePressure })
    expect(gauge.bubble.temperature.value).toBeCloseTo(293.15, 3)
  })

  it.each([
    ['torque-setting', { low: { value: 28, unit: 'ft.lbf' } }, 'high'],
    ['torque-setting', { low: { value: 40, unit: 'N.m' }, high: { value: 30, unit: 'N.m' } }, 'high'],
    ['pressure-hold', {}, 'start'],
    ['hold-time', { leakToSee: { value: -1, unit: 'g/yr' } }, 'gaugePressure'],
    ['vacuum-decay', { readings: [] }, 'readings'],
    ['vacuum-decay', { readings: [{ absolutePressure: { value: 1, unit: 'Pa' } }] }, 'readings.0'],
    ['charge', { refrigerant: 'R-12' }, 'factoryCharge'],
    [
      'room-area',
      { refrigerant: 'R-410A', charge: { value: 2, unit: 'kg' }, mounting: 'wall' },
      'refrigerant',
    ],
    ['saturation', { refrigerant: 'R-32' }, 'absolutePressure'],
    ['saturation', { refrigerant: 'R-32', temperature: { value: 300, unit: 'degC' } }, 'temperature.value'],
    ['saturation', { refrigerant: 'R-32', temperature: { value: 90, unit: 'degC' } }, 'temperature'],
    ['saturation', { refrigerant: 'R-32', temperature: { value: 9, unit: 'degC' }, x: 1 }, 'x'],
  ])('%s refuses %j', async (path, body, at) => {
    const answer = await faces.post(cast.tess, `/calculations/${path}`, body)
    expect(answer.statusCode).toBe(400)
    expect(answer.json().errors[0].path).toBe(at)
    expect(answer.json().errors[0].message).not.toBe('')
  })

  it('is for any member, and for nobody else; nothing is recorded', async () => {
    const body = { refrigerant: 'R-32', temperature: { value: 20, unit: 'degC' } }
    const count = await faces.entries()
    for (const player of [cast.tess, cast.sam, cast.wren, cast.olga, cast.zoe])
      expect((await faces.post(player, '/calculations/saturation', body)).statusCode).toBe(200)
    expect((await faces.post(null, '/calculations/saturation', body)).statusCode).toBe(401)
    expect(await faces.entries()).toBe(count)
  })
})

const shown = (path: string, fields: Record<string, string>) =>
  faces.look(cast.tess, `${path}?${new URLSearchParams(fields)}`)

describe('as pages', () => {
  it('lists them, and each has a form', async () => {
    const list = parseHtml((await faces.look(cast.tess, '/calculators')).body)
    const links = list.querySelectorAll('main a').map((link) => link.getAttribute('href') ?? '')
    const calculators = links.filter((link) => link.startsWith('/calculators/'))
    expect(calculators).toHaveLength(14)
    for (const link of calculators) {
      const page = await faces.look(cast.tess, link)
      expect(page.statusCode).toBe(200)
      expect(
        parseHtml(page.body).querySelector(`form[method="get"][action="${link}#answer"] button`),
      ).not.toBeNull()
    }
  })

  it('answers below the title and keeps what was typed', async () => {
    const sent = await shown('/calculators/room-area', {
      refrigerant: 'R-32',
      'charge.value': '2,0',
      'charge.unit': 'kg',
      mounting: 'floor',
    })
    expect(sent.statusCode).toBe(200)
    const page = parseHtml(sent.body)
    expect(page.querySelector('#answer')?.text).toContain('34.0')
    expect(page.querySelector('input[name="charge.value"]')?.getAttribute('value')).toBe('2,0')
  })

  it('takes decay readings a line each, and says which is none', async () => {
    const lines = Array.from({ length: 8 }, (_, minute) => `${minute} ${310 + 300 * minute}`)
    const fields = { readings: `${lines.join('\r\n')}\r\n\r\n`, readingsUnit: 'micron' }
    const page = parseHtml((await shown('/calculators/vacuum-decay', fields)).body)
    expect(page.querySelector('#answer .why b')?.text).toBe('Leak.')
    const wrong = await shown('/calculators/vacuum-decay', {
      ...fields,
      readings: '0 310\n1 many',
    })
    expect(wrong.statusCode).toBe(400)
    const again = parseHtml(wrong.body)
    expect(again.querySelector('.field-wrong .message')?.text).toBe(
      'Row 2: no absolute pressure can be read in “many”.',
    )
    expect(again.querySelector('textarea')?.text).toContain('1 many')
  })

  it.each([
    ['a heading, semicolons and decimal commas', 'Zeit;Druck\n10:00;41,0\n10:01;42,0\n10:02;44,0'],
    ['clocks past midnight', '23:59 41\n0:00 42\n0:01 44'],
    ['units behind the figures', '0 41\n1 0,042 kPa\n2 44,0 Pa'],
    ['seconds, by the heading', 'Elapsed (s),P (Pa),Battery\n0,41,98\n60,42,98\n120,44,98'],
  ])('takes them with %s', async (_, readings) => {
    const answer = await shown('/calculators/vacuum-decay', { readings, readingsUnit: 'Pa' })
    expect(answer.statusCode).toBe(200)
    const rows = parseHtml(answer.body)
      .querySelectorAll('figure.curve tbody tr')
      .map((row) => row.querySelectorAll('td').map((cell) => Number.parseFloat(cell.text)))
    expect(rows.map(([minute]) => minute)).toEqual([0, 1, 2])
    expect(rows.map(([, pressure]) => pressure)).toEqual([41, 42, 44])
  })

  it.each([
    [
      'charge',
      { 'factoryCharge.value': 'x', 'factoryCharge.unit': 'kg' },
      'factoryCharge.value',
      'Enter a number.',
    ],
    [
      'saturation',
      { refrigerant: 'R-32', 'temperature.value': '90', 'temperature.unit': 'degC' },
      'temperature.value',
      'Temperature must be between −40 and 65 °C, not 90 °C.',
    ],
    [
      'saturation',
      { refrigerant: 'R-32', 'gaugePressure.value': '9', 'gaugePressure.unit': 'MPa' },
      'gaugePressure.value',
      'Absolute pressure must be between 0.1774 and 4.384 MPa, not 9.101 MPa (saturation of R-32 is known from −40 to 65 °C).',
    ],
    [
      'torque-setting',
      { 'low.value': '42', 'low.unit': 'N.m', 'high.value': '34', 'high.unit': 'N.m' },
      'high.value',
      'Upper torque limit must be at least 42 N·m, not 34 N·m (the limits are swapped).',
    ],
    [
      'tube-volume',
      {
        'liquidOd.value': '6.35',
        'liquidOd.unit': 'mm',
        'gasOd.value': '10.5',
        'gasOd.unit': 'mm',
        'length.value': '5',
        'length.unit': 'm',
      },
      'gasOd.value',
      'Tube outer diameter: not a listed size; state the wall.',
    ],
    [
      'fill-pressure',
      {
        'limit.value': '4.15',
        'limit.unit': 'MPa',
        'temperature.value': '20',
        'temperature.unit': 'degC',
        'warmest.value': '95',
        'warmest.unit': 'degC',
      },
      'warmest.value',
      'Gas temperature must be between −30 and 70 °C, not 95 °C.',
    ],
    [
      'running-check',
      {
        refrigerant: 'R-410A',
        'suctionPressure.value': '8',
        'suctionPressure.unit': 'MPa',
        'suctionTemperature.value': '10',
        'suctionTemperature.unit': 'degC',
      },
      'suctionPressure.value',
      'Absolute pressure must be',
    ],
  ] as [string, Record<string, string>, string, string][])(
    'says beside the field of %s what can not be: %j',
    async (path, fields, name, message) => {
      const answer = await shown(`/calculators/${path}`, fields)
      expect(answer.statusCode).toBe(400)
      const beside = parseHtml(answer.body)
        .querySelectorAll('.field-wrong')
        .find((one) => one.querySelector(`[name="${name}"]`))
      expect(beside?.querySelector('.message')?.text).toContain(message)
    },
  )
})
