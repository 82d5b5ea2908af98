// Is the mass in the circuit compared with what the sheet asks for, whatever way it got there?

import { chargeMatches } from '../../server/rules/charge-matches.ts'
import { aFinishedJob, aJob, aJobWithJointsMade, DAY, MORNING } from '../support/dossiers.ts'
import { testRequirement } from '../support/requirement-tables.ts'

const ready = (sheet = {}, lengthM = 5, refrigerant: 'R-410A' | 'R-32' = 'R-410A', room = {}) =>
  aJobWithJointsMade({ sheet, refrigerant }, { lengthM, room }).pressureTested().evacuated()
const before = { jobId: 'job-before', performedAt: MORNING - 300 * DAY, recordedAt: MORNING - 300 * DAY }
const inService = (kind: 'repair' | 'maintenance') =>
  aJob(kind).withSystem().withLineSet({ jobId: 'job-before' }).made(before).charged(before)

testRequirement(chargeMatches, {
  met: [
    {
      when: 'the factory charge is released and nothing is to add',
      job: () => aFinishedJob(),
      reason: /1\.100 kg/,
    },
    {
      // 1.1 kg + 0.02 kg/m × (15 − 7.5) m = 1.25 kg
      when: 'what a longer line needs was weighed in',
      job: () => ready({}, 15).charged().weighedIn(0.15),
    },
    {
      when: 'only the additional mass was written down',
      job: () => ready({}, 15).weighedIn(0.15),
    },
    {
      // Tolerance: the larger of √2 · 5 g, 30 g and 3 % of 1.25 kg = 37.5 g.
      when: 'the mass differs by just the tolerance',
      job: () => ready({}, 15).charged().weighedIn(0.1875),
    },
    {
      when: 'everything was recovered, the whole circuit evacuated and the full charge weighed in',
      job: () =>
        inService('repair')
          .recovered(0.9)
          .at('indoor-gas')
          .made()
          .pressureTested()
          .evacuated({ throughOutdoorUnit: true })
          .weighedIn(1.1),
    },
    {
      when: 'a little was taken out of what had been too much',
      job: () => inService('maintenance').weighedIn(0.1, before).recovered(0.1),
    },
    {
      when: 'the release was written down twice',
      job: () => ready().charged().charged(),
    },
    {
      when: 'the mass from the maker’s table was weighed in',
      job: () => ready({ chargeScheme: 'maker-table', makerTableChargeKg: 0.2 }).charged().weighedIn(0.2),
    },
    {
      when: 'the sheet counts all lines together',
      job: () => ready({ chargeScheme: 'total-length', prechargedLengthM: 4 }).charged().weighedIn(0.02),
    },
    {
      when: 'an indoor unit brings its own mass',
      job: () =>
        ready({ perIndoorUnit: [{ model: 'TI indoor', massKg: 0.1 }] })
          .charged()
          .weighedIn(0.1),
    },
  ],
  notMet: [
    {
      when: 'a system is taken away and nothing says where its refrigerant went',
      job: () => aJob('removal').withSystem().withLineSet({ jobId: 'job-before' }),
      outcome: 'open',
      reason: /what was recovered from it is not recorded/,
      next: /Recover the refrigerant, weigh it/,
      concedable: true,
    },
    {
      when: 'nothing is recorded yet',
      job: () => ready({}, 15),
      outcome: 'open',
      next: /Weigh in 0\.150 kg/,
      concedable: false,
    },
    {
      when: 'nothing is recorded and nothing is to add',
      job: () => ready(),
      outcome: 'open',
      next: /Release the factory charge/,
      concedable: false,
    },
    {
      when: 'the longer line got nothing',
      job: () => ready({}, 15).charged(),
      outcome: 'failed',
      reason: /less than the 1\.250 kg/,
      next: /Weigh in 0\.150 kg more/,
      concedable: true,
    },
    {
      when: 'too much was weighed in',
      job: () => ready({}, 15).charged().weighedIn(0.25),
      outcome: 'failed',
      next: /Recover 0\.100 kg/,
      concedable: true,
    },
    {
      when: 'it is above the most that the sheet allows',
      job: () => ready({}, 15).charged().weighedIn(0.6),
      outcome: 'failed',
      reason: /above the most/,
      concedable: false,
    },
    {
      when: 'it is too much, and also more than the room may hold',
      job: () =>
        ready({ factoryChargeKg: 1.8, maxChargeKg: 3 }, 5, 'R-32', { floorAreaM2: 4, mounting: 'floor' })
          .charged()
          .weighedIn(0.3),
      outcome: 'failed',
      concedable: false,
    },
    {
      when: 'there is no equipment sheet',
      job: () =>
        aJob()
          .withSystem({ sheet: null })
          .withLineSet()
          .flareComplete()
          .pressureTested()
          .evacuated()
          .weighedIn(1.1),
      outcome: 'open',
      reason: /no equipment sheet/,
      concedable: true,
    },
    {
      when: 'the sheet names no charge per length for this size',
      job: () => ready({ chargeAdders: [] }, 15).charged(),
      outcome: 'open',
      concedable: true,
    },
    {
      when: 'what was let in was not weighed',
      job: () => ready({}, 15).charged().weighedIn(0.15, { massKg: null }),
      outcome: 'open',
      reason: /not weighed/,
      concedable: true,
    },
    {
      when: 'after recovery only part was weighed in again',
      job: () => inService('repair').recovered(1.1).at('indoor-gas').made().evacuated().weighedIn(0.8),
      outcome: 'failed',
      concedable: true,
    },
  ],
  notApplicable: [
    { when: 'no refrigerant was moved', job: () => inService('maintenance') },
    {
      when: 'the system is taken away',
      job: () => aJob('removal').withSystem().withLineSet({ jobId: 'job-before' }).recovered(1.0),
    },
  ],
})
