// Is a press joint without mark or gauge seen?

import { pressVerified } from '../../server/rules/press-verified.ts'
import { aFinishedJob, aJob } from '../support/dossiers.ts'
import { testRequirement } from '../support/requirement-tables.ts'

const prepared = () => aJob().withSystem().withLineSet({ jointKind: 'press' }).made().prepared()

testRequirement(pressVerified, {
  met: [
    { when: 'jaw, mark and gauge are in order', job: () => prepared().pressed().inspected() },
    {
      when: 'the pressed ring was measured',
      job: () => prepared().pressed().inspected({ diameterCheck: 'measured', outerDiameterM: 0.014 }),
    },
  ],
  notMet: [
    { when: 'no pressing is recorded', job: prepared, outcome: 'open', concedable: false },
    {
      when: 'the insertion was not marked',
      job: () => prepared().pressed({ insertionMarked: false }).inspected(),
      outcome: 'failed',
      next: /start making 2/,
      concedable: false,
    },
    {
      when: 'the jaw is not named',
      job: () => prepared().pressed({ jawSize: ' ' }).inspected(),
      outcome: 'open',
      concedable: false,
    },
    {
      when: 'it was not gauged',
      job: () => prepared().pressed(),
      outcome: 'open',
      next: /gauge/,
      concedable: false,
    },
    {
      when: 'it was looked at only',
      job: () => prepared().pressed().inspected({ diameterCheck: 'not-checked' }),
      outcome: 'open',
      concedable: false,
    },
    {
      when: 'the gauge refused it',
      job: () => prepared().pressed().inspected({ outcome: 'rejected' }),
      outcome: 'failed',
      concedable: false,
    },
  ],
  notApplicable: [
    { when: 'the joints are flared', job: () => aFinishedJob(), reason: /No joint was pressed/ },
    {
      when: 'the joint is left out',
      job: () => aJob().withSystem().withLineSet({ jointKind: 'press' }).leftOut('later'),
    },
  ],
})
