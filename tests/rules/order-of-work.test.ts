// Is work done in the wrong order, or undone by later work, seen?

import { orderOfWork } from '../../server/rules/order-of-work.ts'
import { aFinishedJob, aJob, aJobWithJointsMade, DAY, MINUTE, MORNING } from '../support/dossiers.ts'
import { testRequirement } from '../support/requirement-tables.ts'

const before = { jobId: 'job-before', performedAt: MORNING - 300 * DAY, recordedAt: MORNING - 300 * DAY }
const made = aJobWithJointsMade
const line = (number: number) => ({ covers: [{ kind: 'line-set' as const, id: `system-1-line-${number}` }] })

testRequirement(orderOfWork, {
  met: [
    { when: 'pressure, vacuum, charge and running follow each other', job: () => aFinishedJob() },
    {
      when: 'it was entered in the evening in any order, with the times of the work',
      job: () => {
        const evening = MORNING + 12 * 60 * MINUTE
        const stated = (minutes: number, entered: number) => ({
          performedAt: MORNING + minutes * MINUTE,
          recordedAt: evening + entered,
        })
        return made()
          .ran(stated(400, 1))
          .charged(stated(380, 2))
          .evacuated(stated(300, 3))
          .pressureTested(stated(120, 4))
      },
    },
    {
      when: 'everything carries one and the same moment, and was entered in order',
      job: () => {
        const moment = { performedAt: MORNING + 300 * MINUTE, recordedAt: MORNING + 300 * MINUTE }
        return made().pressureTested(moment).evacuated(moment).charged(moment).ran(moment)
      },
    },
    {
      when: 'two zones were tested on different days and charged last',
      job: () =>
        made()
          .withLineSet()
          .flareComplete()
          .pressureTested(line(1))
          .evacuated(line(1))
          .later(24 * 60)
          .pressureTested(line(2))
          .evacuated(line(2))
          .charged()
          .ran(),
    },
    {
      when: 'one zone was charged before the other was evacuated',
      job: () =>
        made()
          .withLineSet()
          .flareComplete()
          .pressureTested(line(1))
          .evacuated(line(1))
          .charged()
          .later(24 * 60)
          .pressureTested(line(2))
          .evacuated(line(2))
          .weighedIn(0.02)
          .ran(),
    },
    {
      when: 'after a leak the charge was recovered and all of it done again',
      job: () =>
        aFinishedJob()
          .recovered(1.1)
          .at('indoor-gas')
          .made()
          .torqued()
          .leakChecked()
          .pressureTested()
          .evacuated()
          .weighedIn(1.1)
          .ran(),
    },
    {
      when: 'the running check was not possible',
      job: () =>
        made()
          .pressureTested()
          .evacuated()
          .charged()
          .ran({ notPossible: { reason: 'no power', dueAt: MORNING } }),
    },
    {
      when: 'a visit only tops up, and runs afterwards',
      job: () =>
        aJob('maintenance')
          .withSystem()
          .withLineSet({ jobId: 'job-before' })
          .made(before)
          .charged(before)
          .weighedIn(0.1)
          .ran(),
    },
    {
      when: 'a visit takes a little out',
      job: () =>
        aJob('maintenance')
          .withSystem()
          .withLineSet({ jobId: 'job-before' })
          .made(before)
          .charged(before)
          .recovered(0.05)
          .ran(),
    },
  ],
  notMet: [
    {
      when: 'nothing is tested yet',
      job: () => made(),
      outcome: 'open',
      reason: /waits for the pressure test/,
      concedable: false,
    },
    {
      when: 'the charge is still to come',
      job: () => made().pressureTested().evacuated(),
      outcome: 'open',
      reason: /charge is not recorded/,
      concedable: false,
    },
    {
      when: 'it was evacuated before the pressure test',
      job: () => made().evacuated().pressureTested().charged().ran(),
      outcome: 'failed',
      reason: /pressure-tested/,
      concedable: false,
    },
    {
      when: 'refrigerant was let in before the evacuation',
      job: () => made().pressureTested().charged().evacuated().ran(),
      outcome: 'failed',
      reason: /before Line 1 was evacuated/,
      concedable: false,
    },
    {
      when: 'refrigerant was let in before the evacuation and more after it',
      job: () => made().pressureTested().charged().evacuated().weighedIn(0.1).ran(),
      outcome: 'failed',
      reason: /not recovered before/,
      concedable: false,
    },
    {
      when: 'a nut was torqued after the charge',
      job: () => aFinishedJob().at('indoor-gas').torqued(40),
      outcome: 'failed',
      reason: /The nut of A-4 was torqued/,
      concedable: false,
    },
    {
      when: 'the charge was changed after the running check',
      job: () => aFinishedJob().weighedIn(0.02),
      outcome: 'failed',
      reason: /after the running check/,
      next: /Repeat the running check/,
      concedable: false,
    },
    {
      when: 'a nut was stated to have been torqued while the readings ran, in a test entered later',
      job: () => {
        const job = made().pressureTested().evacuated().charged().ran()
        const test = job.system.pressureTests[0]
        const hold = test?.readings.find(({ stage }) => stage === 'hold')?.at ?? 0
        if (test) test.performedAt = hold + 60 * MINUTE
        return job
          .at('indoor-gas')
          .torqued(40, { performedAt: hold + 10 * MINUTE, recordedAt: hold + 600 * MINUTE })
      },
      outcome: 'failed',
      concedable: false,
    },
  ],
  notApplicable: [
    {
      when: 'nothing is opened or charged',
      job: () => aJob('maintenance').withSystem().withLineSet({ jobId: 'job-before' }).made(before),
    },
    {
      when: 'the system is taken away',
      job: () => aJob('removal').withSystem().withLineSet({ jobId: 'job-before' }).recovered(1),
    },
  ],
})
