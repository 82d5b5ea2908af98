// Do pressure tests and evacuations get their criteria, instruments and volume from where they should?

import { describe, expect, it } from 'vitest'
import { judgeEvacuationTest } from '../../server/rules/judge-evacuation.ts'
import {
  judgePressureTest,
  pressureLimit,
  requiredTestPressure,
  volumeUnderTest,
} from '../../server/rules/judge-pressure-test.ts'
import { aJobWithJointsMade, anInstrument, aSheet, type JobBuilder } from '../support/dossiers.ts'

const pressure = (job: JobBuilder) => {
  const test = job.system.pressureTests.at(-1)
  if (!test) throw new Error('no test')
  return judgePressureTest(test, job.system, job.dossier)
}
const vacuum = (job: JobBuilder) => {
  const test = job.system.evacuations.at(-1)
  if (!test) throw new Error('no evacuation')
  return judgeEvacuationTest(test, job.system, job.dossier)
}
const made = aJobWithJointsMade

describe('a pressure test', () => {
  it('is held against the sheet’s pressure and limit, each with its source', () => {
    expect(pressure(made().pressureTested())).toMatchObject({
      verdict: 'holds',
      required: { pressurePa: 3.8e6, source: 'equipment sheet, Installation manual TI-35, page 12' },
      limit: { pressurePa: 4.15e6 },
      requiredHoldS: 3600,
    })
  })

  it('without a figure on the sheet is held against the saturated refrigerant at 26.7 °C', () => {
    // R-410A at 80 °F: 236.5 psi gauge, computed from the published equation of state.
    const { system } = made({ sheet: { testPressureGaugePa: null } })
    const required = requiredTestPressure(system)
    expect((required?.pressurePa ?? 0) / 6894.757).toBeCloseTo(236.5, 0)
    expect(required?.source).toMatch(/from memory/)
  })

  it('takes the volume of the tubes that were under test, and of no others', () => {
    // ASTM B280: 18.3 mL/m for 1/4 in, 49.0 mL/m for 3/8 in; 5 m of each.
    const job = made().withLineSet({ lengthM: 10 })
    const one = volumeUnderTest(
      { covers: [{ kind: 'line-set', id: 'system-1-line-1' }], throughOutdoorUnit: false },
      job.system,
    )
    expect((one ?? 0) * 1e6).toBeCloseTo(5 * (18.3 + 49), -1)
    const all = volumeUnderTest({ covers: [], throughOutdoorUnit: false }, job.system)
    expect((all ?? 0) / (one ?? 1)).toBeCloseTo(3, 9)
  })
  it('takes the line of a joint that was named, and of no other', () => {
    const job = made().withLineSet({ lengthM: 10 })
    const volume = (...covers: { kind: 'line-set' | 'unit' | 'joint'; id: string }[]) =>
      volumeUnderTest({ covers, throughOutdoorUnit: false }, job.system)
    const [first, second] = [1, 2].map(
      (number) => volume({ kind: 'line-set', id: `system-1-line-${number}` }) ?? 0,
    )
    expect(second).toBeCloseTo(2 * (first ?? 0), 12)
    const joint = job.system.joints.find(({ lineSetId }) => lineSetId === 'system-1-line-2')
    expect(volume({ kind: 'joint', id: joint?.id ?? '' })).toBeCloseTo(second ?? 0, 12)
    // A joint that bears the number of a line is still no line.
    expect(volume({ kind: 'joint', id: 'system-1-line-1' })).toBeNull()
    expect(volume({ kind: 'line-set', id: 'unknown' })).toBeNull()
  })
  it('has no volume where the lines have no length, and none where there is no line', () => {
    const none = { covers: [], throughOutdoorUnit: false }
    expect(volumeUnderTest(none, made({}, { lengthM: 0 }).system)).toBeNull()
    expect(volumeUnderTest(none, { lineSets: [], joints: [] })).toBeNull()
  })
  it('has no limit where the sheet states none, and none without a sheet', () => {
    expect(pressureLimit({ sheet: aSheet({ maxPressureGaugePa: null }) })).toBeNull()
    expect(pressureLimit({ sheet: null })).toBeNull()
    expect(pressureLimit({ sheet: aSheet() })?.pressurePa).toBe(4.15e6)
  })
  it('has no volume, and so no leak rate, where a tube is of no known size', () => {
    const job = made({}, { gasOdM: 0.0111 }).pressureTested()
    expect(pressure(job)).toMatchObject({ volumeM3: null, leakRatePaM3PerS: null, verdict: 'holds' })
  })

  it('takes both full accuracies when the gauge was changed during the hold', () => {
    const same = made().pressureTested()
    const changed = made().pressureTested()
    const last = changed.system.pressureTests[0]?.readings.at(-1)
    if (last) last.instrumentId = 'another-gauge'
    const uncertainty = (job: JobBuilder) => pressure(job).changeUncertaintyPa ?? 0
    expect(uncertainty(changed)).toBeGreaterThan(3 * uncertainty(same))
  })

  it('says so when an accuracy was assumed', () => {
    const bare = made().withInstrument('gauge', { accuracyAbsolute: null, resolution: null }).pressureTested()
    expect(pressure(bare).gaugeSource).toMatch(/assumed/)
    expect(pressure(made().pressureTested()).gaugeSource).toBe('pressure-gauge gauge')
  })

  it('reads a percentage against the full scale where there is one', () => {
    const classed = (fullScale: number | null) =>
      pressure(
        made()
          .withInstrument('gauge', {
            accuracyAbsolute: null,
            accuracyPercent: 1,
            fullScale,
            repeatability: null,
          })
          .pressureTested(),
      ).changeUncertaintyPa ?? 0
    expect(classed(6e6)).toBeGreaterThan(classed(null))
  })

  it('gives no verdict on a temperature that can not be', () => {
    const job = made().pressureTested()
    const last = job.system.pressureTests[0]?.readings.at(-1)
    if (last) last.temperatureK = 0
    const judged = pressure(job)
    expect(judged.verdict).toBe('cannot-tell')
    expect(judged.reasons[0]?.text).toMatch(/can't be judged/)
  })
})

describe('an evacuation', () => {
  it.each([
    ['tight', 'tight'],
    ['leak', 'leak'],
    ['moisture', 'moisture'],
    ['short', 'cannot-tell'],
  ] as const)('that looks %s is judged %s', (shape, verdict) => {
    expect(vacuum(made().pressureTested().evacuated({ shape })).verdict).toBe(verdict)
  })

  it('can’t tell with a compound gauge, or one too coarse for its target', () => {
    const with_ = (over: Parameters<JobBuilder['withInstrument']>[1]) =>
      vacuum(made().withInstrument('vacuum', over).evacuated()).verdict
    expect(with_({ compound: true })).toBe('cannot-tell')
    expect(with_({ resolution: 10 })).toBe('cannot-tell')
  })

  it('of two gauges in one decay goes by the coarser, and by the compound one', () => {
    const second = (over: Parameters<JobBuilder['withInstrument']>[1]) => {
      const job = made().evacuated()
      job.dossier.instruments.push(anInstrument('second', 'vacuum-gauge', { resolution: 0.133, ...over }))
      const last = job.system.evacuations[0]?.readings.at(-1)
      if (last) last.instrumentId = 'second'
      return vacuum(job)
    }
    expect(second({}).verdict).toBe('tight')
    expect(second({ resolution: 10 }).reasons.map(({ code }) => code)).toContain('gauge-too-coarse')
    expect(second({ compound: true }).reasons.map(({ code }) => code)).toContain('gauge-too-coarse')
  })

  it('assumes a resolution where no gauge is on record', () => {
    const job = made().evacuated()
    const evacuation = job.system.evacuations[0]
    if (evacuation) evacuation.gaugeInstrumentId = 'nobody-knows'
    expect(vacuum(job).verdict).toBe('tight')
  })

  it('takes the temperature that was read for the warmest part', () => {
    const job = made().evacuated({ shape: 'moisture' })
    for (const reading of job.system.evacuations[0]?.readings ?? []) reading.temperatureK = 278.15
    // Water at 5 °C: 873 Pa by the international formulation.
    expect(vacuum(job).waterCeilingPa).toBeCloseTo(873, 0)
  })

  it('turns its leak rate into grams a year, as an estimate', () => {
    const judged = vacuum(made().evacuated({ shape: 'leak' }))
    expect(judged.leakRatePaM3PerS).toBeGreaterThan(0)
    expect(judged.refrigerantKgPerYear).toBeGreaterThan(0)
  })

  it('judges a leak by the company’s own rate where it set one', () => {
    const strict = made().evacuated({ shape: 'tight' })
    strict.dossier.policy.vacuum.leakRatePaM3PerS = 1e-9
    const loose = vacuum(made().evacuated({ shape: 'tight' }))
    expect(loose.verdict).toBe('tight')
    const slow = made().evacuated({ shape: 'leak' })
    slow.dossier.policy.vacuum.leakRatePaM3PerS = 1e-9
    expect(vacuum(slow).reasons.map(({ code }) => code)).toContain('slope-above-policy')
  })

  it('gives no verdict on a pressure that can not be', () => {
    const job = made().evacuated()
    const last = job.system.evacuations[0]?.readings.at(-1)
    if (last) last.absolutePressurePa = -5
    expect(vacuum(job)).toMatchObject({ verdict: 'cannot-tell', curve: null })
  })
})
