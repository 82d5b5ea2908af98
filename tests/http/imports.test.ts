// Is a table looked at before it is brought in, brought in whole or not at all, and no row of it twice?

import { parse as parseCsv } from 'csv-parse/sync'
import { parse as parseHtml } from 'node-html-parser'
import { afterAll, beforeAll, beforeEach, describe, expect, it } from 'vitest'
import { verifyRecord } from '../../server/certificate/verify-record.ts'
import { addInstrument } from '../../server/commands/instruments/add-instrument.ts'
import { recordCalibration } from '../../server/commands/instruments/record-calibration.ts'
import { addEquipmentSheet } from '../../server/commands/places/add-equipment-sheet.ts'
import { addSite } from '../../server/commands/places/add-site.ts'
import { aCast, asBrowser, asProgram, type Cast, DAY, ORIGIN, type Player } from '../support/cast.ts'
import { aForm } from '../support/pictures.ts'
import { SHEET } from '../support/setups.ts'
import { STORE_KINDS } from '../support/stores.ts'

interface Row {
  row: number
  state: string
  id: string | null
  errors: { field: string; column: number; message: string }[]
}

describe.each(STORE_KINDS)('tables in, on %s', (kind) => {
  let cast: Cast
  beforeAll(async () => {
    cast = await aCast(kind)
  })
  afterAll(() => cast.remove())
  beforeEach(() => cast.clock.pass(1000))

  const send = async (what: string, body: object, by: Player | null = cast.sam) => {
    const server = await cast.server()
    return server.inject({
      method: 'POST',
      url: `/api/v1/imports/${what}.csv`,
      headers: by ? asProgram(by) : {},
      payload: body,
    })
  }
  const rowsOf = (answer: { json(): { rows: Row[] } }) => answer.json().rows
  const count = async (table: string) => (await cast.store.store.query(`select id from ${table}`)).length

  const SITES = [
    'Kundennr.;Kunde;Adresse;Ort;Höhe (m)',
    '1001;Ida Fenwick;"12 Mill Lane; rear";Brackwater;41,5',
    '1002;Noor Halden;3 Quay;Brackwater;',
  ].join('\r\n')

  it('sites are read by what their headings are called, and only looked at unless it is said', async () => {
    const before = await count('sites')
    const answer = await send('sites', { text: SITES })
    expect(answer.statusCode, answer.body).toBe(200)
    expect(answer.json()).toMatchObject({
      added: null,
      decimal: 'comma',
      chosen: { reference: 1, customerName: 2, address: 3, town: 4, elevation: 5 },
      lacking: [],
    })
    expect(rowsOf(answer).map(({ row, state }) => [row, state])).toEqual([
      [2, 'new'],
      [3, 'new'],
    ])
    expect(await count('sites')).toBe(before)
  })

  it('brought in they are sites like any other, and the same table once more adds nothing', async () => {
    const first = await send('sites', { text: SITES, dryRun: false })
    expect(first.statusCode, first.body).toBe(200)
    expect(first.json().added).toBe(2)
    const [one] = rowsOf(first)
    const server = await cast.server()
    const site = await server.inject({ url: `/api/v1/sites/${one?.id}`, headers: asProgram(cast.tess) })
    expect(site.json()).toMatchObject({
      customerName: 'Ida Fenwick',
      address: '12 Mill Lane; rear',
      town: 'Brackwater',
      elevation: { value: 41.5, unit: 'm' },
    })
    const found = await server.inject({ url: '/api/v1/search?q=fenwick', headers: asProgram(cast.tess) })
    expect(found.body).toContain(one?.id ?? 'none')
    const sites = await count('sites')
    const again = await send('sites', { text: SITES, dryRun: false })
    expect(again.json().added).toBe(0)
    expect(rowsOf(again).map(({ state, id }) => [state, id])).toEqual([
      ['there', one?.id],
      ['there', rowsOf(first)[1]?.id],
    ])
    expect(await count('sites')).toBe(sites)
    // By its number it is known under another name too; and without a number by its name.
    const renamed = SITES.replace('Ida Fenwick', 'Ida Fenwick-Halden').replace('1002;', ';')
    expect(rowsOf(await send('sites', { text: renamed })).map(({ state }) => state)).toEqual([
      'there',
      'there',
    ])
  })

  it('what is wrong is said beside its row, by the field; then nothing at all is added', async () => {
    const text = [
      'customer,address,elevation',
      'Mona Reed,1 Pier,12 m',
      ',2 Pier,3',
      'Otto Vane,3 Pier,high',
      'Otto Vane,4 Pier,9000 m',
      'mona  reed,1  PIER,',
    ].join('\n')
    const before = await count('sites')
    const answer = await send('sites', { text })
    expect(
      rowsOf(answer).map(({ row, state, errors }) => [row, state, errors.map((one) => one.field)]),
    ).toEqual([
      [2, 'new', []],
      [3, 'wrong', ['customerName']],
      [4, 'wrong', ['elevation']],
      [5, 'wrong', ['elevation']],
      [6, 'wrong', ['customerName']],
    ])
    expect(rowsOf(answer)[4]?.errors[0]?.message).toBe('The same as row 2.')
    expect(rowsOf(answer)[2]?.errors[0]).toMatchObject({
      column: 3,
      message: expect.stringContaining('“high”'),
    })
    const refused = await send('sites', { text, dryRun: false })
    expect(refused.statusCode).toBe(400)
    expect(refused.json().errors.map(({ path }: { path: string }) => path)).toEqual([
      'rows.3.customerName',
      'rows.4.elevation',
      'rows.5.elevation',
      'rows.6.customerName',
    ])
    expect(await count('sites')).toBe(before)
  })

  it('instruments come with their last calibration, and a fault in it is one of the row', async () => {
    const text = [
      'Type\tName\tS/N\tAccuracy (%)\tCalibrated\tResult\tCertificate\tAs-found',
      'Drehmomentschlüssel\tWrench 7\tW-7\t±4\t2.3.2026\tpassed\tC-19\t0,8',
      'Micron gauge\tVacuum 2\tV-2\t10\t\t\t\t',
    ].join('\n')
    const looked = await send('instruments', { text, decimal: 'comma' })
    expect(rowsOf(looked).map(({ state, errors }) => [state, errors])).toEqual([
      ['new', []],
      ['new', []],
    ])
    const answer = await send('instruments', { text, decimal: 'comma', dryRun: false })
    expect(answer.statusCode, answer.body).toBe(200)
    const server = await cast.server()
    const list = (await server.inject({ url: '/api/v1/instruments', headers: asProgram(cast.sam) })).json()
    const wrench = list.items.find((one: { serial: string }) => one.serial === 'W-7')
    expect(wrench).toMatchObject({ kind: 'torque-wrench', accuracyPercent: 4 })
    const whole = await server.inject({
      url: `/api/v1/instruments/${wrench.id}`,
      headers: asProgram(cast.sam),
    })
    expect(whole.json().calibrations).toMatchObject([
      {
        at: '2026-03-02T12:00:00.000Z',
        result: 'in-tolerance',
        basis: 'certificate',
        reference: 'C-19',
        points: [{ asFoundErrorPercent: 0.8 }],
      },
    ])
    // A day that has not come yet is told only while it is recorded; nothing of the table stays.
    const before = await count('instruments')
    const future = 'kind;name;serial;calibrated;result\nscale;Scale 3;S-3;;\nscale;Scale 4;S-4;1.1.2099;ok'
    const refused = await send('instruments', { text: future, dryRun: false })
    expect(refused.json().errors).toMatchObject([{ path: 'rows.3.calibration.at' }])
    expect(await count('instruments')).toBe(before)
    const unclear = 'kind;name;serial;calibrated\nscale;Scale 5;S-5;1.2.2026'
    expect(rowsOf(await send('instruments', { text: unclear }))[0]?.errors).toMatchObject([
      { field: 'calibration.result' },
    ])
  })

  it('sheets have ranges by tube size, in the unit of the heading or of the cell', async () => {
    const text = [
      'Maker|Model|Kind|Refrigerant|Manual|Page|Torque 1/4 in (N·m)|Torque 3/8 in|Flare 1/4 (mm)|Additional 1/4 (g/m)|Factory charge|Max length',
      'Larkspur|LS-50|wall split|R32|LS manual, 3rd edition|14|14–18|25 to 31 ft·lbf|8.7-9.1|20|1.2 kg|65 ft 6 in',
      'Larkspur|LS-60|wall split|R-32|LS manual, 3rd edition|15|18–14|||||',
      'Larkspur|LS-70|wall split|R-12|LS manual, 3rd edition|16||||||',
    ].join('\n')
    const looked = rowsOf(await send('equipment-sheets', { text }))
    expect(looked.map(({ state, errors }) => [state, errors.map(({ field }) => field)])).toEqual([
      ['new', []],
      ['wrong', ['torque.1/4']],
      ['wrong', ['refrigerant']],
    ])
    const good = text.split('\n').slice(0, 2).join('\n')
    const answer = await send('equipment-sheets', { text: good, dryRun: false })
    expect(answer.statusCode, answer.body).toBe(200)
    const server = await cast.server()
    const list = (
      await server.inject({ url: '/api/v1/equipment-sheets', headers: asProgram(cast.sam) })
    ).json()
    const sheet = list.items.find((one: { model: string }) => one.model === 'LS-50')
    expect(sheet).toMatchObject({
      refrigerant: 'R-32',
      factoryCharge: { value: 1.2, unit: 'kg' },
      maxLength: { value: 786, unit: 'in' },
      torque: [
        { tubeOd: { value: 0.25, unit: 'in' }, low: 14, high: 18, unit: 'N.m' },
        { tubeOd: { value: 0.375, unit: 'in' }, low: 25, high: 31, unit: 'ft.lbf' },
      ],
      flareDiameter: [{ low: 8.7, high: 9.1, unit: 'mm' }],
      chargeAdders: [{ perLength: { value: 20, unit: 'g/m' } }],
      source: { document: 'LS manual, 3rd edition', page: '14' },
    })
  })

  it('columns may be chosen, or left out; a choice that can not be is refused', async () => {
    const text = 'who,where,what\nIda Reed,9 Dune Road,nothing'
    const guessed = await send('sites', { text })
    expect(guessed.json().lacking).toEqual(['customerName', 'address'])
    expect((await send('sites', { text, dryRun: false })).json().errors).toMatchObject([
      { path: 'columns.customerName' },
      { path: 'columns.address' },
    ])
    const columns = { customerName: 1, address: 2 }
    expect((await send('sites', { text, columns })).json()).toMatchObject({ lacking: [], chosen: columns })
    for (const [bad, path] of [
      [{ customerName: 9 }, 'columns.customerName'],
      [{ colour: 1 }, 'columns.colour'],
      [{ customerName: 1.5 }, 'columns.customerName'],
    ] as const)
      expect((await send('sites', { text, columns: bad })).json().errors).toMatchObject([{ path }])
  })

  it.each([
    ['nothing', {}, 'table'],
    ['no heading', { text: '1,2\n3,4' }, 'text'],
    ['no rows', { text: 'customer,address' }, 'text'],
    ['too many rows', { text: `customer,address\n${'a,b\n'.repeat(1001)}` }, 'text'],
    ['a table that nobody sent', { table: 'a'.repeat(64) }, 'table'],
    ['an unknown field', { text: SITES, sheet: 1 }, 'sheet'],
  ])('%s is refused', async (_name, body, path) => {
    const answer = await send('sites', body)
    expect(answer.statusCode).toBeGreaterThanOrEqual(400)
    expect(answer.statusCode).toBeLessThan(500)
    expect(answer.json().errors).toMatchObject([{ path }])
  })

  it('is for the desk: nobody else, and what one company sent is not there for another', async () => {
    for (const what of ['sites', 'instruments', 'equipment-sheets']) {
      expect((await send(what, { text: SITES }, null)).statusCode).toBe(401)
      expect((await send(what, { text: SITES }, cast.tess)).statusCode).toBe(403)
      expect((await send(what, { text: SITES }, cast.wren)).statusCode).toBe(403)
    }
    const { table } = (await send('sites', { text: SITES })).json()
    await cast.store.store.execute(`update members set role = 'owner' where id = '${cast.zoe.memberId}'`)
    expect((await send('sites', { table }, cast.zoe)).statusCode).toBe(404)
    // The same number in another company is another site.
    const theirs = await send('sites', { text: SITES, dryRun: false }, cast.zoe)
    expect(theirs.json().added).toBe(2)
  })

  it('goes by pages without script: chosen, looked at, a column changed, brought in', async () => {
    const server = await cast.server()
    const headers = asBrowser(cast.sam)
    const form = aForm(
      { 'dryRun?': 'yes' },
      { name: 'table', bytes: Buffer.from('Kunde;Wo;x\nNell Vane;7 Reed Bank, Brackwater;1\n') },
    )
    const sent = await server.inject({
      method: 'POST',
      url: '/imports/sites',
      headers: { ...headers, ...form.headers },
      payload: form.payload,
    })
    expect(sent.statusCode, sent.body).toBe(303)
    const at = String(sent.headers.location)
    expect(at).toMatch(/^\/imports\/sites\?table=[0-9a-f]{64}$/)
    const guessed = await server.inject({ url: at, headers })
    expect(guessed.body).toContain('Say which column has: Address.')
    expect(guessed.body).not.toContain('Add this one')
    const chosen = await server.inject({ url: `${at}&columns.address=2&columns.customerName=1`, headers })
    const page = parseHtml(chosen.body)
    const commit = page.querySelectorAll('form').find((one) => one.text.includes('Add this one'))
    const fields = Object.fromEntries(
      (commit?.querySelectorAll('input') ?? []).map((one) => [
        one.getAttribute('name'),
        one.getAttribute('value'),
      ]),
    ) as Record<string, string>
    const added = await server.inject({
      method: 'POST',
      url: '/imports/sites',
      headers: { ...headers, origin: ORIGIN, 'content-type': 'application/x-www-form-urlencoded' },
      payload: new URLSearchParams(fields).toString(),
    })
    expect(added.statusCode, added.body).toBe(303)
    const done = await server.inject({ url: String(added.headers.location), headers })
    expect(done.body).toContain('One row was added.')
    expect(done.body).toContain('There already')
    const broken = await server.inject({
      method: 'POST',
      url: '/imports/sites',
      headers: { ...headers, 'content-type': 'application/x-www-form-urlencoded' },
      payload: new URLSearchParams({ text: '1,2', 'dryRun?': 'yes' }).toString(),
    })
    expect(broken.statusCode).toBe(400)
    expect(broken.body).toContain('The first row has to name the columns')
  })

  it.each(['', '?delimiter=semicolon&decimal=comma'])(
    'what another company takes out (%s) is brought in as it was',
    async (form) => {
      const out = async (table: string, by: Player) => {
        const server = await cast.server()
        const answer = await server.inject({
          url: `/api/v1/exports/${table}.csv${form}`,
          headers: asProgram(by),
        })
        expect(answer.statusCode).toBe(200)
        return answer.body
      }
      const inAs = async (what: string, text: string, by: Player) => {
        const answer = await send(what, { text, dryRun: false }, by)
        expect(answer.statusCode, answer.body).toBe(200)
      }
      /** Rows without what the other company gives them itself. */
      const told = (csv: string) =>
        (
          parseCsv(csv, { columns: true, bom: true, delimiter: form === '' ? ',' : ';' }) as Record<
            string,
            string
          >[]
        )
          .map(({ site_id, sheet_id, instrument_id, added_at, ...rest }) => JSON.stringify(rest))
          .sort()
      // A number that a spreadsheet would work out, a comma, a rise of each direction, figures that were typed in inches.
      const name = form === '' ? 'plain' : 'with comma'
      await cast.run(cast.sam, addSite, {
        customerName: `Ida Fenwick, ${name}`,
        address: '12 Mill Lane; "rear"',
        town: 'Brackwater',
        contact: '+44 1632 960001',
        elevation: { value: 41.5, unit: 'm' },
      })
      await cast.run(cast.sam, addEquipmentSheet, {
        ...SHEET,
        model: `SHEET ${name}`,
        maxRiseOutdoorAbove: { value: 15, unit: 'm' },
        maxRiseOutdoorBelow: { value: 40, unit: 'ft' },
        maxRise: undefined,
        vacuumTarget: { value: 500, unit: 'micron' },
        testPressureGauge: { value: 600, unit: 'psi' },
        torque: [{ low: 50, high: 60.5, unit: 'ft.lbf', tubeOd: { value: 7 / 8, unit: 'in' } }],
        subcooling: { low: 4, high: 8, unit: 'K' },
      })
      const { id: instrumentId } = await cast.run(cast.sam, addInstrument, {
        kind: 'torque-wrench',
        name: 'Long wrench',
        serial: `LONG ${name}`,
        accuracyPercent: 4,
        calibrationIntervalDays: 365,
      })
      await cast.run(cast.sam, recordCalibration, {
        instrumentId,
        at: new Date(cast.clock.now - 30 * DAY).toISOString().replace(/T.*/, 'T12:00:00.000Z'),
        result: 'in-tolerance',
        basis: 'certificate',
        reference: 'C-77',
        asFoundErrorPercent: -1.5,
      })
      for (const table of ['sites', 'equipment-sheets', 'instruments']) {
        const taken = await out(table, cast.sam)
        await inAs(table, taken, cast.zoe)
        const again = told(await out(table, cast.zoe))
        const rows = told(taken).filter((row) => row.includes(name))
        expect(rows.length, table).toBe(1)
        if (table === 'instruments') expect(rows[0]).toContain('"last_reference":"C-77"')
        expect(again.filter((row) => row.includes(name))).toEqual(rows)
      }
    },
  )

  it('every row stands in the record, and the record holds', async () => {
    const faults: unknown[] = []
    await verifyRecord(cast.store.store, { keys: [], onFault: (fault) => faults.push(fault) })
    expect(faults).toEqual([])
    const kinds = await cast.store.store.query<{ kind: string }>(
      "select kind from entries where kind = 'table-imported'",
    )
    expect(kinds.length).toBeGreaterThan(3)
  })
})
