// Does the set-up of an earlier system come along, shown before it is taken, and nothing that was not said?

import { parse } from 'node-html-parser'
import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import { changeInstrument } from '../../server/commands/instruments/change-instrument.ts'
import { openJob } from '../../server/commands/jobs/open-job.ts'
import { addLineSet } from '../../server/commands/places/add-line-set.ts'
import { addUnit } from '../../server/commands/places/add-unit.ts'
import { newId } from '../../server/ids.ts'
import { verifyChain } from '../../server/store/record.ts'
import { scopeOf } from '../../server/store/store.ts'
import { aCast, type Cast } from '../support/cast.ts'
import { aJobAtASite, inches, metres } from '../support/setups.ts'
import { STORE_KINDS } from '../support/stores.ts'
import { twoFaces } from '../support/two-faces.ts'
import { aWholeJob, type Work } from '../support/worked.ts'

describe.each(STORE_KINDS)('the set-up of an earlier system, on %s', (kind) => {
  let cast: Cast
  let faces: Awaited<ReturnType<typeof twoFaces>>
  let work: Work
  let jobId: string
  let branchId: string
  let branchLineId: string
  beforeAll(async () => {
    cast = await aCast(kind)
    faces = await twoFaces(cast)
    work = await aWholeJob(cast, 'earlier')
    const { systemId } = work.zone
    const addition = await cast.run(cast.tess, openJob, {
      siteId: (await faces.get(cast.tess, `/jobs/${work.jobId}`)).json().siteId,
      kind: 'repair',
      systemIds: [systemId],
    })
    const branch = await cast.run(cast.tess, addUnit, {
      systemId,
      role: 'branch',
      name: 'Loft box',
      model: 'LS-B2',
      serial: 'B-OLD',
    })
    branchId = branch.id
    const line = await cast.run(cast.tess, addLineSet, {
      systemId,
      jobId: addition.id,
      name: 'Study',
      fromUnitId: branch.id,
      indoorModel: 'LS-25 indoor',
      indoorSerial: 'IN-OLD',
      liquidOd: inches(0.25),
      gasOd: inches(0.5),
      length: metres(9.1),
      rise: metres(2),
      tubing: 'reused',
      previousRefrigerant: 'R-22',
      cleaning: 'Flushed.',
      jointKind: 'flare',
      roomFloorArea: { value: 31, unit: 'm2' },
      mounting: 'ceiling',
    })
    branchLineId = line.lineSet.id
    ;({ jobId } = await aJobAtASite(cast))
  })
  afterAll(() => cast.remove())

  const path = () => `/jobs/${jobId}/systems/copy`
  const body = (change: object = {}) => ({
    fromSystemId: work.zone.systemId,
    name: 'Next door',
    outdoorSerial: 'OUT-NEW',
    lineSets: [
      {
        fromLineSetId: work.zone.lineSetId,
        name: 'Parlour',
        length: { value: 24, unit: 'ft' },
        indoorSerial: 'IN-NEW',
      },
      { fromLineSetId: branchLineId, name: 'Study' },
    ],
    tools: [work.zone.instruments.torqueWrench, work.zone.instruments.pressureGauge],
    ...change,
  })

  it('is found among the earlier systems, by a word of its address', async () => {
    const all = (await faces.get(cast.tess, path())).json().items
    expect(all).toContainEqual(expect.objectContaining({ systemId: work.zone.systemId, lineSets: 2 }))
    expect((await faces.get(cast.tess, `${path()}?q=nowhere`)).json().items).toEqual([])
    const page = await faces.look(cast.tess, `${path()}?q=mill`)
    expect(page.body).toContain(`href="${path()}?from=${work.zone.systemId}"`)
  })

  it('is shown before it is taken, without a length, a serial or a room', async () => {
    const shown = (await faces.get(cast.tess, `${path()}?from=${work.zone.systemId}`)).json()
    expect(shown).toMatchObject({
      refrigerant: 'R-32',
      equipmentSheetId: work.zone.sheetId,
      outdoorModel: 'LS-35 outdoor',
      branchUnits: [{ fromUnitId: branchId, name: 'Loft box', model: 'LS-B2' }],
    })
    expect(shown.lineSets).toContainEqual({
      fromLineSetId: branchLineId,
      name: 'Study',
      jointKind: 'flare',
      from: 'Loft box',
      to: null,
      indoorModel: 'LS-25 indoor',
      liquidOd: { value: 6.35, unit: 'mm' },
      gasOd: { value: 12.7, unit: 'mm' },
    })
    expect(shown.tools.map((tool: { kind: string }) => tool.kind).sort()).toEqual(
      expect.arrayContaining([
        'flaring-tool',
        'pressure-gauge',
        'thermometer',
        'torque-wrench',
        'vacuum-gauge',
      ]),
    )
    const page = parse((await faces.look(cast.tess, `${path()}?from=${work.zone.systemId}`)).body)
    const typed = page
      .querySelectorAll('main input:not([type=hidden]):not([type=checkbox])')
      .map((input) => [input.getAttribute('name'), input.getAttribute('value') ?? ''])
    expect(typed.filter(([name]) => !/\.name$/.test(name ?? '')).map(([, value]) => value)).toEqual(
      typed.filter(([name]) => !/\.name$/.test(name ?? '')).map(() => ''),
    )
    for (const secret of ['B-OLD', 'IN-OLD', 'IN-1', '9.1', 'Flushed', '31 m'])
      expect(page.querySelector('main')?.text).not.toContain(secret)
  })

  it('refuses what can’t be, and then there is no system at all', async () => {
    const before = await faces.entries()
    const gone = work.zone.instruments.scale
    await cast.run(cast.sam, changeInstrument, { instrumentId: gone, active: false })
    const settled = await faces.entries()
    const cases: [typeof cast.tess | null, object, number, string | null][] = [
      [null, {}, 401, null],
      [cast.wren, {}, 403, null],
      [cast.zoe, {}, 404, null],
      [cast.tess, { fromSystemId: newId() }, 404, 'fromSystemId'],
      [cast.tess, { name: '' }, 400, 'name'],
      [cast.tess, { lineSets: [{ fromLineSetId: newId(), name: 'X' }] }, 404, 'lineSets.0.fromLineSetId'],
      [
        cast.tess,
        { lineSets: [{ fromLineSetId: branchLineId, name: 'Study', length: metres(4) }] },
        400,
        'lineSets.0.length',
      ],
      [
        cast.tess,
        { lineSets: [{ fromLineSetId: branchLineId, name: 'Study', length: { value: 4, unit: 'kg' } }] },
        400,
        'lineSets.0.length.unit',
      ],
      [
        cast.tess,
        { branchUnits: [{ fromUnitId: work.zone.outdoorUnitId, serial: 'B' }] },
        404,
        'branchUnits.0.fromUnitId',
      ],
      [cast.tess, { tools: [gone] }, 404, 'tools.0'],
      [cast.tess, { readings: [] }, 400, null],
    ]
    for (const [player, change, status, field] of cases) {
      const answer = await faces.post(player, path(), body(change))
      expect([answer.statusCode, JSON.stringify(change)], answer.body).toEqual([
        status,
        JSON.stringify(change),
      ])
      if (field) expect(answer.json().errors[0].path).toBe(field)
    }
    expect(settled).toBe(before + 1)
    expect(await faces.entries()).toBe(settled)
  })

  it('makes a system of the same kind, with what was said anew, once however often it is sent', async () => {
    const id = newId()
    const first = await faces.post(cast.tess, path(), body({ id }))
    expect(first.statusCode, first.body).toBe(201)
    const entries = await faces.entries()
    const again = await faces.post(cast.tess, path(), body({ id }))
    expect([again.statusCode, again.json()]).toEqual([200, first.json()])
    expect(await faces.entries()).toBe(entries)
    const made = first.json()
    expect(made).toMatchObject({ id, refrigerant: 'R-32', equipmentSheetId: work.zone.sheetId })
    expect(
      made.units.map(({ role, model, serial }: Record<string, string>) => [role, model, serial]),
    ).toEqual([
      ['outdoor', 'LS-35 outdoor', 'OUT-NEW'],
      ['indoor', 'LS-35 indoor', 'IN-NEW'],
    ])
    expect(made.lineSets).toHaveLength(1)
    expect(made.lineSets[0]).toMatchObject({
      name: 'Parlour',
      liquidOd: { value: 0.25, unit: 'in' },
      gasOd: { value: 0.375, unit: 'in' },
      length: { value: 24, unit: 'ft' },
      rise: null,
      tubing: 'new',
      tubeWall: null,
      previousRefrigerant: null,
      cleaning: null,
      room: null,
    })
    expect(
      made.joints.every((joint: { origin: string; kind: string }) =>
        joint.kind === 'flare' ? joint.origin === 'field' : joint.origin === 'factory',
      ),
    ).toBe(true)
    const joint = (await faces.get(cast.tess, `/joints/${made.joints[0].id}`)).json()
    expect(joint.makes).toEqual([])
    const scope = scopeOf(cast.store.store.reader(), cast.tess.companyId)
    expect(await verifyChain(scope, id)).toEqual([])
    const [entry] = await cast.store.store.query<{ content: string }>(
      `select content from entries where chain_id = '${id}' and kind = 'set-up-copied'`,
    )
    expect(JSON.parse(entry?.content ?? '{}').body).toEqual({
      from: work.zone.systemId,
      lineSets: [{ from: work.zone.lineSetId, to: made.lineSets[0].id }],
      tools: body().tools,
    })
    // Nothing was written on the earlier one.
    expect(await verifyChain(scope, work.zone.systemId)).toEqual([])
  })

  it('lays the branches too once their unit has a serial, and puts the tools first on the job', async () => {
    const made = (
      await faces.post(
        cast.tess,
        path(),
        body({
          branchUnits: [{ fromUnitId: branchId, serial: 'B-NEW' }],
          lineSets: [{ fromLineSetId: branchLineId, name: 'Study', length: metres(4), indoorSerial: 'IN-S' }],
        }),
      )
    ).json()
    const box = made.units.find((unit: { role: string }) => unit.role === 'branch')
    expect(box).toMatchObject({ name: 'Loft box', model: 'LS-B2', serial: 'B-NEW' })
    expect(made.lineSets[0]).toMatchObject({ fromUnitId: box.id, gasOd: { value: 0.5, unit: 'in' } })
    const second = await cast.run(
      cast.tess,
      (await import('../../server/commands/instruments/add-instrument.ts')).addInstrument,
      {
        kind: 'pressure-gauge',
        name: 'A gauge of the first letters',
        serial: 'aaa',
      },
    )
    const page = parse(
      (await faces.look(cast.tess, `/systems/${made.id}/pressure-tests/new?jobId=${jobId}`)).body,
    )
    const gauges = page
      .querySelectorAll('select[name=gaugeInstrumentId] option')
      .map((one) => one.getAttribute('value'))
    expect(gauges.filter(Boolean)[0]).toBe(work.zone.instruments.pressureGauge)
    expect(gauges).toContain(second.id)
  })

  it('is taken on its page, and a refusal keeps what was typed', async () => {
    const fields = {
      id: newId(),
      fromSystemId: work.zone.systemId,
      name: 'By the form',
      outdoorSerial: '',
      'branchUnits.0.fromUnitId': branchId,
      'branchUnits.0.serial': '',
      'lineSets.0.id': newId(),
      'lineSets.0.fromLineSetId': work.zone.lineSetId,
      'lineSets.0.name': 'Parlour',
      'lineSets.0.length.value': 'long',
      'lineSets.0.length.unit': 'm',
      'lineSets.0.tubing': 'new',
      'lineSets.0.indoorSerial': '',
      [`_tool.${work.zone.instruments.torqueWrench}`]: 'yes',
    }
    const refused = await faces.send(cast.tess, path(), fields)
    expect(refused.statusCode).toBe(400)
    const page = parse(refused.body)
    expect(page.querySelector('input[name="lineSets.0.length.value"]')?.getAttribute('value')).toBe('long')
    expect(page.querySelectorAll('.message')).toHaveLength(1)
    expect(page.querySelectorAll('input[type=checkbox][checked]')).toHaveLength(1)
    const taken = await faces.send(cast.tess, path(), { ...fields, 'lineSets.0.length.value': '6,4' })
    expect([taken.statusCode, taken.headers.location]).toEqual([303, `/jobs/${jobId}`])
    const made = (await faces.get(cast.tess, `/systems/${fields.id}`)).json()
    expect(made.lineSets[0].length).toEqual({ value: 6.4, unit: 'm' })
    expect(made.units).toEqual([])
  })
})
