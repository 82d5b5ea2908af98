// Can a manager read and set the criteria, on the page and through the API?

import type { FastifyInstance } from 'fastify'
import { parse } from 'node-html-parser'
import { afterEach, beforeEach, describe, expect, it } from 'vitest'
import { criteriaJson } from '../../server/commands/people/criteria.ts'
import { BUILT_IN_POLICY } from '../../server/rules/policy.ts'
import { aCast, asBrowser, asProgram, type Cast } from '../support/cast.ts'
import { postForm } from '../support/entrance.ts'

let cast: Cast
let server: FastifyInstance
beforeEach(async () => {
  cast = await aCast()
  server = await cast.server()
})
afterEach(() => cast.remove())

const read = async (player = cast.sam) =>
  (await server.inject({ url: '/api/v1/policy', headers: asProgram(player) })).json()
const put = (payload: object, headers: Record<string, string> = asProgram(cast.sam)) =>
  server.inject({ method: 'PUT', url: '/api/v1/policy', headers, payload })
const BUILT_IN = criteriaJson(BUILT_IN_POLICY)

/** The fields of the form on the page, as a browser would post them untouched. */
async function formFields(): Promise<Record<string, string>> {
  const page = parse((await server.inject({ url: '/policy/edit', headers: asBrowser(cast.sam) })).body)
  const fields: Record<string, string> = {}
  for (const input of page.querySelectorAll('form[action="/policy"] input')) {
    const [name, type] = [input.getAttribute('name') ?? '', input.getAttribute('type')]
    if ((type === 'checkbox' || type === 'radio') && !input.hasAttribute('checked')) continue
    fields[name] = input.getAttribute('value') ?? ''
  }
  for (const area of page.querySelectorAll('form[action="/policy"] textarea'))
    fields[area.getAttribute('name') ?? ''] = area.text
  for (const select of page.querySelectorAll('form[action="/policy"] select'))
    fields[select.getAttribute('name') ?? ''] =
      select.querySelector('option[selected]')?.getAttribute('value') ?? ''
  return fields
}

describe('the criteria', () => {
  it('are answered with their units, beside the built-in ones and what is looser', async () => {
    const policy = await read()
    expect(policy).toMatchObject({
      version: 1,
      builtIn: BUILT_IN,
      reason: null,
      createdAt: '2026-03-04T15:00:00.000Z',
    })
    expect(policy.criteria.pressure.hold).toEqual({ value: 3600, unit: 's' })
    expect(policy.criteria.vacuum.target).toEqual({ value: expect.closeTo(66.66, 2), unit: 'Pa' })
    expect(policy.looserThanBuiltIn).toEqual([
      { path: 'evidence.photos', builtIn: BUILT_IN.evidence.photos, set: [] },
    ])
    expect(JSON.stringify(policy)).not.toMatch(/targetPa|holdS|companyId/)
  })

  it('take the EN 378-2 set from a form, a size a line, and show it; before that it can’t be chosen', async () => {
    const fields = await formFields()
    const chosen = { ...fields, 'criteria.torqueFamily': 'en-378-2', reason: 'Photos come later.' }
    const early = await postForm(server, '/policy', chosen, asBrowser(cast.sam))
    expect(early.statusCode).toBe(400)
    const beside = (body: string, name: string) =>
      parse(body)
        .querySelectorAll('.field-wrong')
        .find((one) => one.querySelector(`[name="${name}"]`))
        ?.querySelector('.message')?.text
    expect(beside(early.body, 'criteria.torqueFamily')).toContain('from your own copy first')
    const entered = {
      ...chosen,
      'criteria.torqueSet.source': 'our copy of 2016',
      'criteria.torqueSet.ranges': '6.35 14 18\r\n9,52 33 42\r\n',
    }
    const wrong = await postForm(
      server,
      '/policy',
      { ...entered, 'criteria.torqueSet.ranges': '6.35 14' },
      asBrowser(cast.sam),
    )
    expect(wrong.statusCode).toBe(400)
    expect(beside(wrong.body, 'criteria.torqueSet.ranges')).toContain('9.52 33 42')
    expect(wrong.body).toContain('6.35 14')
    expect((await postForm(server, '/policy', entered, asBrowser(cast.sam))).statusCode).toBe(303)
    expect((await read()).criteria).toMatchObject({
      torqueFamily: 'en-378-2',
      torqueSet: {
        source: 'our copy of 2016',
        ranges: [
          {
            tubeOd: { value: expect.closeTo(0.00635, 12), unit: 'm' },
            low: { value: 14, unit: 'N.m' },
            high: { value: 18, unit: 'N.m' },
          },
          {
            tubeOd: { value: expect.closeTo(0.00952, 12), unit: 'm' },
            low: { value: 33, unit: 'N.m' },
            high: { value: 42, unit: 'N.m' },
          },
        ],
      },
    })
    // The page keeps what was entered, so that setting something else does not lose it.
    expect((await formFields())['criteria.torqueSet.ranges']).toBe('6.35 14 18\n9.52 33 42')
    const page = await server.inject({ url: '/policy', headers: asBrowser(cast.sam) })
    expect(parse(page.body).querySelector('main')?.text).toContain('EN 378-2, as entered: our copy of 2016')
  })

  it('are set whole, in any unit, with a new version', async () => {
    const criteria = {
      ...BUILT_IN,
      pressure: { ...BUILT_IN.pressure, hold: { value: 24, unit: 'h' } },
      vacuum: { ...BUILT_IN.vacuum, target: { value: 300, unit: 'micron' } },
    }
    const answer = await put({ criteria })
    expect(answer.statusCode).toBe(200)
    expect(answer.json()).toMatchObject({ version: 2, looserThanBuiltIn: [] })
    const policy = await read()
    expect(policy.criteria.pressure.hold).toEqual({ value: 86_400, unit: 's' })
    expect(policy.criteria.vacuum.target.value).toBeCloseTo(40, 1)
  })

  it('need a reason when one is looser, which is answered from then on', async () => {
    const criteria = { ...BUILT_IN, selfSignOff: true }
    const refused = await put({ criteria })
    expect(refused.json()).toMatchObject({ status: 400, errors: [{ path: 'reason' }] })
    expect((await read()).version).toBe(1)
    const answer = await put({ criteria, reason: 'One person works alone.' })
    expect(answer.json()).toMatchObject({
      version: 2,
      reason: 'One person works alone.',
      looserThanBuiltIn: [{ path: 'selfSignOff', builtIn: false, set: true }],
    })
  })

  it('are not set over a version that somebody did not see', async () => {
    await put({ criteria: BUILT_IN, basedOnVersion: 1 })
    const late = await put({ criteria: BUILT_IN, basedOnVersion: 1 })
    expect(late.json()).toMatchObject({ status: 409, code: 'policy-changed' })
    expect((await read()).version).toBe(2)
  })

  it('stand on a page, and a form that is sent back untouched changes none', async () => {
    await put({ criteria: BUILT_IN })
    const page = await server.inject({ url: '/policy', headers: asBrowser(cast.sam) })
    expect(page.statusCode).toBe(200)
    expect(page.body).toContain('None is looser than the built-in criteria')
    const answer = await postForm(server, '/policy', await formFields(), { cookie: cast.sam.cookie })
    expect(answer.statusCode).toBe(303)
    const policy = await read()
    expect(policy).toMatchObject({ version: 3, looserThanBuiltIn: [] })
    expect(policy.criteria).toEqual({
      ...BUILT_IN,
      pressure: { ...BUILT_IN.pressure, bandMinimum: { value: 25_000, unit: 'Pa' } },
      vacuum: {
        ...BUILT_IN.vacuum,
        target: { value: expect.closeTo(BUILT_IN.vacuum.target.value, 4), unit: 'Pa' },
        limit: { value: expect.closeTo(BUILT_IN.vacuum.limit.value, 3), unit: 'Pa' },
      },
      running: {
        ...BUILT_IN.running,
        subcoolingTolerance: { value: expect.closeTo(5 / 3, 4), unit: 'K' },
        superheatTolerance: { value: expect.closeTo(25 / 9, 4), unit: 'K' },
      },
    })
  })

  it('are changed by the form: figures, ticks, lines, and what is emptied', async () => {
    await put({ criteria: BUILT_IN })
    const fields = {
      ...(await formFields()),
      'criteria.pressure.hold.value': '90',
      'criteria.vacuum.leakRate.value': '1e-6',
      'criteria.bubbleSensitivity.rate.value': '4,5',
      'criteria.bubbleSensitivity.source': 'own trial of 12 May 2025',
      'criteria.confirmationDays.scale#': '',
      'criteria.handlerSchemes': 'Section 608\r\n\r\n Regulation 2024/573 ',
      reason: 'The scale is confirmed before each use.',
    }
    delete (fields as Record<string, string>)['criteria.evidence.photos.unit-plates']
    const answer = await postForm(server, '/policy', fields, { cookie: cast.sam.cookie })
    expect(answer.statusCode).toBe(303)
    const { criteria, looserThanBuiltIn } = await read()
    expect(criteria.pressure.hold).toEqual({ value: 5400, unit: 's' })
    expect(criteria.vacuum.leakRate).toEqual({ value: 1e-6, unit: 'Pa.m3/s' })
    expect(criteria.bubbleSensitivity).toEqual({
      rate: { value: expect.closeTo(4.5, 9), unit: 'g/yr' },
      source: 'own trial of 12 May 2025',
    })
    expect(criteria.confirmationDays.scale).toBeNull()
    expect(criteria.handlerSchemes).toEqual(['Section 608', 'Regulation 2024/573'])
    expect(criteria.evidence.photos).toHaveLength(5)
    expect(looserThanBuiltIn.map((one: { path: string }) => one.path)).toEqual([
      'confirmationDays.scale',
      'bubbleSensitivity',
      'evidence.photos',
    ])
    const page = await server.inject({ url: '/policy', headers: asBrowser(cast.sam) })
    expect(page.body).toContain('3 are looser than the built-in criteria')
    expect(page.body).toContain('The scale is confirmed before each use.')
  })

  it('come back as they were typed when the form is refused', async () => {
    const fields = { ...(await formFields()), 'criteria.pressure.hold.value': 'an hour' }
    const answer = await postForm(server, '/policy', fields, { cookie: cast.sam.cookie })
    expect(answer.statusCode).toBe(400)
    const page = parse(answer.body)
    const field = page.querySelector('input[name="criteria.pressure.hold.value"]')
    expect(field?.getAttribute('value')).toBe('an hour')
    expect(field?.getAttribute('aria-invalid')).toBe('true')
    expect((await read()).version).toBe(1)
  })

  it.each(['tess', 'wren'] as const)('are not for %s', async (name) => {
    const player = cast[name]
    for (const url of ['/api/v1/policy', '/policy', '/policy/edit'])
      expect((await server.inject({ url, headers: asBrowser(player) })).statusCode, url).toBe(403)
    expect((await put({ criteria: BUILT_IN }, asProgram(player))).statusCode).toBe(403)
    expect((await read()).version).toBe(1)
  })

  it('are nothing for somebody signed out, and of another company apart', async () => {
    expect((await server.inject({ url: '/api/v1/policy' })).statusCode).toBe(401)
    expect((await server.inject({ url: '/policy' })).headers.location).toContain('/sign-in')
    expect((await put({ criteria: BUILT_IN }, {})).statusCode).toBe(401)
    await put({ criteria: BUILT_IN })
    const rows = await cast.store.store.query(
      `select version from policies where company_id = '${cast.zoe.companyId}'`,
    )
    expect(rows).toEqual([{ version: 1 }])
  })

  it('name beside each criterion who set it last, and nobody where it was so from the first', async () => {
    const longer = { ...BUILT_IN, pressure: { ...BUILT_IN.pressure, hold: { value: 2, unit: 'h' } } }
    await put({ criteria: longer, basedOnVersion: 1 })
    await put({ criteria: { ...longer, selfSignOff: true }, reason: 'We are two.', basedOnVersion: 2 })
    const page = parse((await server.inject({ url: '/policy', headers: asBrowser(cast.sam) })).body)
    const rows = page.querySelectorAll('tr').filter((row) => row.text.includes('set by Sam'))
    const versions = rows.map((row) => /version \d/.exec(row.text)?.[0])
    // The first of this company asked for no photos; the second asks for the built-in ones.
    expect(versions.toSorted()).toEqual(['version 2', 'version 2', 'version 3'])
    expect(rows.find((row) => row.text.includes('120\u00a0min'))?.text).toContain('version 2')
  })

  it.each([
    ['nothing', {}, ['criteria']],
    ['a part of them', { criteria: { selfSignOff: false } }, ['criteria.decisionRule']],
    [
      'a hold of a second',
      { criteria: { ...BUILT_IN, pressure: { ...BUILT_IN.pressure, hold: { value: 1, unit: 's' } } } },
      ['criteria.pressure.hold.value'],
    ],
    [
      'a hold in bar',
      { criteria: { ...BUILT_IN, pressure: { ...BUILT_IN.pressure, hold: { value: 60, unit: 'bar' } } } },
      ['criteria.pressure.hold.unit'],
    ],
    [
      'a negative tolerance',
      {
        criteria: {
          ...BUILT_IN,
          running: { ...BUILT_IN.running, superheatTolerance: { value: -1, unit: 'K' } },
        },
      },
      ['criteria.running.superheatTolerance.value'],
    ],
    ['a version that is a word', { criteria: BUILT_IN, basedOnVersion: 'one' }, ['basedOnVersion']],
  ])('refuse %s', async (_what, payload, paths) => {
    const answer = await put(payload)
    expect(answer.statusCode).toBe(400)
    const told = answer.json().errors.map((error: { path: string }) => error.path)
    expect(told.slice(0, 1)).toEqual(paths)
    expect((await read()).version).toBe(1)
  })
})
