// Is a tube end that was not prepared well, or not said to be, seen?

import { jointPrepared } from '../../server/rules/joint-prepared.ts'
import { aFinishedJob, aJob, allYes, points } from '../support/dossiers.ts'
import { testRequirement } from '../support/requirement-tables.ts'

const made = () => aJob().withSystem().withLineSet().made()

testRequirement(jointPrepared, {
  met: [
    { when: 'all points are as listed', job: () => aFinishedJob() },
    {
      when: 'each point is answered yes by itself',
      job: () =>
        made().prepared({
          answers: { squareCut: 'yes', deburred: 'yes', burrsKeptOut: 'yes', tubeClean: 'yes', nutOn: 'yes' },
          reasons: {},
          allAsListed: false,
        }),
    },
    {
      when: 'a point does not apply and the reason is given',
      job: () =>
        made().prepared(
          points({ notApplicable: { burrsKeptOut: 'tube was cut from below, open end down' } }),
        ),
    },
    {
      when: 'a brazed joint has no nut to put on',
      job: () =>
        aJob()
          .withSystem()
          .withLineSet({ jointKind: 'brazed' })
          .made()
          .prepared({
            answers: { squareCut: 'yes', deburred: 'yes', burrsKeptOut: 'yes', tubeClean: 'yes' },
            reasons: {},
            allAsListed: false,
          }),
    },
    {
      when: 'a second making is prepared well after a first that was not',
      job: () =>
        made()
          .prepared(points({ no: 'squareCut' }))
          .made()
          .prepared(),
    },
  ],
  notMet: [
    {
      when: 'the joint is not made',
      job: () => aJob().withSystem().withLineSet(),
      outcome: 'open',
      reason: /not made yet/,
      concedable: false,
    },
    { when: 'no preparation is recorded', job: made, outcome: 'open', concedable: true },
    {
      when: 'the tube was not cut square',
      job: () => made().prepared(points({ no: 'squareCut' })),
      outcome: 'failed',
      reason: /cut square/,
      next: /start a new making/,
      concedable: true,
    },
    {
      when: 'a point is not answered',
      job: () => made().prepared({ ...allYes, allAsListed: false, answers: { squareCut: 'yes' } }),
      outcome: 'open',
      reason: /Not answered: deburred/,
      concedable: true,
    },
    {
      when: 'a point is said not to apply without a reason',
      job: () => made().prepared(points({ notApplicable: { tubeClean: ' ' } })),
      outcome: 'open',
      reason: /without a reason/,
      concedable: true,
    },
  ],
  notApplicable: [
    {
      when: 'the end was flared in the factory',
      job: () => aJob().withSystem().withLineSet({ origin: 'factory' }).made(),
      reason: /factory-made flare joint/,
    },
    {
      when: 'couplings are screwed together',
      job: () => aJob().withSystem().withLineSet({ jointKind: 'quick-coupling' }).made(),
    },
    {
      when: 'the joint is left out',
      job: () => aJob().withSystem().withLineSet().leftOut('second visit'),
      reason: /second visit/,
    },
    {
      when: 'nothing is made on a maintenance visit',
      job: () => aJob('maintenance').withSystem().withLineSet({ jobId: 'job-before' }),
    },
  ],
})
