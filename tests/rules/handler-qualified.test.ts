// Is somebody without a credential seen, unless somebody who held one stood over the work?

import type { Credential } from '../../server/rules/dossier.ts'
import { handlerQualified } from '../../server/rules/handler-qualified.ts'
import { aFinishedJob, aJob, DAY, type JobBuilder, MORNING } from '../support/dossiers.ts'
import { testRequirement } from '../support/requirement-tables.ts'

const card = (over: Partial<Credential> = {}): Credential => ({
  scheme: 'scheme A',
  category: 'I',
  number: '7',
  validUntil: null,
  ...over,
})
const asking = (tess: Credential[], sam: Credential[] = []): JobBuilder =>
  aFinishedJob()
    .withPolicy({ handlerSchemes: ['scheme A', 'scheme B'] })
    .with((dossier) => {
      for (const person of dossier.crew) person.credentials = person.id === 'tess' ? tess : sam
    })
const supervised = (by: string | null) => (job: JobBuilder) =>
  job.with((dossier) => {
    for (const system of dossier.systems) {
      const facts = [
        ...system.joints.flatMap((joint) => [
          ...joint.makes,
          ...joint.makes.flatMap((make) => make.steps),
          ...joint.leakChecks,
        ]),
        ...system.pressureTests,
        ...system.evacuations,
        ...system.charges,
        ...system.runningChecks,
      ]
      for (const fact of facts) fact.supervisedBy = by
    }
  })

testRequirement(handlerQualified, {
  met: [
    { when: 'the technician holds one that never ends', job: () => asking([card()]) },
    {
      when: 'it is of another scheme that the policy names',
      job: () => asking([card({ scheme: 'scheme B' })]),
    },
    { when: 'it ended the day after the work', job: () => asking([card({ validUntil: MORNING + DAY })]) },
    {
      when: 'a supervisor held one',
      job: () => supervised('sam')(asking([], [card()])),
      reason: /under somebody/,
    },
  ],
  notMet: [
    {
      when: 'nobody holds one',
      job: () => asking([]),
      outcome: 'open',
      next: /Enter the credential/,
      concedable: false,
    },
    {
      when: 'it ended the day before',
      job: () => asking([card({ validUntil: MORNING - DAY })]),
      outcome: 'open',
      reason: /On 2026-03-04/,
      concedable: false,
    },
    {
      when: 'it is of a scheme nobody asked for',
      job: () => asking([card({ scheme: 'scheme C' })]),
      outcome: 'open',
      concedable: false,
    },
    {
      when: 'the supervisor held none either',
      job: () => supervised('sam')(asking([])),
      outcome: 'open',
      concedable: false,
    },
  ],
  notApplicable: [
    { when: 'the policy names no scheme', job: () => aFinishedJob(), reason: /names no scheme/ },
    {
      when: 'no circuit was opened',
      job: () =>
        aJob('maintenance')
          .withPolicy({ handlerSchemes: ['scheme A'] })
          .withSystem()
          .withLineSet({ jobId: 'job-before' })
          .made({ jobId: 'job-before' }),
      reason: /No circuit was opened/,
    },
  ],
})
