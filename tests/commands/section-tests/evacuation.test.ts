// Is an evacuation recorded whole, judged once, and closed afterwards? On both databases.

import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import { concludeEvacuation } from '../../../server/commands/section-tests/conclude.ts'
import { recordVacuumReadings } from '../../../server/commands/section-tests/record-readings.ts'
import { startEvacuation } from '../../../server/commands/section-tests/start-evacuation.ts'
import { startPressureTest } from '../../../server/commands/section-tests/start-pressure-test.ts'
import { verifyChain } from '../../../server/store/record.ts'
import { scopeOf } from '../../../server/store/store.ts'
import { aCast, type Cast, MINUTE, NOON } from '../../support/cast.ts'
import { aSection, type ReadySection } from '../../support/section.ts'
import { STORE_KINDS } from '../../support/stores.ts'

describe.each(STORE_KINDS)('an evacuation on %s', (kind) => {
  let cast: Cast
  let section: ReadySection
  beforeAll(async () => {
    cast = await aCast(kind)
    section = await aSection(cast)
  })
  afterAll(() => cast.remove())

  const at = (minutes: number) => new Date(NOON + minutes * MINUTE).toISOString()
  const start = async (more: object = {}) =>
    (
      await cast.run(cast.tess, startEvacuation, {
        systemId: section.systemId,
        jobId: section.jobId,
        gaugeInstrumentId: section.vacuumGauge,
        gaugeAt: 'far-side',
        isolatedAt: 'core-tool',
        ...more,
      })
    ).test
  const reading = (minutes: number, phase: 'pull' | 'break' | 'decay', micron: number) => ({
    at: at(minutes),
    phase,
    absolutePressure: { value: micron, unit: 'micron' as const },
    temperature: { value: 22, unit: 'degC' as const },
  })
  const read = (evacuationId: string, readings: unknown[]) =>
    cast.run(cast.tess, recordVacuumReadings, { evacuationId, readings } as never)
  const conclude = (evacuationId: string) => cast.run(cast.tess, concludeEvacuation, { evacuationId })
  const decay = (micron: (minute: number) => number) =>
    Array.from({ length: 16 }, (_, minute) => reading(minute - 20, 'decay', Math.round(micron(minute))))

  it('is tight when the curve flattens below the limit', async () => {
    const { id } = await start()
    await read(id, [reading(-60, 'pull', 5000), reading(-21, 'pull', 300)])
    await read(
      id,
      decay((minute) => 310 + 200 * (1 - Math.exp(-minute / 3))),
    )
    const concluded = await conclude(id)
    expect(concluded.test.verdict).toBe('tight')
    expect(concluded.conclusion?.result).toMatchObject({ verdict: 'tight', curve: { kind: 'saturating' } })
    expect(
      await verifyChain(scopeOf(cast.store.store.reader(), cast.tess.companyId), section.systemId),
    ).toEqual([])
  })

  it('leaks when it climbs steadily over the limit', async () => {
    const { id } = await start()
    await read(id, [reading(-21, 'pull', 300), ...decay((minute) => 310 + 100 * minute)])
    expect((await conclude(id)).test.verdict).toBe('leak')
    await expect(read(id, [reading(-1, 'decay', 400)])).rejects.toMatchObject({ code: 'test-concluded' })
  })

  it('records a compound gauge, and can not tell by it', async () => {
    const { id } = await start({ gaugeInstrumentId: section.compoundGauge })
    await read(id, [reading(-21, 'pull', 300), ...decay(() => 310)])
    const concluded = await conclude(id)
    expect(concluded.test.verdict).toBe('cannot-tell')
    expect(JSON.stringify(concluded.conclusion?.result)).toContain('gauge-too-coarse')
  })

  it('asks for a gauge, and repeats only an evacuation', async () => {
    await expect(start({ gaugeInstrumentId: section.scale })).rejects.toMatchObject({
      status: 400,
      errors: [{ path: 'gaugeInstrumentId' }],
    })
    const pressure = await cast.run(cast.tess, startPressureTest, {
      systemId: section.systemId,
      jobId: section.jobId,
      medium: 'nitrogen',
      gaugeInstrumentId: section.gauge,
    })
    await expect(start({ repeatOf: pressure.test.id })).rejects.toMatchObject({ status: 404 })
    await expect(read(pressure.test.id, [reading(-1, 'pull', 900)])).rejects.toMatchObject({ status: 404 })
  })

  it('takes no pressure that no vacuum gauge sees, and no future', async () => {
    const { id } = await start()
    await expect(
      read(id, [{ phase: 'pull', absolutePressure: { value: 42, unit: 'bar' } }]),
    ).rejects.toMatchObject({ status: 400, errors: [{ path: 'readings.0.absolutePressure.value' }] })
    await expect(read(id, [reading(60, 'pull', 900)])).rejects.toMatchObject({
      status: 400,
      errors: [{ path: 'readings.0.at' }],
    })
    expect((await conclude(id)).test.readings).toEqual([])
  })
})
