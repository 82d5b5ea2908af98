// Does the calculator that a result links to come to the figures of the record, also high above the sea?

import { describe, expect, it } from 'vitest'
import { pressureHold } from '../../server/http/calculators/pressure-hold.ts'
import { runningCheck } from '../../server/http/calculators/running-check.ts'
import { explainHold, explainRunning } from '../../server/http/explanations.ts'
import { expand } from '../../server/http/form.ts'
import { judgePressureTest } from '../../server/rules/judge-pressure-test.ts'
import { judgeRunningCheck } from '../../server/rules/judge-running-check.ts'
import { BUILT_IN_POLICY } from '../../server/rules/policy.ts'
import { aJob, aJobWithJointsMade } from '../support/dossiers.ts'

/** What the link carries, as the calculator's page reads it. */
const carried = (href = '') => expand(Object.fromEntries(new URLSearchParams(href.split('?')[1] ?? '')))

describe.each([101_325, 83_000, 104_000])('at %d Pa of air', (airPa) => {
  it('the running check', () => {
    const { system } = aJob().withSystem().withLineSet().ran({
      liquidLinePressureGaugePa: 2.6e6,
      liquidLineTemperatureK: 311.15,
      suctionPressureGaugePa: 0.85e6,
      suctionTemperatureK: 284.15,
    })
    system.atmosphericPressurePa = airPa
    const check = system.runningChecks[0]
    if (!check) throw new Error('it did not run')
    const judged = judgeRunningCheck(check, system, BUILT_IN_POLICY)
    const answer = runningCheck.compute(
      runningCheck.input.parse(carried(explainRunning(check, system)?.calculatorHref)),
    )
    const measured = (name: string) => judged.differences.find((one) => one.name === name)?.measuredK
    expect(answer.subcooling?.subcoolingK).toBeCloseTo(measured('subcooling') ?? Number.NaN, 6)
    expect(answer.superheat?.superheatK).toBeCloseTo(measured('superheat') ?? Number.NaN, 6)
    expect(answer.splitK).toBeCloseTo(measured('temperature split') ?? Number.NaN, 6)
  })

  it('the pressure test', () => {
    const job = aJobWithJointsMade().pressureTested()
    const test = job.system.pressureTests[0]
    if (!test) throw new Error('no test')
    test.atmosphericPressurePa = airPa
    const judgement = judgePressureTest(test, job.system, job.dossier)
    const worked = explainHold(test, job.system, judgement, {
      policy: job.dossier.policy,
      instruments: job.dossier.instruments,
      unit: 'MPa',
    })
    const { judgement: again } = pressureHold.compute(
      pressureHold.input.parse(carried(worked?.calculatorHref)),
    )
    expect(again.expectedGaugePressurePa).toBeCloseTo(judgement.expectedGaugePressurePa ?? Number.NaN, 1)
    expect(again.verdict).toBe(judgement.verdict)
  })
})
