// Is a joint that nobody made seen, and one that was left out with a reason let pass?

import { everyJointMade } from '../../server/rules/every-joint-made.ts'
import { aFinishedJob, aJob, DAY, MORNING } from '../support/dossiers.ts'
import { testRequirement } from '../support/requirement-tables.ts'

const earlier = { jobId: 'job-before', performedAt: MORNING - 300 * DAY, recordedAt: MORNING - 300 * DAY }

testRequirement(everyJointMade, {
  met: [
    { when: 'all four joints of a line set are made', job: () => aFinishedJob() },
    {
      when: 'a joint was remade',
      job: () => aFinishedJob().at('indoor-gas').made(),
      subject: 'A-4',
      reason: /Making 2/,
    },
    {
      when: 'the outdoor unit was replaced and its joint was made anew on this job',
      job: () =>
        aJob('repair')
          .withSystem()
          .withLineSet({ jobId: 'job-before' })
          .made(earlier)
          .replacedUnit('outdoor-1')
          .at('outdoor-liquid')
          .made(),
      subject: 'A-1',
      reason: /Making 2/,
    },
    {
      when: 'a joint is left out with a reason',
      job: () =>
        aJob()
          .withSystem()
          .withLineSet()
          .at('outdoor-liquid', 'outdoor-gas', 'indoor-liquid')
          .flareComplete()
          .at('indoor-gas')
          .leftOut('wall not open yet'),
      subject: 'A-4',
      reason: /wall not open yet/,
    },
    {
      when: 'a joint of an earlier job is remade on a repair',
      job: () =>
        aJob('repair')
          .withSystem()
          .withLineSet({ jobId: 'job-before' })
          .made(earlier)
          .at('indoor-gas')
          .made(),
      subject: 'A-4',
    },
    {
      when: 'a factory end was cut off and remade in the field',
      job: () => aJob().withSystem().withLineSet({ origin: 'factory' }).made().at('indoor-gas').made(),
      subject: 'A-4',
    },
  ],
  notMet: [
    {
      when: 'one of four joints has no making',
      job: () =>
        aJob().withSystem().withLineSet().at('outdoor-liquid', 'outdoor-gas', 'indoor-liquid').made(),
      subject: 'A-4',
      outcome: 'open',
      reason: /No making is recorded/,
      next: /leave it out of the job with a reason/,
      concedable: false,
    },
    {
      when: 'the outdoor unit was replaced and its joints were not made anew',
      job: () =>
        aJob('repair')
          .withSystem()
          .withLineSet({ jobId: 'job-before' })
          .made(earlier)
          .replacedUnit('outdoor-1'),
      subject: 'A-1',
      outcome: 'open',
      reason: /was replaced/,
      concedable: false,
    },
    {
      when: 'an installation has no line on record yet',
      job: () => aJob().withSystem(),
      outcome: 'open',
      next: /line sets/,
      concedable: false,
    },
    {
      when: 'an installation has no system on record yet',
      job: () => aJob(),
      outcome: 'open',
      concedable: false,
    },
    {
      when: 'a new joint was put into a section opened here and not made',
      job: () =>
        aJob('repair')
          .withSystem()
          .withLineSet({ jobId: 'job-before' })
          .made(earlier)
          .at('indoor-gas')
          .made()
          .withJoint({ kind: 'flare' }),
      subject: 'A-5',
      outcome: 'open',
      concedable: false,
    },
  ],
  notApplicable: [
    {
      when: 'a maintenance visit opens nothing',
      job: () => aJob('maintenance').withSystem().withLineSet({ jobId: 'job-before' }).made(earlier),
      reason: /lays no line and opens no joint/,
    },
    {
      when: 'a maintenance visit only writes down the room of an earlier line',
      job: () => aJob('maintenance').withSystem().withLineSet({ jobId: 'job' }).made(earlier),
      reason: /lays no line and opens no joint/,
    },
    {
      when: 'the end was made in the factory',
      job: () => aJob().withSystem().withLineSet({ origin: 'factory' }),
      reason: /factory/,
    },
    {
      when: 'existing joints of a line are not opened',
      job: () => aJob('repair').withSystem().withLineSet({ jobId: 'job-before', origin: 'existing' }),
    },
  ],
})
