// Is a joint brazed without nitrogen seen?

import { brazePurged } from '../../server/rules/braze-purged.ts'
import { aFinishedJob, aJob } from '../support/dossiers.ts'
import { testRequirement } from '../support/requirement-tables.ts'

const prepared = () => aJob().withSystem().withLineSet({ jointKind: 'brazed' }).made().prepared()

testRequirement(brazePurged, {
  met: [
    { when: 'nitrogen flowed', job: () => prepared().brazed() },
    { when: 'it was brazed twice, both times with nitrogen', job: () => prepared().brazed().brazed() },
    {
      when: 'it was cut out and brazed anew',
      job: () => prepared().brazed(false).made().prepared().brazed(),
    },
  ],
  notMet: [
    { when: 'no brazing is recorded', job: prepared, outcome: 'open', concedable: false },
    {
      when: 'nitrogen did not flow',
      job: () => prepared().brazed(false),
      outcome: 'failed',
      next: /remedy written down/,
      concedable: true,
    },
    {
      when: 'only the second heating had nitrogen',
      job: () => prepared().brazed(false).brazed(),
      outcome: 'failed',
      concedable: true,
    },
  ],
  notApplicable: [
    { when: 'the joints are flared', job: () => aFinishedJob(), reason: /No joint was brazed/ },
    {
      when: 'the brazing is the factory’s',
      job: () => aJob().withSystem().withLineSet({ jointKind: 'brazed', origin: 'factory' }).made(),
    },
    {
      when: 'an earlier job brazed it',
      job: () =>
        aJob('maintenance')
          .withSystem()
          .withLineSet({ jointKind: 'brazed', jobId: 'job-before' })
          .made({ jobId: 'job-before' })
          .brazed(false),
    },
  ],
})
