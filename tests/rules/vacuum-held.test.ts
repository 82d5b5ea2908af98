// Does an evacuation count only when it was tight, came after the pressure test, and nothing was done since?

import { describe, expect, it } from 'vitest'
import { vacuumCriteria } from '../../server/rules/judge-evacuation.ts'
import { BUILT_IN_POLICY } from '../../server/rules/policy.ts'
import { vacuumHeld } from '../../server/rules/vacuum-held.ts'
import { aFinishedJob, aJob, aJobWithJointsMade, aSheet } from '../support/dossiers.ts'
import { testRequirement } from '../support/requirement-tables.ts'

const pressed = (system: Parameters<typeof aJobWithJointsMade>[0] = {}) =>
  aJobWithJointsMade(system).pressureTested()

testRequirement(vacuumHeld, {
  met: [
    { when: 'it is tight after the pressure test', job: () => aFinishedJob(), reason: /300 micron/ },
    {
      when: 'moisture was dealt with and the evacuation repeated',
      job: () =>
        pressed().evacuated({ shape: 'moisture' }).evacuated({ repeatCause: 'broken twice with nitrogen' }),
    },
    {
      when: 'after a leak it was held twice as long',
      job: () => pressed().evacuated({ shape: 'leak' }).evacuated({ holdMinutes: 30 }),
    },
    {
      when: 'the failed pressure test came before and only the evacuation is asked about',
      job: () => aJobWithJointsMade().pressureTested({ shape: 'falls' }).evacuated(),
    },
  ],
  notMet: [
    { when: 'no evacuation is recorded', job: () => pressed(), outcome: 'open', concedable: false },
    {
      when: 'it rises like a leak',
      job: () => pressed().evacuated({ shape: 'leak' }),
      outcome: 'failed',
      next: /hoses and cores are out of it/,
      concedable: false,
    },
    {
      when: 'it levels off like moisture',
      job: () => pressed().evacuated({ shape: 'moisture' }),
      outcome: 'failed',
      next: /break with dry nitrogen/,
      concedable: true,
    },
    {
      when: 'it was watched for three minutes',
      job: () => pressed().evacuated({ shape: 'short' }),
      outcome: 'open',
      concedable: true,
    },
    {
      when: 'the gauge is a compound one',
      job: () => pressed().withInstrument('vacuum', { compound: true }).evacuated(),
      outcome: 'open',
      concedable: true,
    },
    {
      when: 'a pressure test came after it',
      job: () => aJobWithJointsMade().evacuated().pressureTested(),
      outcome: 'open',
      reason: /The section was pressure-tested on .* after the evacuation/,
      next: /Evacuate the section again/,
      concedable: false,
    },
    {
      when: 'a joint was remade after it',
      job: () => pressed().evacuated().at('indoor-gas').made(),
      outcome: 'open',
      reason: /Making 2 of A-4 began/,
      concedable: false,
    },
    {
      when: 'it leaked and then was tight with nothing said',
      job: () => pressed().evacuated({ shape: 'leak' }).evacuated(),
      outcome: 'open',
      reason: /not answered/,
      concedable: false,
    },
    {
      when: 'it still runs',
      job: () => pressed().evacuated({ concludedAt: null }),
      outcome: 'open',
      concedable: false,
    },
    {
      when: 'the sheet asks for a longer hold',
      job: () => pressed({ sheet: { vacuumHoldS: 3600 } }).evacuated(),
      outcome: 'open',
      concedable: true,
    },
  ],
  notApplicable: [
    {
      when: 'nothing was opened',
      job: () =>
        aJob('maintenance').withSystem().withLineSet({ jobId: 'job-before' }).made({ jobId: 'job-before' }),
    },
    {
      when: 'the line comes charged',
      job: () => aJob().withSystem().withLineSet({ jointKind: 'quick-coupling' }).made(),
    },
  ],
})

describe('the criteria of an evacuation', () => {
  const own = { ...BUILT_IN_POLICY, vacuum: { ...BUILT_IN_POLICY.vacuum, limitPa: 100, holdS: 1200 } }

  it('are the built-in ones without a sheet, with their source', () => {
    const { targetPa, limitPa, holdS } = vacuumCriteria(null, BUILT_IN_POLICY)
    expect([targetPa.value, limitPa.value, holdS.value].map((value) => Math.round(value * 10) / 10)).toEqual([
      66.7, 200, 600,
    ])
    expect(limitPa.source).toMatch(/60335-2-40/)
  })
  it('are the sheet’s where it states them, also looser than built in', () => {
    expect(vacuumCriteria(aSheet({ vacuumLimitPa: 266 }), BUILT_IN_POLICY).limitPa).toEqual({
      value: 266,
      source: 'equipment sheet, Installation manual TI-35, page 12',
    })
  })
  it('are the company’s where it set its own tighter', () => {
    expect(vacuumCriteria(aSheet({ vacuumLimitPa: 266, vacuumHoldS: 600 }), own)).toMatchObject({
      limitPa: { value: 100, source: "the company's policy" },
      holdS: { value: 1200, source: "the company's policy" },
    })
  })
  it('are the sheet’s where the company set its own looser', () => {
    const loose = { ...BUILT_IN_POLICY, vacuum: { ...BUILT_IN_POLICY.vacuum, limitPa: 400 } }
    expect(vacuumCriteria(aSheet({ vacuumLimitPa: 150 }), loose).limitPa.value).toBe(150)
  })
})
