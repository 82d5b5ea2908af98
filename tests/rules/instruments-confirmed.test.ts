// Is an instrument that was late, never checked or found bad since seen on each job it was used on?

import type { Calibration } from '../../server/rules/dossier.ts'
import { instrumentsConfirmed } from '../../server/rules/instruments-confirmed.ts'
import { aFinishedJob, aJob, DAY, HOUR, MORNING } from '../support/dossiers.ts'
import { testRequirement } from '../support/requirement-tables.ts'

const calibration = (daysFromJob: number, over: Partial<Calibration> = {}): Calibration => ({
  id: `cal-${daysFromJob}`,
  at: MORNING + daysFromJob * DAY,
  result: 'in-tolerance',
  basis: 'certificate',
  points: [],
  reference: 'certificate 1',
  ...over,
})
const wrenchWith = (...calibrations: Calibration[]) =>
  aFinishedJob().withInstrument('wrench', { calibrations })
const wrench = 'torque-wrench wrench'

testRequirement(instrumentsConfirmed, {
  met: [
    { when: 'the wrench was confirmed two months before', job: () => aFinishedJob(), subject: wrench },
    { when: 'the confirmation is 364 days old', job: () => wrenchWith(calibration(-364)), subject: wrench },
    {
      when: 'it was late, and found in tolerance since',
      job: () => wrenchWith(calibration(-400), calibration(10)),
      subject: wrench,
      reason: /found in tolerance/,
    },
    {
      when: 'it was never checked before, and found in tolerance on the evening of the day',
      job: () => wrenchWith({ ...calibration(0), at: MORNING + 12 * HOUR }),
      subject: wrench,
    },
    {
      when: 'it was adjusted before the job',
      job: () => wrenchWith(calibration(-20, { result: 'adjusted' })),
      subject: wrench,
    },
    {
      when: 'the company checked it against a named reference',
      job: () => wrenchWith(calibration(-20, { basis: 'own-check', reference: 'tester 4, certificate 88' })),
      subject: wrench,
    },
    {
      when: 'a flaring tool was checked on a sample piece, without a certificate',
      job: () =>
        aFinishedJob().withInstrument('flaring', {
          calibrations: [calibration(-20, { basis: 'own-check', reference: null })],
        }),
      subject: 'flaring-tool flaring',
    },
    {
      when: 'the detector was tried on a reference leak at the check',
      job: () => aFinishedJob().everywhere().leakCheckedByDetector(),
      subject: 'leak-detector detector',
      reason: /reference leak/,
    },
  ],
  notMet: [
    {
      when: 'the wrench was never confirmed',
      job: () => wrenchWith(),
      subject: wrench,
      outcome: 'open',
      next: /Have it checked/,
      concedable: true,
    },
    {
      when: 'its confirmation is more than a year old',
      job: () => wrenchWith(calibration(-366)),
      subject: wrench,
      outcome: 'open',
      reason: /older than 365 days/,
      concedable: true,
    },
    {
      when: 'the instrument asks for a shorter interval than the policy',
      job: () => wrenchWith(calibration(-100)).withInstrument('wrench', { calibrationIntervalDays: 90 }),
      subject: wrench,
      outcome: 'open',
      concedable: true,
    },
    {
      when: 'its own check names nothing it was made against',
      job: () => wrenchWith(calibration(-20, { basis: 'own-check', reference: null })),
      subject: wrench,
      outcome: 'open',
      concedable: true,
    },
    {
      when: 'it was found out of tolerance after the job',
      job: () =>
        wrenchWith(
          calibration(-60),
          calibration(30, {
            result: 'out-of-tolerance',
            points: [{ nominal: 40, asFoundErrorPercent: 9, asLeftErrorPercent: null }],
          }),
        ),
      subject: wrench,
      outcome: 'failed',
      // e = +9 %: 1/1.09 = 0.917, so it applies 8.3 % less than it shows.
      reason: /applies 8\.3 % less than it shows/,
      next: /repeat those that no longer hold/,
      concedable: true,
    },
    {
      when: 'it was known to be out of tolerance on the day',
      job: () => wrenchWith(calibration(-60, { result: 'out-of-tolerance' }), calibration(5)),
      subject: wrench,
      outcome: 'failed',
      concedable: true,
    },
    {
      when: 'a detector was used on another day than its trial',
      job: () =>
        aFinishedJob()
          .withInstrument('detector', { calibrations: [calibration(-3)] })
          .everywhere()
          .leakCheckedByDetector({ checkedOnTrialLeak: false }),
      subject: 'leak-detector detector',
      outcome: 'open',
      concedable: true,
    },
    {
      when: 'the instrument is on no list',
      job: () =>
        aFinishedJob().with((dossier) => {
          dossier.instruments = dossier.instruments.filter(({ id }) => id !== 'wrench')
        }),
      subject: 'an unknown instrument',
      outcome: 'open',
      concedable: true,
    },
  ],
  notApplicable: [
    { when: 'a tube cutter needs no confirmation', job: () => aFinishedJob(), subject: 'tube-cutter cutter' },
    { when: 'nothing was used yet', job: () => aJob().withSystem().withLineSet() },
    {
      when: 'the instruments were used on an earlier job only',
      job: () =>
        aJob('maintenance')
          .withSystem()
          .withLineSet({ jobId: 'job-before' })
          .made({ jobId: 'job-before' })
          .torqued(),
    },
  ],
})
