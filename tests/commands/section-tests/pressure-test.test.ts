// Is a pressure test recorded whole, judged once, and closed afterwards? On both databases.

import { and, eq } from 'drizzle-orm'
import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import { concludePressureTest } from '../../../server/commands/section-tests/conclude.ts'
import { recordPressureReadings } from '../../../server/commands/section-tests/record-readings.ts'
import { startPressureTest } from '../../../server/commands/section-tests/start-pressure-test.ts'
import { newId } from '../../../server/ids.ts'
import { verifyChain } from '../../../server/store/record.ts'
import { scopeOf } from '../../../server/store/store.ts'
import { endPressureAtConstantDensity } from '../../../server/trade/nitrogen.ts'
import { aCast, type Cast, HOUR, MINUTE, NOON } from '../../support/cast.ts'
import { aSection, type ReadySection } from '../../support/section.ts'
import { STORE_KINDS } from '../../support/stores.ts'

describe.each(STORE_KINDS)('a pressure test on %s', (kind) => {
  let cast: Cast
  let section: ReadySection
  beforeAll(async () => {
    cast = await aCast(kind)
    section = await aSection(cast)
  })
  afterAll(() => cast.remove())

  const scope = () => scopeOf(cast.store.store.reader(), cast.tess.companyId)
  const start = (more: object = {}) =>
    cast.run(cast.tess, startPressureTest, {
      systemId: section.systemId,
      jobId: section.jobId,
      medium: 'nitrogen',
      gaugeInstrumentId: section.gauge,
      thermometerInstrumentId: section.thermometer,
      performedAt: at(-120),
      ...more,
    })
  const reading = (minutes: number, stage: 'raise' | 'hold', megapascals: number, celsius: number) => ({
    at: at(minutes),
    stage,
    gaugePressure: { value: megapascals, unit: 'MPa' as const },
    temperature: { value: celsius, unit: 'degC' as const },
  })
  const at = (minutes: number) => new Date(NOON + minutes * MINUTE).toISOString()
  const read = (pressureTestId: string, readings: unknown[]) =>
    cast.run(cast.tess, recordPressureReadings, { pressureTestId, readings } as never)
  const countReadings = async (testId: string) => {
    const { db, t, companyId } = scope()
    const rows = await db
      .select({ id: t.sectionReadings.id })
      .from(t.sectionReadings)
      .where(and(eq(t.sectionReadings.companyId, companyId), eq(t.sectionReadings.testId, testId)))
    return rows.length
  }

  it('holds when the fall is what the cooling alone makes, and says by which policy', async () => {
    const { test } = await start()
    const startAbsolutePa = 4.15e6 + test.atmosphericPressurePa
    const expectedPa = endPressureAtConstantDensity({
      startPressurePa: startAbsolutePa,
      startTemperatureK: 295.15,
      endTemperatureK: 294.15,
    })
    const endMpa = (expectedPa - test.atmosphericPressurePa) / 1e6
    await read(test.id, [
      reading(-100, 'raise', 4.15, 22.5),
      reading(-89, 'hold', 4.15, 22),
      reading(-20, 'hold', Number(endMpa.toFixed(3)), 21),
    ])
    const concluded = await cast.run(cast.tess, concludePressureTest, { pressureTestId: test.id })
    expect(concluded.test.verdict).toBe('holds')
    expect(concluded.conclusion?.policyVersion).toBe(1)
    expect(concluded.conclusion?.result).toMatchObject({ verdict: 'holds', reasons: [] })
    expect(concluded.test.concludedAt).toBe(NOON)
    expect(await verifyChain(scope(), section.systemId)).toEqual([])
  })

  it('falls when it fell further, and keeps that when a later reading is tried', async () => {
    const { test } = await start()
    await read(test.id, [
      reading(-100, 'raise', 4.15, 22),
      reading(-89, 'hold', 4.15, 22),
      reading(-20, 'hold', 3.9, 22),
    ])
    const concluded = await cast.run(cast.tess, concludePressureTest, { pressureTestId: test.id })
    expect(concluded.test.verdict).toBe('falls')
    await expect(read(test.id, [reading(-5, 'hold', 4.15, 22)])).rejects.toMatchObject({
      status: 409,
      code: 'test-concluded',
    })
    await expect(
      cast.run(cast.tess, concludePressureTest, { pressureTestId: test.id }),
    ).rejects.toMatchObject({ status: 409, code: 'test-concluded' })
    expect(await countReadings(test.id)).toBe(3)
  })

  it('records carbon dioxide, oxygen and air, and judges them void', async () => {
    for (const medium of ['carbon-dioxide', 'oxygen', 'air'] as const) {
      const { test } = await start({ medium })
      await read(test.id, [reading(-89, 'hold', 4.15, 22), reading(-20, 'hold', 4.15, 22)])
      const concluded = await cast.run(cast.tess, concludePressureTest, { pressureTestId: test.id })
      expect(concluded.test.verdict).toBe('void')
      expect(JSON.stringify(concluded.conclusion?.result)).toContain('wrong-medium')
    }
  })

  it('is void when it went above what a part may see', async () => {
    const { test } = await start()
    await read(test.id, [
      reading(-100, 'raise', 4.6, 22),
      reading(-89, 'hold', 4.15, 22),
      reading(-20, 'hold', 4.15, 22),
    ])
    const concluded = await cast.run(cast.tess, concludePressureTest, { pressureTestId: test.id })
    expect(concluded.test.verdict).toBe('void')
    expect(JSON.stringify(concluded.conclusion?.result)).toContain('over-limit')
  })

  it("can't tell without readings", async () => {
    const { test } = await start()
    const concluded = await cast.run(cast.tess, concludePressureTest, { pressureTestId: test.id })
    expect(concluded.test.verdict).toBe('cannot-tell')
  })

  it('takes all readings of a call or none', async () => {
    const { test } = await start()
    await expect(
      read(test.id, [
        reading(-89, 'hold', 4.15, 22),
        reading(30, 'hold', 4.15, 22), // lies in the future
      ]),
    ).rejects.toMatchObject({ status: 400, errors: [{ path: 'readings.1.at' }] })
    expect(await countReadings(test.id)).toBe(0)
  })

  it('keeps what was typed, beside the SI value', async () => {
    const { test } = await start()
    const id = newId()
    const stored = await read(test.id, [
      {
        id,
        stage: 'hold',
        gaugePressure: { value: 602, unit: 'psi' },
        temperature: { value: 71.5, unit: 'degF' },
      },
    ])
    expect(stored.test.readings[0]?.gaugePressurePa).toBeCloseTo(602 * 6894.757293168, 1)
    expect(stored.test.readings[0]?.at).toBe(NOON)
    expect(stored.readingsTyped[id]).toEqual({
      gaugePressure: { value: 602, unit: 'psi' },
      temperature: { value: 71.5, unit: 'degF' },
    })
  })

  it("takes the air's pressure as entered, by an elevation, by the site's, or as at sea level", async () => {
    const sea = await start()
    expect([sea.atmosphericPressureSource, sea.test.atmosphericPressurePa]).toEqual(['sea-level', 101_325])
    const entered = await start({ absoluteAtmosphericPressure: { value: 98, unit: 'kPa' } })
    expect([entered.atmosphericPressureSource, entered.test.atmosphericPressurePa]).toEqual([
      'entered',
      98_000,
    ])
    // ISO 2533, 1000 m: 89 875 Pa (its table; from memory).
    const raised = await start({ siteElevation: { value: 1000, unit: 'm' } })
    expect(raised.atmosphericPressureSource).toBe('elevation-entered')
    expect(raised.test.atmosphericPressurePa).toBeCloseTo(89_875, -2)
    const high = await aSection(cast, { elevationM: 1000 })
    const there = await cast.run(cast.tess, startPressureTest, {
      systemId: high.systemId,
      jobId: high.jobId,
      medium: 'nitrogen',
      gaugeInstrumentId: high.gauge,
    })
    expect(there.atmosphericPressureSource).toBe('site-elevation')
    expect(there.test.atmosphericPressurePa).toBeCloseTo(89_875, -2)
  })

  it('covers only what this system has', async () => {
    const { test } = await start({
      covers: [
        { lineSetId: section.lineSetId },
        { unitId: section.indoorId },
        { jointId: section.jointIds[0] },
      ],
    })
    expect(test.covers).toEqual([
      { kind: 'line-set', id: section.lineSetId },
      { kind: 'unit', id: section.indoorId },
      { kind: 'joint', id: section.jointIds[0] },
    ])
    const other = await aSection(cast)
    await expect(start({ covers: [{ lineSetId: other.lineSetId }] })).rejects.toMatchObject({
      status: 404,
      errors: [{ path: 'covers.0.lineSetId' }],
    })
    await expect(start({ covers: [{}] })).rejects.toMatchObject({ status: 400 })
  })

  it('asks for instruments that can have measured it', async () => {
    await expect(start({ gaugeInstrumentId: section.wrench })).rejects.toMatchObject({
      status: 400,
      errors: [{ path: 'gaugeInstrumentId' }],
    })
    await expect(start({ thermometerInstrumentId: section.gauge })).rejects.toMatchObject({
      status: 400,
      errors: [{ path: 'thermometerInstrumentId' }],
    })
    const theirs = await aSection(cast, { player: cast.zoe })
    await expect(start({ gaugeInstrumentId: theirs.gauge })).rejects.toMatchObject({ status: 404 })
    const { test } = await start()
    await expect(
      read(test.id, [{ ...reading(-89, 'hold', 4.15, 22), thermometerInstrumentId: section.scale }]),
    ).rejects.toMatchObject({ status: 400, errors: [{ path: 'readings.0.thermometerInstrumentId' }] })
  })

  it('repeats only a test of the same system', async () => {
    const { test } = await start()
    const again = await start({ repeatOf: test.id, repeatCause: 'Hose core replaced' })
    expect(again.test).toMatchObject({ repeatOf: test.id, repeatCause: 'Hose core replaced' })
    await expect(start({ repeatOf: newId() })).rejects.toMatchObject({
      status: 404,
      errors: [{ path: 'repeatOf' }],
    })
  })

  it('answers the same request the same way, and another with its id not at all', async () => {
    const raw = {
      id: newId(),
      systemId: section.systemId,
      jobId: section.jobId,
      medium: 'nitrogen',
      gaugeInstrumentId: section.gauge,
    }
    const first = await cast.done(cast.tess, startPressureTest, raw)
    const second = await cast.done(cast.tess, startPressureTest, raw)
    expect(second).toEqual({ result: JSON.parse(JSON.stringify(first.result)), repeated: true })
    await expect(cast.done(cast.tess, startPressureTest, { ...raw, medium: 'helium' })).rejects.toMatchObject(
      { code: 'id-reused' },
    )
  })

  it('is ended once when two end it at the same moment', async () => {
    const { test } = await start()
    const both = await Promise.allSettled([
      cast.run(cast.tess, concludePressureTest, { pressureTestId: test.id }),
      cast.run(cast.sam, concludePressureTest, { pressureTestId: test.id }),
    ])
    expect(both.map((one) => one.status).sort()).toEqual(['fulfilled', 'rejected'])
    expect(both.find((one) => one.status === 'rejected')).toMatchObject({ reason: { status: 409 } })
  })

  it('takes nothing while the job waits for audit or is sealed', async () => {
    const { test } = await start()
    const setStage = (stage: 'open' | 'submitted' | 'sealed') =>
      cast.store.store.transaction(async ({ db, t }) => {
        await db.update(t.jobs).set({ stage }).where(eq(t.jobs.id, section.jobId))
      })
    for (const [stage, code] of [
      ['submitted', 'job-submitted'],
      ['sealed', 'job-sealed'],
    ] as const) {
      await setStage(stage)
      const refused = { status: 409, code }
      await expect(start()).rejects.toMatchObject(refused)
      await expect(read(test.id, [reading(-5, 'hold', 4.15, 22)])).rejects.toMatchObject(refused)
      await expect(
        cast.run(cast.tess, concludePressureTest, { pressureTestId: test.id }),
      ).rejects.toMatchObject(refused)
    }
    await setStage('open')
    expect(await countReadings(test.id)).toBe(0)
  })

  it('refuses a start in the future, and keeps one of long ago', async () => {
    await expect(start({ performedAt: new Date(NOON + HOUR).toISOString() })).rejects.toMatchObject({
      status: 400,
      errors: [{ path: 'performedAt' }],
    })
    const { test } = await start({ performedAt: '2025-01-01T08:00:00Z' })
    expect(test.performedAt).toBe(Date.UTC(2025, 0, 1, 8))
    expect(test.recordedAt).toBe(NOON)
  })
})
