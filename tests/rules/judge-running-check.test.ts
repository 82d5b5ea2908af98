// Are subcooling, superheat and split worked out from what was measured, and left alone where something is missing?

import { describe, expect, it } from 'vitest'
import type { RunningCheck } from '../../server/rules/dossier.ts'
import { judgeRunningCheck } from '../../server/rules/judge-running-check.ts'
import { BUILT_IN_POLICY } from '../../server/rules/policy.ts'
import { aJob, aSheet } from '../support/dossiers.ts'

const K = (celsius: number) => celsius + 273.15
function differences(over: Partial<RunningCheck>, sheet: ReturnType<typeof aSheet> | null = aSheet()) {
  const job = aJob().withSystem().withLineSet().ran()
  const ran = job.system.runningChecks[0]
  if (!ran) throw new Error('it did not run')
  const empty = {
    liquidLinePressureGaugePa: null,
    liquidLineTemperatureK: null,
    suctionPressureGaugePa: null,
    suctionTemperatureK: null,
    supplyAirK: null,
    returnAirK: null,
  }
  const judged = judgeRunningCheck({ ...ran, ...empty, ...over }, { ...job.system, sheet }, BUILT_IN_POLICY)
  return Object.fromEntries(judged.differences.map((one) => [one.name, one]))
}

describe('the temperature split', () => {
  it('is return less supply in cooling, and the other way round in heating', () => {
    const air = { returnAirK: K(26), supplyAirK: K(15) }
    expect(differences({ ...air, mode: 'cooling' })['temperature split']?.measuredK).toBeCloseTo(11, 9)
    expect(
      differences({ returnAirK: K(20), supplyAirK: K(32), mode: 'heating' })['temperature split']?.measuredK,
    ).toBeCloseTo(12, 9)
  })

  it('is none with one of the two airs', () => {
    for (const air of [{ returnAirK: K(26) }, { supplyAirK: K(15) }])
      expect(differences({ ...air, mode: 'cooling' })['temperature split']?.measuredK).toBeNull()
  })
})

describe('subcooling and superheat', () => {
  // R-410A: 2.6 MPa gauge boils at 44.50 °C (bubble), 0.85 MPa at 5.63 °C (dew), by the fits tested against the tables.
  const line = { liquidLinePressureGaugePa: 2.6e6, liquidLineTemperatureK: K(38) }
  const suction = { suctionPressureGaugePa: 0.85e6, suctionTemperatureK: K(11) }

  it('come from the pressure and the temperature of their line', () => {
    const both = differences({ ...line, ...suction })
    expect(both.subcooling?.measuredK).toBeCloseTo(6.5, 1)
    expect(both.superheat?.measuredK).toBeCloseTo(5.37, 1)
  })

  it('are none with half of it', () => {
    expect(differences({ liquidLinePressureGaugePa: 2.6e6 }).subcooling?.measuredK).toBeNull()
    expect(differences({ liquidLineTemperatureK: K(38) }).subcooling?.measuredK).toBeNull()
    expect(differences({ suctionPressureGaugePa: 0.85e6 }).superheat?.measuredK).toBeNull()
    expect(differences({ suctionTemperatureK: K(11) }).superheat?.measuredK).toBeNull()
  })

  it('are measured and not judged where no sheet says what they should be', () => {
    const bare = differences({ ...line, ...suction, returnAirK: K(26), supplyAirK: K(15) }, null)
    expect(bare.subcooling).toMatchObject({ measuredK: expect.closeTo(6.5, 1), verdict: 'no-target' })
    expect(bare.superheat?.verdict).toBe('no-target')
    expect(bare['temperature split']?.verdict).toBe('no-target')
  })
})

describe('in words', () => {
  it('each difference is said with what was wanted, or alone', () => {
    const job = aJob().withSystem().withLineSet().ran()
    const [ran] = job.system.runningChecks
    if (!ran) throw new Error('it did not run')
    // The sheet asks for a split of 8 to 14 K.
    expect(judgeRunningCheck(ran, job.system, BUILT_IN_POLICY).reason).toContain('Temperature split 11')
    const off = judgeRunningCheck(
      { ...ran, supplyAirK: (ran.returnAirK ?? 0) - 20 },
      job.system,
      BUILT_IN_POLICY,
    )
    expect(off).toMatchObject({
      verdict: 'outside',
      reason: expect.stringMatching(/Temperature split 20.* is above 8.*14/),
    })
    const bare = judgeRunningCheck(ran, { ...job.system, sheet: null }, BUILT_IN_POLICY)
    expect(bare).toMatchObject({
      verdict: 'nothing-to-compare',
      reason: expect.stringContaining('no target'),
    })
  })
})
