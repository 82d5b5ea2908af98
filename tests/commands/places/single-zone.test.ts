// Does a single-zone system come out of the commands whole, on each database, with a record that holds?

import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import { addJoint } from '../../../server/commands/places/add-joint.ts'
import { addSystem } from '../../../server/commands/places/add-system.ts'
import { addUnit } from '../../../server/commands/places/add-unit.ts'
import { removeUnit } from '../../../server/commands/places/remove-unit.ts'
import { retireJoint } from '../../../server/commands/places/retire-joint.ts'
import { findSheetFigures } from '../../../server/store/queries/sheets-used.ts'
import { loadSystem } from '../../../server/store/queries/systems.ts'
import { verifyChain } from '../../../server/store/record.ts'
import { scopeOf } from '../../../server/store/store.ts'
import { aCast, type Cast } from '../../support/cast.ts'
import { aJobAtASite, inches, type SingleZone, singleZone } from '../../support/setups.ts'
import { STORE_KINDS } from '../../support/stores.ts'

describe.each(STORE_KINDS)('a single-zone system on %s', (kind) => {
  let cast: Cast
  let jobId: string
  let zone: SingleZone
  const scope = () => scopeOf(cast.machinery.store.reader(), cast.tess.companyId)

  beforeAll(async () => {
    cast = await aCast(kind)
    jobId = (await aJobAtASite(cast)).jobId
    zone = await singleZone(cast, { jobId })
  })
  afterAll(() => cast.remove())

  it('has an outdoor and an indoor unit, one line set, four flare joints in order, ports and caps', async () => {
    const whole = await loadSystem(scope(), zone.systemId)
    expect(whole.units.map((unit) => [unit.role, unit.serial])).toEqual([
      ['outdoor', 'OUT-1'],
      ['indoor', 'IN-1'],
    ])
    expect(whole.lineSets).toMatchObject([
      { fromUnitId: zone.outdoorUnitId, toUnitId: zone.indoorUnitId, jobId, lengthM: 6.4, riseM: 1.5 },
    ])
    expect(
      whole.joints.map(({ tag, place, line, indoors, kind }) => [tag, place, line, indoors, kind]),
    ).toEqual([
      ['NR1-1', 'outdoor-liquid', 'liquid', false, 'flare'],
      ['NR1-2', 'outdoor-gas', 'gas', false, 'flare'],
      ['NR1-3', 'indoor-liquid', 'liquid', true, 'flare'],
      ['NR1-4', 'indoor-gas', 'gas', true, 'flare'],
      ['NR1-5', 'outdoor-liquid-cap', 'liquid', false, 'valve-cap'],
      ['NR1-6', 'outdoor-gas-cap', 'gas', false, 'valve-cap'],
      ['NR1-7', 'outdoor-gas-port', 'gas', false, 'service-port'],
    ])
    expect(whole.joints.map((joint) => joint.unitId)).toEqual([
      zone.outdoorUnitId,
      zone.outdoorUnitId,
      zone.indoorUnitId,
      zone.indoorUnitId,
      zone.outdoorUnitId,
      zone.outdoorUnitId,
      zone.outdoorUnitId,
    ])
    expect(whole.joints.map((joint) => joint.tubeOdM)).toEqual([
      expect.closeTo(0.00635, 9),
      expect.closeTo(0.009525, 9),
      expect.closeTo(0.00635, 9),
      expect.closeTo(0.009525, 9),
      expect.closeTo(0.00635, 9),
      expect.closeTo(0.009525, 9),
      expect.closeTo(0.009525, 9),
    ])
  })

  it('keeps what was typed beside the figures in SI', async () => {
    const { lineSets } = await loadSystem(scope(), zone.systemId)
    expect(lineSets[0]?.typed).toMatchObject({
      liquidOd: { value: 0.25, unit: 'in' },
      length: { value: 6.4, unit: 'm' },
    })
    const sheet = await findSheetFigures(scope(), zone.sheetId)
    expect(sheet).toMatchObject({
      factoryChargeKg: 1,
      testPressureGaugePa: expect.closeTo(4.15e6, 3),
      maxRiseOutdoorAboveM: 12,
      maxRiseOutdoorBelowM: 12,
      vacuumHoldS: 600,
      torqueNm: [
        { tubeOdM: expect.closeTo(0.00635, 9), lowNm: 14, highNm: 18 },
        { tubeOdM: expect.closeTo(0.009525, 9), lowNm: 34, highNm: 42 },
      ],
    })
  })

  it('numbers joints one after the other when several are added at once', async () => {
    const joint = (place: string) =>
      cast.run(cast.tess, addJoint, {
        systemId: zone.systemId,
        lineSetId: zone.lineSetId,
        place,
        line: 'gas',
        tubeOd: inches(0.375),
        kind: 'brazed',
        origin: 'field',
      })
    const added = await Promise.all(['a', 'b', 'c', 'd', 'e'].map((name) => joint(`coupling ${name}`)))
    expect(added.map(({ number }) => number).toSorted((a, b) => a - b)).toEqual([8, 9, 10, 11, 12])
  })

  it('gives each system its own prefix when several are added at once', async () => {
    const systems = await Promise.all(
      ['one', 'two', 'three'].map((name) =>
        cast.run(cast.tess, addSystem, { jobId, name, refrigerant: 'R-410A' }),
      ),
    )
    expect(systems.map(({ system }) => system.tagPrefix).toSorted()).toEqual(['NR2', 'NR3', 'NR4'])
  })

  it('replaces a unit without overwriting it, and connects the tubes to the new one', async () => {
    cast.clock.pass(60_000)
    const unit = await cast.run(cast.tess, addUnit, {
      systemId: zone.systemId,
      role: 'indoor',
      model: 'LS-35 indoor B',
      serial: 'IN-2',
      replacesUnitId: zone.indoorUnitId,
      reason: 'Cracked drain pan, replaced under warranty',
    })
    const whole = await loadSystem(scope(), zone.systemId)
    const old = whole.units.find((one) => one.id === zone.indoorUnitId)
    expect(old).toMatchObject({ serial: 'IN-1', removedAt: cast.clock.now })
    expect(whole.lineSets[0]?.toUnitId).toBe(unit.id)
    expect(whole.joints.filter((joint) => joint.unitId === unit.id)).toHaveLength(2)
    await expect(
      cast.run(cast.tess, removeUnit, { unitId: zone.indoorUnitId, reason: 'again' }),
    ).rejects.toMatchObject({ code: 'already-removed' })
  })

  it('retires a joint once, with a reason, and keeps it', async () => {
    const { joints } = await loadSystem(scope(), zone.systemId)
    const coupling = joints.find((joint) => joint.number === 8)
    const retired = await cast.run(cast.tess, retireJoint, {
      jointId: coupling?.id ?? '',
      jobId,
      reason: 'Cut out with the old tube',
    })
    expect(retired).toMatchObject({ tag: 'NR1-8', retiredAt: cast.clock.now })
    await expect(
      cast.run(cast.tess, retireJoint, { jointId: coupling?.id ?? '', jobId, reason: 'again' }),
    ).rejects.toMatchObject({ code: 'already-retired' })
  })

  it('leaves chains that verify', async () => {
    expect(await verifyChain(scope(), zone.systemId)).toEqual([])
    expect(await verifyChain(scope(), cast.tess.companyId)).toEqual([])
  })
})
