// Is a port that was left open, or opened again after it was closed, seen?

import { describe, expect, it } from 'vitest'
import { portsAndCapsClosed } from '../../server/rules/ports-and-caps-closed.ts'
import { aFinishedJob, aJob, aJobWithJointsMade, points } from '../support/dossiers.ts'
import { testRequirement } from '../support/requirement-tables.ts'

const withPort = (kind: 'service-port' | 'valve-cap' = 'service-port') =>
  aJobWithJointsMade()
    .withJoint({ kind, place: 'port' })
    .made()
    .pressureTested()
    .evacuated()
    .charged()
    .ran()
    .at('port')

testRequirement(portsAndCapsClosed, {
  met: [
    { when: 'the port was closed and checked at the end', job: () => withPort().closed().leakChecked() },
    {
      when: 'a valve cap has no core to tighten',
      job: () =>
        withPort('valve-cap')
          .closed({ points: { answers: { capOn: 'yes', capTight: 'yes' }, reasons: {}, allAsListed: false } })
          .leakChecked(),
    },
  ],
  notMet: [
    {
      when: 'no closing is recorded',
      job: () => withPort(),
      outcome: 'open',
      next: /put the cap on/,
      concedable: false,
    },
    {
      when: 'it was not checked for leaks',
      job: () => withPort().closed(),
      outcome: 'open',
      concedable: false,
    },
    {
      when: 'it was closed again after the check',
      job: () => withPort().closed().leakChecked().closed(),
      outcome: 'open',
      reason: /closed again/,
      concedable: false,
    },
    {
      when: 'refrigerant was let in after it was closed',
      job: () => withPort().closed().leakChecked().weighedIn(0.05),
      outcome: 'open',
      reason: /after the service port was closed/,
      concedable: false,
    },
    {
      when: 'the core is not tight',
      job: () =>
        withPort()
          .closed({ points: points({ no: 'coreTight' }) })
          .leakChecked(),
      outcome: 'failed',
      reason: /core tight/,
      concedable: false,
    },
    {
      when: 'the core of a port was passed over',
      job: () =>
        withPort()
          .closed({ points: { answers: { capOn: 'yes', capTight: 'yes' }, reasons: {}, allAsListed: false } })
          .leakChecked(),
      outcome: 'open',
      concedable: false,
    },
    {
      when: 'it leaks',
      job: () => withPort().closed().leakChecked({ result: 'found' }),
      outcome: 'failed',
      concedable: false,
    },
  ],
  notApplicable: [
    {
      when: 'the port is left out',
      job: () => aJob().withSystem().withLineSet().withJoint({ kind: 'service-port' }).leftOut('not reached'),
    },
  ],
})

describe('a system whose ports are not on record', () => {
  it('has nothing to say here', () => {
    expect(portsAndCapsClosed.check(aFinishedJob().build())).toEqual([])
  })
})
