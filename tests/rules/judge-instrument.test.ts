// Which checks of an instrument count as a confirmation, and how long does one last?

import { describe, expect, it } from 'vitest'
import type { Calibration } from '../../server/rules/dossier.ts'
import { confirmationInterval, countsAsCheck, judgeInstrument } from '../../server/rules/judge-instrument.ts'
import { BUILT_IN_POLICY } from '../../server/rules/policy.ts'
import { anInstrument, DAY, MORNING } from '../support/dossiers.ts'

const check = (over: Partial<Calibration> = {}): Calibration => ({
  id: 'check',
  at: MORNING - DAY,
  result: 'in-tolerance',
  basis: 'own-check',
  points: [],
  reference: null,
  ...over,
})

describe('a check', () => {
  it.each([
    ['with a certificate', check({ basis: 'certificate' }), 'torque-wrench', true],
    [
      'of the company’s own against a named reference',
      check({ reference: 'tester 7, certificate 12' }),
      'torque-wrench',
      true,
    ],
    ['of the company’s own against nothing', check(), 'torque-wrench', false],
    ['of the company’s own against a blank', check({ reference: '   ' }), 'torque-wrench', false],
    ['against nothing that found fault', check({ result: 'out-of-tolerance' }), 'torque-wrench', true],
    ['of a scale against nothing', check(), 'scale', false],
    ['of a flaring tool by a sample piece', check(), 'flaring-tool', true],
    ['of a detector on a reference leak', check(), 'leak-detector', true],
  ] as const)('%s', (_, calibration, kind, counts) => {
    expect(countsAsCheck(calibration, kind)).toBe(counts)
  })

  it('that does not count leaves a wrench unconfirmed', () => {
    const use = [{ at: MORNING }] as never
    const judged = (calibration: Calibration) =>
      judgeInstrument(
        anInstrument('wrench', 'torque-wrench', { calibrations: [calibration] }),
        use,
        BUILT_IN_POLICY,
      )
    expect(judged(check())).toMatchObject({ state: 'never-calibrated', confirmed: false })
    expect(judged(check({ reference: 'tester 7' }))).toMatchObject({ state: 'confirmed', confirmed: true })
  })
})

describe('the interval', () => {
  const days = BUILT_IN_POLICY.confirmationDays
  it.each([
    ['the policy’s', 'torque-wrench', null, 365],
    ['the instrument’s own where that is shorter', 'torque-wrench', 90, 90],
    ['the policy’s where the own one is longer', 'torque-wrench', 700, 365],
    ['the instrument’s own where the policy asks for none', 'tube-cutter', 90, 90],
    ['none where nobody asks', 'tube-cutter', null, null],
  ] as const)('is %s', (_, kind, calibrationIntervalDays, interval) => {
    expect(confirmationInterval({ kind, calibrationIntervalDays }, days)).toBe(interval)
  })
})
