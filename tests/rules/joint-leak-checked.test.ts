// Does a leak check count only when it came after the work and could have found what it has to find?

import { describe, expect, it } from 'vitest'
import { jointLeakChecked } from '../../server/rules/joint-leak-checked.ts'
import { aFinishedJob, aJob, DAY, type JobBuilder, MORNING } from '../support/dossiers.ts'
import { testRequirement } from '../support/requirement-tables.ts'

const before = { jobId: 'job-before', performedAt: MORNING - 300 * DAY, recordedAt: MORNING - 300 * DAY }
const torqued = () =>
  aJob().withSystem().withLineSet().made().prepared().flared().inspected().assembled().torqued()
const flammable = (sheet = {}) =>
  aJob().withSystem({ refrigerant: 'R-32', sheet }).withLineSet().made().torqued().at('indoor-gas')
const sheetless = () =>
  aJob()
    .withSystem({ sheet: { testPressureGaugePa: null, maxPressureGaugePa: null } })
    .withLineSet()
    .made()
    .torqued()
const repaired = () =>
  aJob('repair')
    .withSystem()
    .withLineSet({ jobId: 'job-before' })
    .made(before)
    .leakChecked(before)
    .at('indoor-gas')
    .made()
    .torqued()
    .leakChecked()

/** What a callback found four days ago, or since the work. */
const called = (job: JobBuilder, at = MORNING - 4 * DAY) =>
  job.with((dossier) => {
    dossier.leaking = [{ jointId: job.joint('indoor-gas').id, at }]
  })
const untouched = () =>
  aJob('repair').withSystem().withLineSet({ jobId: 'job-before' }).made(before).leakChecked(before)

testRequirement(jointLeakChecked, {
  met: [
    {
      when: 'the joint that a callback found was made again and checked since',
      job: () => called(repaired()),
      subject: 'A-4',
    },
    { when: 'every joint was checked after it was torqued', job: () => aFinishedJob() },
    {
      when: 'bubbles were looked for when the section had cooled to nine tenths of its test pressure',
      job: () => torqued().leakChecked({ gaugePressurePa: 3.42e6 }),
    },
    {
      when: 'the sheet states no test pressure, and it was as high as low sides are designed for',
      job: () => sheetless().leakChecked({ gaugePressurePa: 1.5e6 }),
    },
    {
      when: 'bubbles were looked for on the charged circuit, which says what it can find',
      job: () => torqued().leakChecked({ medium: 'refrigerant', gaugePressurePa: 1.2e6 }),
      reason: /At the pressure of the charged circuit bubbles find no less than about \d+ g\/year/,
    },
    {
      when: 'a leak was found, the joint torqued again and checked again',
      job: () => torqued().leakChecked({ result: 'found' }).torqued().leakChecked(),
    },
    {
      when: 'an indoor joint with R-32 was checked by a detector good for 3 g/year on the charged system',
      job: () => flammable().leakCheckedByDetector(),
      subject: 'A-4',
      reason: /3 g\/year at 1\.500 MPa/,
    },
    {
      when: 'an indoor joint with R-32 was checked with hydrogen tracer',
      job: () =>
        flammable().leakCheckedByDetector({
          method: 'tracer-hydrogen',
          medium: 'tracer-mix',
          gaugePressurePa: 2e6,
        }),
      subject: 'A-4',
    },
    {
      when: 'the charged system stood at rest, and its pressure follows from its refrigerant',
      job: () => flammable().leakCheckedByDetector({ gaugePressurePa: null }),
      subject: 'A-4',
    },
    {
      when: 'the company has entered a validated figure for its bubbles',
      job: () =>
        flammable()
          .withPolicy({ bubbleSensitivity: { kgPerYear: 0.004, source: 'own trials, report 7' } })
          .leakChecked(),
      subject: 'A-4',
    },
    {
      when: 'an outdoor joint with R-32 was checked with bubbles',
      job: () => flammable().at('outdoor-gas').leakChecked(),
      subject: 'A-2',
    },
    {
      when: 'a weaker check came after a good one',
      job: () => flammable().leakCheckedByDetector().leakChecked(),
      subject: 'A-4',
    },
    {
      when: 'the untouched joints of an opened section were checked since',
      job: () => repaired().at('outdoor-liquid', 'outdoor-gas', 'indoor-liquid').leakChecked(),
    },
  ],
  notMet: [
    {
      when: 'a callback found it, and nothing was done to it since, whatever was checked before',
      job: () => called(untouched()),
      outcome: 'failed',
      reason: /The callback of .* found it leaking/,
      next: /Remake or retighten/,
      concedable: false,
    },
    {
      when: 'a callback found it after it was made again',
      job: () => called(repaired(), MORNING + 20 * DAY),
      subject: 'A-4',
      outcome: 'failed',
      reason: /nothing was done to it since/,
      concedable: false,
    },
    {
      when: 'no joint was checked',
      job: torqued,
      outcome: 'open',
      next: /bubbles at test pressure/,
      concedable: false,
    },
    {
      when: 'the nut was torqued after the check',
      job: () => aFinishedJob().at('indoor-gas').torqued(40),
      subject: 'A-4',
      outcome: 'open',
      reason: /The nut of A-4 was torqued on 2026-03-04 .* after the leak check/,
      next: /Check the joint again/,
      concedable: false,
    },
    {
      when: 'a leak was found',
      job: () => torqued().leakChecked({ result: 'found', part: 'joint', where: 'nut' }),
      outcome: 'failed',
      reason: /A leak was found: joint, nut/,
      next: /Remake or retighten/,
      concedable: false,
    },
    {
      when: 'a leak was found and the check repeated until it showed none',
      job: () => torqued().leakChecked({ result: 'found' }).leakChecked().leakChecked(),
      outcome: 'failed',
      reason: /Nothing was done to the joint since/,
      concedable: false,
    },
    {
      when: 'bubbles were used and no pressure was written down',
      job: () => torqued().leakChecked({ gaugePressurePa: null }),
      outcome: 'open',
      reason: /at the test pressure of 3\.800 MPa; at which pressure it was is not recorded/,
      next: /bubbles at test pressure/,
      concedable: false,
    },
    {
      when: 'bubbles were looked for at a pressure of a few bar',
      job: () => torqued().leakChecked({ gaugePressurePa: 0.5e6 }),
      outcome: 'open',
      reason: /looked for at 0\.500 MPa; at the test pressure of 3\.800 MPa/,
      concedable: false,
    },
    {
      when: 'bubbles were looked for just below nine tenths of the test pressure',
      job: () => torqued().leakChecked({ gaugePressurePa: 3.41e6 }),
      outcome: 'open',
      concedable: false,
    },
    {
      when: 'the sheet states no test pressure, and it was lower than low sides are designed for',
      job: () => sheetless().leakChecked({ gaugePressurePa: 1.2e6 }),
      outcome: 'open',
      concedable: false,
    },
    {
      when: 'a leak was found at a joint that is then left out',
      job: () =>
        aJob('repair')
          .withSystem()
          .withLineSet({ jobId: 'job-before' })
          .made(before)
          .at('A-4')
          .leakChecked({ result: 'found' })
          .leftOut('old'),
      subject: 'A-4',
      outcome: 'failed',
      reason: /A leak was found/,
      concedable: false,
    },
    {
      when: 'only ultrasound was used',
      job: () => torqued().leakChecked({ method: 'ultrasonic' }),
      outcome: 'open',
      reason: /never counts/,
      concedable: false,
    },
    {
      when: 'there was no pressure in the joint',
      job: () => torqued().leakChecked({ gaugePressurePa: 0 }),
      outcome: 'open',
      concedable: false,
    },
    {
      when: 'the method is unlisted and its sensitivity unknown',
      job: () => torqued().leakChecked({ method: 'other' }),
      outcome: 'open',
      concedable: false,
    },
    {
      when: 'an indoor joint with R-32 got bubbles alone',
      job: () => flammable().leakChecked(),
      subject: 'A-4',
      outcome: 'open',
      reason: /Bubbles alone/,
      next: /detector tried on a reference leak/,
      concedable: false,
    },
    {
      when: 'the detector finds 6 g/year at best',
      job: () => flammable().leakCheckedByDetector({ sensitivityKgPerYear: 0.006 }),
      subject: 'A-4',
      outcome: 'open',
      reason: /finds 6 g\/year; 5 g\/year or better/,
      concedable: false,
    },
    {
      when: 'the detector was not tried that day',
      job: () =>
        flammable().leakCheckedByDetector({ checkedOnTrialLeak: false, sensitivitySource: 'instrument' }),
      subject: 'A-4',
      outcome: 'open',
      reason: /reference leak/,
      concedable: false,
    },
    {
      when: 'the pressure was below a quarter of the highest',
      job: () => flammable().leakCheckedByDetector({ gaugePressurePa: 1.0e6 }),
      subject: 'A-4',
      outcome: 'open',
      reason: /1\.000 MPa; at least 1\.038 MPa/,
      concedable: false,
    },
    {
      when: 'a tracer detector was used where there was no tracer',
      job: () =>
        flammable().leakCheckedByDetector({
          method: 'tracer-hydrogen',
          medium: 'nitrogen',
          gaugePressurePa: 3.9e6,
        }),
      outcome: 'open',
      reason: /finds nothing where there is no tracer/,
      subject: 'A-4',
      concedable: false,
    },
    {
      when: 'a refrigerant detector was held to a line with nitrogen only',
      job: () => flammable().leakCheckedByDetector({ medium: 'nitrogen', gaugePressurePa: 3.9e6 }),
      subject: 'A-4',
      outcome: 'open',
      concedable: false,
    },
    {
      when: 'what the detector finds is not stated',
      job: () => flammable().leakCheckedByDetector({ sensitivityKgPerYear: null }),
      subject: 'A-4',
      outcome: 'open',
      reason: /not stated/,
      concedable: false,
    },
    {
      when: 'the highest pressure is on no sheet',
      job: () => flammable({ maxPressureGaugePa: null, testPressureGaugePa: null }).leakCheckedByDetector(),
      subject: 'A-4',
      outcome: 'open',
      concedable: false,
    },
    {
      when: 'an untouched joint of a section opened here was last checked on an earlier job',
      job: repaired,
      subject: 'A-1',
      outcome: 'open',
      reason: /section was opened after/,
      concedable: false,
    },
  ],
  notApplicable: [
    {
      when: 'the joint that a callback found is left out with a reason',
      job: () => called(untouched()).at('indoor-gas').leftOut('The unit goes next week.'),
      subject: 'A-4',
    },
    {
      when: 'a visit opens nothing',
      job: () => aJob('maintenance').withSystem().withLineSet({ jobId: 'job-before' }).made(before),
    },
    { when: 'the joint is left out', job: () => aJob().withSystem().withLineSet().leftOut('second visit') },
  ],
})

describe('a nut pulled up on a maintenance visit', () => {
  const pulledUp = (): JobBuilder =>
    aJob('maintenance')
      .withSystem()
      .withLineSet({ jobId: 'job-before' })
      .made(before)
      .leakChecked(before)
      .at('indoor-gas')
      .torqued(40, { jobId: 'job' })

  it('asks for a check of that joint alone', () => {
    const answers = jointLeakChecked.check(pulledUp().build())
    expect(answers.map(({ subject, outcome }) => [subject.name, outcome])).toEqual([['A-4', 'open']])
  })
  it('is met once that joint is checked', () => {
    const answers = jointLeakChecked.check(pulledUp().leakChecked().build())
    expect(answers.map(({ outcome }) => outcome)).toEqual(['met'])
  })
})
