// Does each finding carry the numbers that it was judged by, with their limits and where those come from?

import { describe, expect, it } from 'vitest'
import { REQUIREMENTS } from '../../server/rules/index.ts'
import type { RequirementCode } from '../../server/vocabulary.ts'
import { aFinishedJob, aJob, aJobWithJointsMade, type JobBuilder } from '../support/dossiers.ts'

const answersOf = (job: JobBuilder, code: RequirementCode) =>
  REQUIREMENTS.find((one) => one.code === code)?.check(job.build()) ?? []
/** The number of that name in the first finding that has one. */
const number = (job: JobBuilder, code: RequirementCode, name: string) =>
  answersOf(job, code)
    .flatMap(({ numbers }) => numbers)
    .find((one) => one.name === name)
const SHEET = 'equipment sheet, Installation manual TI-35, page 12'

describe('the numbers', () => {
  it.each([
    ['a finished job', aFinishedJob],
    [
      'a job whose charge is off',
      () => aJobWithJointsMade().pressureTested().evacuated().charged().weighedIn(0.3).ran(),
    ],
    [
      'flammable refrigerant in a small room',
      () => aJob().withSystem({ refrigerant: 'R-32' }).withLineSet().charged(),
    ],
  ])(
    'of %s are figures, lie within limits that are not turned round, and name the source of a limit',
    (_, job) => {
      const dossier = job().build()
      let seen = 0
      for (const requirement of REQUIREMENTS)
        for (const { numbers } of requirement.check(dossier))
          for (const one of numbers) {
            seen += 1
            expect(Number.isFinite(one.value), `${requirement.code}: ${one.name}`).toBe(true)
            if (one.low !== undefined && one.high !== undefined) expect(one.low).toBeLessThanOrEqual(one.high)
            if (one.uncertainty !== undefined) expect(one.uncertainty).toBeGreaterThanOrEqual(0)
            expect(one.source ?? 'no source is named').not.toMatch(/undefined|null|^;|; *$|^$/)
          }
      expect(seen).toBeGreaterThan(0)
    },
  )

  it('of a pressure test: start against required and limit, change against the band both ways', () => {
    const job = aFinishedJob()
    expect(number(job, 'standing-pressure-held', 'gauge pressure at the start of the hold')).toEqual({
      name: 'gauge pressure at the start of the hold',
      value: 3.9e6,
      unit: 'Pa',
      low: 3.8e6,
      high: 4.15e6,
      source: `${SHEET}; limit: ${SHEET}`,
    })
    // 1 % of 3.9 MPa.
    expect(number(job, 'standing-pressure-held', 'change beyond temperature')).toMatchObject({
      low: -39e3,
      high: 39e3,
      uncertainty: expect.any(Number),
      source: expect.stringContaining('nitrogen as a real gas, Span et al. 2000'),
    })
    expect(number(job, 'standing-pressure-held', 'hold')).toMatchObject({ unit: 's', low: 3600 })
    const helium = aJobWithJointsMade().pressureTested({ medium: 'helium' })
    expect(number(helium, 'standing-pressure-held', 'change beyond temperature')?.source).toContain(
      'ideal gas',
    )
    const bare = aJobWithJointsMade({ sheet: { maxPressureGaugePa: null } }).pressureTested()
    const start = number(bare, 'standing-pressure-held', 'gauge pressure at the start of the hold')
    expect(start).toMatchObject({ source: SHEET })
    expect(start?.high).toBeUndefined()
  })

  it('of an evacuation: what was reached, what is not exceeded, how long', () => {
    const job = aFinishedJob()
    expect(number(job, 'vacuum-held', 'lowest pressure')).toMatchObject({ value: 40, unit: 'Pa' })
    expect(number(job, 'vacuum-held', 'lowest pressure')?.high).toBeCloseTo(66.66, 2)
    expect(number(job, 'vacuum-held', 'pressure at the horizon, not exceeded (95 %)')?.high).toBeCloseTo(
      199.98,
      2,
    )
    expect(number(job, 'vacuum-held', 'time isolated')).toMatchObject({ value: 900, low: 600 })
  })

  it('of a torque: the range, the wrench’s part of it and its chance', () => {
    const torque = number(aFinishedJob(), 'joint-torque-in-range', 'torque at the nut')
    expect(torque).toMatchObject({ unit: 'N·m', source: SHEET })
    expect(torque?.uncertainty).toBeCloseTo(0.04 * (torque?.value ?? 0), 9)
    expect(
      number(aFinishedJob(), 'joint-torque-in-range', 'probability that the torque was in range'),
    ).toMatchObject({
      value: 1,
      source: expect.stringContaining('wrench'),
    })
  })
})
