// Is a line that is too long, too short or too steep for its equipment seen?

import { lineSetWithinLimits } from '../../server/rules/line-set-within-limits.ts'
import { aJob, type JobBuilder } from '../support/dossiers.ts'
import { testRequirement } from '../support/requirement-tables.ts'

/** The sheet: 3–20 m, 12 m with the outdoor unit above, 10 m with it below. */
const aLine = (line: Parameters<JobBuilder['withLineSet']>[0], sheet = {}) =>
  aJob().withSystem({ sheet }).withLineSet(line)

testRequirement(lineSetWithinLimits, {
  met: [
    { when: 'length and rise are within the sheet', job: () => aLine({ lengthM: 5, riseM: 2 }) },
    { when: 'the line is just as long as allowed', job: () => aLine({ lengthM: 20 }) },
    { when: 'the line is just as short as allowed', job: () => aLine({ lengthM: 3 }) },
    { when: 'the outdoor unit stands 12 m above', job: () => aLine({ lengthM: 15, riseM: -12 }) },
    { when: 'the outdoor unit stands 10 m below', job: () => aLine({ lengthM: 15, riseM: 10 }) },
    {
      when: 'all lines together are within the total',
      job: () => aLine({ lengthM: 10 }, { maxTotalLengthM: 25 }).withLineSet({ lengthM: 15 }),
    },
    {
      when: 'the sheet limits no rise and none was measured',
      job: () => aLine({ riseM: null }, { maxRiseOutdoorAboveM: null, maxRiseOutdoorBelowM: null }),
    },
  ],
  notMet: [
    {
      when: 'the line is a hand too long',
      job: () => aLine({ lengthM: 20.1 }),
      outcome: 'failed',
      reason: /20\.10 m is longer than 20\.00 m/,
      concedable: true,
    },
    {
      when: 'the line is too short',
      job: () => aLine({ lengthM: 2.5 }),
      outcome: 'failed',
      concedable: true,
    },
    {
      when: 'the outdoor unit stands 11 m below, which only the other direction allows',
      job: () => aLine({ lengthM: 15, riseM: 11 }),
      outcome: 'failed',
      reason: /outdoor unit below is more than 10\.00 m/,
      concedable: true,
    },
    {
      when: 'the outdoor unit stands 13 m above',
      job: () => aLine({ lengthM: 15, riseM: -13 }),
      outcome: 'failed',
      reason: /outdoor unit above/,
      concedable: true,
    },
    {
      when: 'the rise is not entered and the sheet limits it',
      job: () => aLine({ riseM: null }),
      outcome: 'open',
      next: /Measure the height/,
      concedable: true,
    },
    {
      when: 'all lines together are too long',
      job: () => aLine({ lengthM: 12 }, { maxTotalLengthM: 25 }).withLineSet({ lengthM: 14 }),
      subject: 'System 1',
      outcome: 'failed',
      reason: /26\.00 m/,
      concedable: true,
    },
  ],
  notApplicable: [
    { when: 'there is no sheet', job: () => aJob().withSystem({ sheet: null }).withLineSet() },
    {
      when: 'the sheet gives no limits',
      job: () =>
        aLine(
          {},
          {
            minLengthM: null,
            maxLengthM: null,
            maxTotalLengthM: null,
            maxRiseOutdoorAboveM: null,
            maxRiseOutdoorBelowM: null,
          },
        ),
      reason: /No equipment sheet limits/,
    },
    {
      when: 'no line was laid here',
      job: () => aJob('repair').withSystem().withLineSet({ jobId: 'job-before', lengthM: 50 }),
    },
  ],
})
