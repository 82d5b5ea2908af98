// Do the tables that are taken out say what is there, for the company's own desk alone?

import { parse } from 'csv-parse/sync'
import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import { correctFact } from '../../server/commands/corrections/correct-fact.ts'
import { addInstrument } from '../../server/commands/instruments/add-instrument.ts'
import { csvOf } from '../../server/http/csv.ts'
import { TABLES } from '../../server/http/exports.ts'
import { aCast, asBrowser, asProgram, type Cast, type Player } from '../support/cast.ts'
import { aWholeJob, type Whole } from '../support/worked.ts'

let cast: Cast
let work: Whole
beforeAll(async () => {
  cast = await aCast('sqlite')
  const { id: instrumentId } = await cast.run(cast.tess, addInstrument, {
    kind: 'torque-wrench',
    name: 'Long wrench',
    serial: 'long-1',
    accuracyPercent: 4,
  })
  work = await aWholeJob(cast, '=1+1', {
    torque: {
      outdoorGas: {
        indication: 'read',
        reading: { value: 28, unit: 'ft.lbf' },
        instrumentId,
      },
    },
  })
  await cast.run(cast.tess, correctFact, {
    entryId: work.made.indoorLiquid.torque.entryId,
    reason: 'Read off the wrong mark',
    replacement: {
      indication: 'read',
      reading: { value: 16.5, unit: 'N.m' },
      instrumentId: work.zone.instruments.torqueWrench,
    },
  })
})
afterAll(() => cast.remove())

async function get(path: string, by: Player | null = cast.sam) {
  const server = await cast.server()
  return server.inject({ url: `/api/v1${path}`, headers: by ? asProgram(by) : {} })
}
async function rows(table: string, query = '', by = cast.sam): Promise<Record<string, string>[]> {
  const answer = await get(`/exports/${table}.csv${query}`, by)
  expect(answer.statusCode, answer.body).toBe(200)
  return parse(answer.body, {
    columns: true,
    bom: true,
    delimiter: query.includes('semicolon') ? ';' : ',',
  }) as Record<string, string>[]
}

describe('tables out', () => {
  it.each(Object.keys(TABLES))('%s is a CSV with the columns that are promised', async (table) => {
    const answer = await get(`/exports/${table}.csv`)
    expect(answer.statusCode).toBe(200)
    expect(answer.headers['content-type']).toBe('text/csv; charset=utf-8')
    expect(answer.headers['content-disposition']).toMatch(
      new RegExp(`^attachment; filename="${table}-\\d{4}-\\d\\d-\\d\\d\\.csv"$`),
    )
    expect(answer.body.split('\r\n')[0]).toBe(TABLES[table as keyof typeof TABLES].columns.join(','))
  })

  it('joints have their torque judged: 28 ft·lbf with a ±4 % wrench is 37.96 ± 1.52 N·m in 34–42', async () => {
    const joints = await rows('joints')
    const joint = joints.find((row) => row.joint_id === work.zone.joints.outdoorGas)
    expect(joint).toMatchObject({
      place: 'outdoor-gas',
      tube_od_mm: '9.525',
      torque_reading: '28',
      torque_reading_unit: 'ft.lbf',
      range_low_nm: '34',
      range_high_nm: '42',
      torque_verdict: 'in-range',
      makings: '1',
      made_by: 'Tess',
      torqued_by: 'Tess',
      wrench_serial: 'long-1',
    })
    // 28 × 1.355 817 948 = 37.962 9; 4 % of it is 1.518 5.
    expect(Number(joint?.torque_at_nut_nm)).toBeCloseTo(37.9629, 3)
    expect(Number(joint?.torque_uncertainty_nm)).toBeCloseTo(1.5185, 3)
    expect(joints.filter((row) => row.kind === 'flare')).toHaveLength(4)
  })

  it('what was corrected counts as corrected, in joints and in torques', async () => {
    const joint = (await rows('joints')).find((row) => row.joint_id === work.zone.joints.indoorLiquid)
    expect(joint?.torque_reading).toBe('16.5')
    const torques = (await rows('torques')).filter((row) => row.joint_id === work.zone.joints.indoorLiquid)
    expect(torques.map((row) => row.torque_reading)).toEqual(['16.5'])
    expect(torques[0]).toMatchObject({ making: '1', making_is_current: 'yes', torque_verdict: 'in-range' })
  })

  it('tests have verdicts and how many readings they rest on', async () => {
    const tests = await rows('tests')
    expect(
      tests.map(({ kind, verdict, readings, pressure_is: is }) => [kind, verdict, readings, is]),
    ).toEqual([
      ['pressure', 'holds', '3', 'gauge'],
      ['evacuation', 'tight', '13', 'absolute'],
    ])
    expect(tests[0]).toMatchObject({
      medium: 'nitrogen',
      first_pressure_pa: '1500000',
      last_pressure_pa: '4160000',
    })
  })

  it('jobs and instruments say how they stand', async () => {
    const [job] = await rows('jobs')
    expect(job).toMatchObject({ job_id: work.jobId, stage: 'open', systems: '1', certificate_code: '' })
    const wrench = (await rows('instruments')).find((row) => row.serial === 'torque-wrench-=1+1')
    expect(wrench).toMatchObject({
      accuracy_percent: '4',
      last_result: 'in-tolerance',
      largest_as_found_error_percent: '0.5',
      in_use: 'yes',
    })
    // Three torques name it, and one correction.
    expect(wrench?.uses).toBe('4')
  })

  it('nothing that somebody typed is worked out by a spreadsheet, and a number stays one', async () => {
    async function* typed() {
      yield { a: '=HYPERLINK("https://elsewhere.example")', b: -1.5, c: 'two\nlines' }
      yield { a: '+1', b: 1e-7, c: ' edge' }
      yield { a: '@x', b: null, c: 'plain' }
    }
    const written = csvOf(['a', 'b', 'c'], typed(), { delimiter: 'comma', decimal: 'point' })
    expect(Buffer.concat(await written.toArray()).toString()).toBe(
      [
        'a,b,c',
        `"'=HYPERLINK(""https://elsewhere.example"")",-1.5,"two\nlines"`,
        `'+1,1e-7," edge"`,
        `'@x,,plain`,
        '',
      ].join('\r\n'),
    )
  })

  it('can have decimal commas and say that they are UTF-8', async () => {
    const answer = await get('/exports/joints.csv?delimiter=semicolon&decimal=comma')
    expect(answer.body.startsWith('\ufeffjoint_id;tag;')).toBe(true)
    const joint = (await rows('joints', '?delimiter=semicolon&decimal=comma')).find(
      (row) => row.joint_id === work.zone.joints.outdoorGas,
    )
    expect(joint?.tube_od_mm).toBe('9,525')
    const tabs = await get('/exports/joints.csv?delimiter=tab')
    expect(tabs.body.startsWith('joint_id\ttag\t')).toBe(true)
  })

  it.each([['?delimiter=bar'], ['?decimal=dot']])('refuse %s', async (query) => {
    expect((await get(`/exports/jobs.csv${query}`)).statusCode).toBe(400)
  })

  it.each(Object.keys(TABLES))('%s is for the desk: nobody else, and of nobody else’s', async (table) => {
    expect((await get(`/exports/${table}.csv`, null)).statusCode).toBe(401)
    expect((await get(`/exports/${table}.csv`, cast.tess)).statusCode).toBe(403)
    expect((await get(`/exports/${table}.csv`, cast.wren)).statusCode).toBe(403)
    expect((await get(`/exports/${table}.csv`, cast.olga)).statusCode).toBe(200)
    const stranger: Player = { ...cast.zoe, role: 'owner' }
    await cast.store.store.execute(`update members set role = 'owner' where id = '${cast.zoe.memberId}'`)
    expect(await rows(table, '', stranger)).toEqual([])
  })

  it('are listed on a page that works without script', async () => {
    const server = await cast.server()
    const page = await server.inject({ url: '/moving-data', headers: asBrowser(cast.sam) })
    expect(page.statusCode).toBe(200)
    for (const table of Object.keys(TABLES)) expect(page.body).toContain(`href="/exports/${table}.csv"`)
    const file = await server.inject({ url: '/exports/jobs.csv', headers: asBrowser(cast.sam) })
    expect(file.headers['content-disposition']).toContain('jobs-')
    const out = await server.inject({ url: '/moving-data' })
    expect(out.headers.location).toContain('/sign-in')
  })
})
