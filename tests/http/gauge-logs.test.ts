// Is a gauge's log looked at before it is taken, taken whole or not at all, and kept as it came?

import type { FastifyInstance } from 'fastify'
import { parse as parseHtml } from 'node-html-parser'
import { afterAll, beforeAll, beforeEach, describe, expect, it } from 'vitest'
import { verifyRecord } from '../../server/certificate/verify-record.ts'
import { newId } from '../../server/ids.ts'
import { hashOf } from '../../server/store/files.ts'
import { verifyChain } from '../../server/store/record.ts'
import { scopeOf } from '../../server/store/store.ts'
import { aCast, asBrowser, asProgram, type Cast, NOON, type Player } from '../support/cast.ts'
import { aForm } from '../support/pictures.ts'
import { aSection, type ReadySection } from '../support/section.ts'
import { STORE_KINDS } from '../support/stores.ts'

/** Raised at 13:00, the source off at 13:10, held from 13:20 to 14:30, and level. */
const HOLD = Array.from({ length: 8 }, (_, index) => 20 + index * 10)
const PRESSURE_LOG = [
  'Uhrzeit;Druck (MPa);Kanal 2 (MPa);Temperatur (°C)',
  '13:00;1,0;0,1;21,5',
  '13:10;4,152;0,1;21,5',
  ...HOLD.map(
    (minutes) => `${13 + Math.floor(minutes / 60)}:${String(minutes % 60).padStart(2, '0')};4,150;0,1;21,5`,
  ),
  '14:31;OL;0,1;21,5',
].join('\r\n')
/** Pulled to 300 micron at 13:10, then level at 310 for twenty minutes. */
const VACUUM_LOG = [
  'Elapsed (min),Vacuum (micron)',
  '0,90000',
  '5,900',
  '10,300',
  ...Array.from({ length: 20 }, (_, index) => `${11 + index},310`),
].join('\n')

describe.each(STORE_KINDS)('a gauge’s log on %s', (kind) => {
  let cast: Cast
  let section: ReadySection
  let server: FastifyInstance
  let pressureTestId: string
  let evacuationId: string
  beforeAll(async () => {
    cast = await aCast(kind)
    section = await aSection(cast)
    server = await cast.server()
  })
  afterAll(() => cast.remove())
  beforeEach(async () => {
    const performedAt = new Date(NOON - 2 * 3_600_000).toISOString()
    const start = (path: string, body: object) =>
      post(cast.tess, `/systems/${section.systemId}/${path}`, {
        jobId: section.jobId,
        performedAt,
        ...body,
      })
    pressureTestId = (
      await start('pressure-tests', {
        medium: 'nitrogen',
        gaugeInstrumentId: section.gauge,
        thermometerInstrumentId: section.thermometer,
      })
    ).json().id
    evacuationId = (await start('evacuations', { gaugeInstrumentId: section.vacuumGauge })).json().id
  })

  const post = (player: Player | null, url: string, payload: object = {}) =>
    server.inject({
      method: 'POST',
      url: `/api/v1${url}`,
      headers: player ? asProgram(player) : {},
      payload,
    })
  const entries = async () =>
    Number((await cast.store.store.query<{ n: number }>('select count(*) as n from entries'))[0]?.n)
  const sendFile = (
    player: Player,
    url: string,
    bytes: Uint8Array | string,
    fields: Record<string, string> = {},
  ) => {
    const form = aForm(fields, {
      name: 'log',
      fileName: 'log.csv',
      type: 'text/csv',
      bytes: typeof bytes === 'string' ? Buffer.from(bytes) : bytes,
    })
    return server.inject({
      method: 'POST',
      url,
      headers: { ...asBrowser(player), ...form.headers },
      payload: form.payload,
    })
  }
  const send = (player: Player, url: string, fields: Record<string, string>) =>
    server.inject({
      method: 'POST',
      url,
      headers: { ...asBrowser(player), 'content-type': 'application/x-www-form-urlencoded' },
      payload: new URLSearchParams(fields).toString(),
    })
  const look = async (player: Player, url: string) =>
    server.inject({ method: 'GET', url, headers: asBrowser(player) })
  /** The fields of the form that takes it. */
  const takeForm = (html: string) => {
    const form = parseHtml(html)
      .querySelectorAll('form[method=post]')
      .find((one) => /^Take/.test(one.querySelector('button')?.text ?? ''))
    if (!form) throw new Error(`Nothing can be taken here: ${parseHtml(html).querySelector('main')?.text}`)
    return Object.fromEntries(
      form
        .querySelectorAll('input')
        .map((input) => [input.getAttribute('name') ?? '', input.getAttribute('value') ?? '']),
    )
  }

  it('says as JSON what would be taken, records nothing, then takes just that', async () => {
    const before = await entries()
    const url = `/pressure-tests/${pressureTestId}/log`
    const dry = await post(cast.tess, url, { text: PRESSURE_LOG, dryRun: true })
    expect(dry.statusCode, dry.body).toBe(200)
    const { log, readings } = dry.json()
    expect(readings).toEqual([])
    expect(log).toMatchObject({
      recorded: null,
      blocked: null,
      rows: 11,
      read: {
        columns: { time: 1, date: 0, pressure: 2, temperature: 4, phase: 0 },
        timeAs: 'clock',
        decimal: 'comma',
        parted: new Date(NOON - 110 * 60_000).toISOString(),
        every: 1,
      },
      leftOut: { unread: 1, settling: 0, inRecord: 0, thinned: 0 },
      faults: [{ row: 12, why: 'no gauge pressure can be read in “OL”' }],
    })
    expect(log.doubts.join()).toContain('Column 3')
    expect(await entries()).toBe(before)
    const id = newId()
    const body = { id, log: log.sha256, columns: { pressure: 2 } }
    const taken = await post(cast.tess, url, body)
    expect(taken.statusCode, taken.body).toBe(200)
    expect(await entries()).toBe(before + 1)
    expect(taken.json().log.recorded).toMatchObject({ id, testId: pressureTestId, taken: 10, rows: 11 })
    expect(taken.json().readings).toHaveLength(10)
    expect(taken.json().readings[2]).toMatchObject({
      at: new Date(NOON - 100 * 60_000).toISOString(),
      stage: 'hold',
      gaugePressure: { value: 4.15, unit: 'MPa' },
      temperature: { value: 21.5, unit: 'degC' },
    })
    const again = await post(cast.tess, url, body)
    expect(again.json()).toEqual(taken.json())
    expect(await entries()).toBe(before + 1)
    const concluded = await post(cast.tess, `/pressure-tests/${pressureTestId}/conclude`)
    expect(concluded.json().verdict).toBe('holds')
    const scope = scopeOf(cast.store.store.reader(), cast.tess.companyId)
    expect(await verifyChain(scope, section.systemId)).toEqual([])
  })

  it('goes from the file to the verdict on pages, without script', async () => {
    const page = `/evacuations/${evacuationId}`
    const sent = await sendFile(cast.tess, `${page}/log`, VACUUM_LOG, { 'dryRun?': 'yes', zone: 'UTC' })
    expect(sent.statusCode, sent.body).toBe(303)
    const at = String(sent.headers.location)
    expect(at).toBe(`${page}/log?log=${hashOf(Buffer.from(VACUUM_LOG))}&zone=UTC`)
    const seen = await look(cast.tess, at)
    expect(seen.statusCode).toBe(200)
    const words = parseHtml(seen.body).querySelector('main')?.structuredText ?? ''
    expect(words).toContain('23 readings of 23 rows')
    expect(words).toContain('times count from when it began')
    expect(parseHtml(seen.body).querySelector('#plot-log-title')).not.toBeNull()
    const fields = takeForm(seen.body)
    expect(fields).toMatchObject({
      'columns.pressure#': '2',
      timeAs: 'min',
      beganLocal: '2026-03-04T13:00:00',
      partedLocal: '2026-03-04T13:10:00',
    })
    const before = await entries()
    const taken = await send(cast.tess, `${page}/log`, fields)
    expect([taken.statusCode, taken.headers.location], taken.body).toEqual([303, page])
    expect(await entries()).toBe(before + 1)
    // The button pressed twice.
    await send(cast.tess, `${page}/log`, fields)
    expect(await entries()).toBe(before + 1)
    const test = (
      await server.inject({ method: 'GET', url: `/api/v1${page}`, headers: asProgram(cast.tess) })
    ).json()
    expect(test.readings.filter((one: { phase: string }) => one.phase === 'decay')).toHaveLength(21)
    expect((await post(cast.tess, `${page}/conclude`)).json().verdict).toBe('tight')
  })

  it('reads it as it is told to on the page, and says beside the field what can not be', async () => {
    const page = `/pressure-tests/${pressureTestId}`
    const sent = await sendFile(cast.tess, `${page}/log`, PRESSURE_LOG, {
      'dryRun?': 'yes',
      zone: 'Europe/Berlin',
    })
    const at = String(sent.headers.location)
    // 13:00 in Berlin is 12:00.
    expect(takeForm((await look(cast.tess, at)).body)).toMatchObject({
      zone: 'Europe/Berlin',
      partedLocal: '2026-03-04T13:10:00',
    })
    const other = await look(cast.tess, `${at}&columns.pressure%23=3&only=hold`)
    expect(parseHtml(other.body).querySelector('table')?.text).toContain('0.1\u00a0MPa')
    expect(takeForm(other.body)).toMatchObject({ 'columns.pressure#': '3', only: 'hold', partedLocal: '' })
    const wrong = parseHtml(
      (await look(cast.tess, `${at.replace('Europe%2FBerlin', 'Nowhere%2FLand')}`)).body,
    )
    expect(wrong.querySelector('.field-wrong')?.text).toContain('Enter a zone')
    const same = parseHtml((await look(cast.tess, `${at}&columns.pressure%23=4`)).body)
    expect(same.querySelector('main')?.text).toContain('One column can’t be two things')
    expect(same.querySelectorAll('button').filter((one) => one.text.startsWith('Take'))).toEqual([])
  })

  it('keeps the file as it came, for members of the company alone', async () => {
    const text = `${VACUUM_LOG}\n31,310`
    const taken = await post(cast.tess, `/evacuations/${evacuationId}/log`, {
      text,
      only: 'decay',
    })
    const { id, sha256 } = taken.json().log.recorded
    const file = await look(cast.wren, `/reading-logs/${id}`)
    expect(file.body).toBe(text)
    expect(hashOf(file.rawPayload)).toBe(sha256)
    expect(file.headers['content-disposition']).toMatch(/^attachment/)
    const told = await server.inject({
      method: 'GET',
      url: `/api/v1/reading-logs/${id}`,
      headers: asProgram(cast.wren),
    })
    expect(told.json()).toMatchObject({
      id,
      sha256,
      testId: evacuationId,
      how: { read: { parting: 'after', timeAs: 'min' } },
    })
    expect((await look(cast.zoe, `/reading-logs/${id}`)).statusCode).toBe(404)
    const { files } = cast.machinery
    const without = {
      ...files,
      get: async (company: string, hash: string) => (hash === sha256 ? null : files.get(company, hash)),
    }
    const faults: string[] = []
    const check = (given: typeof files) =>
      verifyRecord(cast.store.store, {
        keys: cast.machinery.signer.publicKeys,
        files: given,
        onFault: ({ of, what }) => faults.push(`${of}: ${what}`),
      })
    await check(files)
    expect(faults).toEqual([])
    await check(without)
    expect(faults).toEqual([`gauge’s log ${id}: its file is missing`])
  })

  it('takes a file once, and of a longer one what is new', async () => {
    const url = `/evacuations/${evacuationId}/log`
    const beganAt = new Date(NOON - 60 * 60_000).toISOString()
    expect((await post(cast.tess, url, { text: VACUUM_LOG, beganAt })).statusCode).toBe(200)
    const before = await entries()
    const again = await post(cast.tess, url, { text: VACUUM_LOG, beganAt })
    expect([again.statusCode, again.json().code]).toEqual([409, 'log-taken'])
    expect(await entries()).toBe(before)
    const longer = await post(cast.tess, url, { text: `${VACUUM_LOG}\n31,311\n32,312`, beganAt })
    expect(longer.json().log).toMatchObject({ leftOut: { inRecord: 23 }, recorded: { taken: 2 } })
    expect(longer.json().readings).toHaveLength(25)
  })

  it('thins thousands of rows, and says how', async () => {
    const rows = Array.from({ length: 5000 }, (_, index) => `${index};${310 + index / 1000}`)
    const text = `Elapsed (s);Vacuum (micron)\n${rows.join('\n')}`
    const taken = await post(cast.tess, `/evacuations/${evacuationId}/log`, { text, only: 'decay' })
    expect(taken.statusCode, taken.body.slice(0, 300)).toBe(200)
    const { log, readings } = taken.json()
    expect(readings.length).toBeLessThanOrEqual(240)
    expect(log.read.every).toBe(21)
    expect(log.notes.join()).toContain('Every 21st is taken')
    expect(log.leftOut.thinned).toBe(5000 - readings.length)
    expect(readings[0].absolutePressure.value).toBe(310)
    expect(readings.at(-1).absolutePressure.value).toBeCloseTo(314.999, 9)
  })

  it('refuses bad files with a reason beside the field, and writes nothing', async () => {
    const page = `/evacuations/${evacuationId}/log`
    const before = await entries()
    const files = async () => (await cast.machinery.files.list(cast.tess.companyId)).length
    const kept = await files()
    const cases: [string, Uint8Array | string, number, string][] = [
      ['empty', '', 400, 'There is nothing in this file'],
      ['10 MB', Buffer.alloc(10 * 1024 * 1024, '0;310\n'), 413, 'Logs of up to 2 MB'],
      ['3 MB', Buffer.alloc(3 * 1024 * 1024, '0;310\n'), 413, 'Logs of up to 2 MB'],
      ['binary', Buffer.from([0, 1, 2, 3, 250, 0, 0, 9]), 400, 'This is no text'],
      ['one column', '310\n320\n', 400, 'only one column'],
      ['words', 'to whom it may concern', 400, 'no number in it'],
    ]
    for (const [what, bytes, status, words] of cases) {
      const answer = await sendFile(cast.tess, page, bytes, { 'dryRun?': 'yes' })
      expect([what, answer.statusCode]).toEqual([what, status])
      expect(parseHtml(answer.body).querySelector('.field-wrong .message')?.text, what).toContain(words)
      // Without the look beforehand it is no different.
      const taken = await sendFile(cast.tess, `/api/v1${page}`, bytes)
      expect([what, taken.statusCode]).toEqual([what, status])
      expect(taken.json().errors[0]).toMatchObject({ path: 'log' })
    }
    const pasted = await send(cast.tess, page, { text: 'nothing of use', 'dryRun?': 'yes' })
    expect(pasted.statusCode).toBe(400)
    expect(parseHtml(pasted.body).querySelector('textarea')?.text).toContain('nothing of use')
    expect(parseHtml(pasted.body).querySelector('.field-wrong .message')?.text).toContain('no number in it')
    const none = await send(cast.tess, page, { 'dryRun?': 'yes' })
    expect(parseHtml(none.body).querySelector('.field-wrong .message')?.text).toContain('Choose the file')
    expect([await entries(), await files()]).toEqual([before, kept])
  })

  it('is refused whole where none of it can be taken, where it was guessed wrong, and where it names nothing', async () => {
    const url = `/pressure-tests/${pressureTestId}/log`
    const before = await entries()
    const bodies: [object, number, string][] = [
      [{}, 400, 'log'],
      [{ text: PRESSURE_LOG, log: 'a'.repeat(64) }, 400, 'text'],
      [{ log: 'a'.repeat(64) }, 404, 'log'],
      [{ log: 'x' }, 400, 'log'],
      [{ text: PRESSURE_LOG, columns: { pressure: 9 } }, 400, 'columns.pressure'],
      [{ text: PRESSURE_LOG, columns: { pressure: 1 } }, 400, 'columns.pressure'],
      [{ text: PRESSURE_LOG, columns: { pressure: -1 } }, 400, 'columns.pressure'],
      [{ text: PRESSURE_LOG, only: 'hold', sourceOffAt: new Date(NOON).toISOString() }, 400, 'sourceOffAt'],
      [{ text: PRESSURE_LOG, only: 'decay' }, 400, 'only'],
      [{ text: PRESSURE_LOG, zone: 'Nowhere' }, 400, 'zone'],
      [{ text: PRESSURE_LOG, timeAs: 'min' }, 400, 'text'],
      [{ text: 'Time,P (bara),T (C)\n13:00,41,20\n13:30,41,20' }, 400, 'pressureUnit'],
      [{ text: 'Time,P (bar)\n13:00,41\n13:30,41' }, 400, 'text'],
      // The units of a pressure test go up to 200 bar.
      [{ text: 'Time,P (bar),T (C)\n13:00,4100,20\n13:30,4100,20' }, 400, 'text'],
      [{ text: PRESSURE_LOG, more: 1 }, 400, 'more'],
    ]
    for (const [body, status, path] of bodies) {
      const answer = await post(cast.tess, url, body)
      expect([body, answer.statusCode]).toEqual([body, status])
      expect(answer.json().errors[0]?.path, answer.body).toBe(path)
    }
    expect(await entries()).toBe(before)
  })

  it('is for who records work on an open job with a running test', async () => {
    for (const url of [`/pressure-tests/${pressureTestId}/log`, `/evacuations/${evacuationId}/log`]) {
      const body = { text: VACUUM_LOG }
      expect((await post(null, url, body)).statusCode).toBe(401)
      expect((await post(cast.wren, url, body)).statusCode).toBe(403)
      expect((await post(cast.zoe, url, body)).statusCode).toBe(404)
      expect((await look(cast.wren, url)).statusCode).toBe(403)
      expect((await look(cast.zoe, url)).statusCode).toBe(404)
      await post(cast.tess, url.replace('/log', '/conclude'))
      const late = await post(cast.tess, url, body)
      expect([late.statusCode, late.json().code]).toEqual([409, 'test-concluded'])
      const page = await look(cast.tess, url)
      expect(page.statusCode).toBe(200)
      expect(parseHtml(page.body).querySelectorAll('input[type=file]')).toHaveLength(0)
    }
  })
})
