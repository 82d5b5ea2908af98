// Is a joint put together wet, skewed or with the wrong oil seen?

import { jointAssembled } from '../../server/rules/joint-assembled.ts'
import { aFinishedJob, aJob, points } from '../support/dossiers.ts'
import { testRequirement } from '../support/requirement-tables.ts'

const inspected = (sheet = {}) =>
  aJob().withSystem({ sheet }).withLineSet().made().prepared().flared().inspected()

testRequirement(jointAssembled, {
  met: [
    { when: 'all points are yes and the oil is where the sheet asks for it', job: () => aFinishedJob() },
    {
      when: 'the sheet says nothing of oil',
      job: () => inspected({ flareLubrication: null }).assembled({ lubricated: 'face-and-back' }),
    },
    {
      when: 'a coupling has no face to oil, and the reason is given',
      job: () =>
        aJob()
          .withSystem()
          .withLineSet({ jointKind: 'quick-coupling' })
          .made()
          .assembled({ points: points({ notApplicable: { lubricatedAsSheet: 'sealed with an O-ring' } }) }),
    },
    {
      when: 'it was assembled again in good order',
      job: () =>
        inspected()
          .assembled({ points: points({ no: 'aligned' }) })
          .assembled(),
    },
  ],
  notMet: [
    { when: 'no assembly is recorded', job: () => inspected(), outcome: 'open', concedable: true },
    {
      when: 'it was not held with a second wrench',
      job: () => inspected().assembled({ points: points({ no: 'backingWrench' }) }),
      outcome: 'failed',
      reason: /held with a second wrench/,
      next: /assemble it again/,
      concedable: true,
    },
    {
      when: 'the sheet asks for oil on the face and there was none',
      job: () => inspected().assembled({ lubricated: 'none' }),
      outcome: 'failed',
      reason: /no oil; equipment sheet, Installation manual TI-35, page 12 asks for oil on the flare face/,
      concedable: true,
    },
    {
      when: 'sealant was put on a flare',
      job: () => inspected({ flareLubrication: null }).assembled({ lubricated: 'sealant' }),
      outcome: 'failed',
      reason: /metal on metal/,
      concedable: true,
    },
    {
      when: 'a point of a flare is said not to apply',
      job: () => inspected().assembled({ points: points({ notApplicable: { startedByHand: 'no room' } }) }),
      outcome: 'open',
      concedable: true,
    },
  ],
  notApplicable: [
    {
      when: 'the joints are pressed',
      job: () => aJob().withSystem().withLineSet({ jointKind: 'press' }).made(),
    },
    { when: 'no joint is made', job: () => aJob('repair').withSystem().withLineSet({ jobId: 'job-before' }) },
  ],
})
