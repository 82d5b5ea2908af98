// Is the smallest room held against the whole circuit's charge, by a method that is named?

import { roomLargeEnough } from '../../server/rules/room-large-enough.ts'
import { aFinishedJob, aJob, DAY, type JobBuilder, MORNING } from '../support/dossiers.ts'
import { testRequirement } from '../support/requirement-tables.ts'

const before = { jobId: 'job-before', performedAt: MORNING - 300 * DAY, recordedAt: MORNING - 300 * DAY }
const withCharge = (
  factoryChargeKg: number,
  room: Parameters<JobBuilder['withLineSet']>[0] = {},
  refrigerant: 'R-32' | 'R-290' = 'R-32',
) =>
  aJob()
    .withSystem({ refrigerant, sheet: { factoryChargeKg, maxChargeKg: null } })
    .withLineSet(room)

testRequirement(roomLargeEnough, {
  met: [
    {
      // 6 m³ × 0.307 kg/m³ = 1.842 kg: no room is too small below it (IEC 60335-2-40 Annex GG).
      when: 'the charge is below what any room may hold, and no room is described',
      job: () => withCharge(1.1, { room: null }),
      reason: /no room is too small/,
    },
    {
      // R-32, 2.0 kg, floor 0.6 m: 34.04 m² (two makers' tables).
      when: 'the room is just as large as the table asks',
      job: () => withCharge(2.0, { room: { floorAreaM2: 34.05, mounting: 'floor' } }),
    },
    {
      // R-32, 2.0 kg, ceiling 2.2 m: 3.95 m² (a maker's table).
      when: 'a ceiling unit needs little',
      job: () => withCharge(2.0, { room: { floorAreaM2: 3.96, mounting: 'ceiling' } }),
    },
    {
      when: 'the maker’s table is named with its page',
      job: () =>
        withCharge(2.5, { room: { floorAreaM2: 3, method: 'sheet-table', document: 'Manual', page: '31' } }),
      reason: /Manual, page 31/,
    },
  ],
  notMet: [
    {
      when: 'the room is a hair too small',
      job: () => withCharge(2.0, { room: { floorAreaM2: 34.0, mounting: 'floor' } }),
      outcome: 'failed',
      reason: /too small for 2\.000 kg of R-32, which needs 34\.04 m²/,
      next: /another method with its document/,
      concedable: false,
    },
    {
      when: 'the charge that is in counts, not only what should be',
      job: () =>
        withCharge(1.5, { room: { floorAreaM2: 20, mounting: 'floor' } })
          .charged()
          .weighedIn(0.5),
      outcome: 'failed',
      concedable: false,
    },
    {
      when: 'one zone of two has a small room',
      job: () =>
        withCharge(2.0, { room: { floorAreaM2: 60, mounting: 'floor' } }).withLineSet({
          room: { floorAreaM2: 12, mounting: 'floor' },
        }),
      subject: 'Line 2',
      outcome: 'failed',
      concedable: false,
    },
    {
      when: 'R-290 is more than any unventilated room may hold',
      job: () => withCharge(1.2, { room: { floorAreaM2: 500 } }, 'R-290'),
      outcome: 'failed',
      next: /another method/,
      concedable: false,
    },
    {
      when: 'the room is not described',
      job: () => withCharge(2.0, { room: null }),
      outcome: 'open',
      next: /floor area/,
      concedable: false,
    },
    {
      when: 'neither mounting nor height is stated',
      job: () => withCharge(2.0, { room: { mounting: null } }),
      outcome: 'open',
      concedable: false,
    },
    {
      when: 'a method is named without its page',
      job: () =>
        withCharge(2.5, { room: { method: 'ventilated-or-detector', document: 'Manual', page: null } }),
      outcome: 'open',
      next: /document and page/,
      concedable: false,
    },
    {
      when: 'the charge is not known',
      job: () =>
        aJob()
          .withSystem({ refrigerant: 'R-32', sheet: { factoryChargeKg: null } })
          .withLineSet(),
      outcome: 'open',
      reason: /charge of the circuit is not known/,
      concedable: false,
    },
  ],
  notApplicable: [
    {
      when: 'the refrigerant is not flammable',
      job: () => aFinishedJob(),
      reason: /R-410A is not flammable/,
    },
    {
      when: 'a visit changes neither charge nor room',
      job: () =>
        aJob('maintenance')
          .withSystem({ refrigerant: 'R-32' })
          .withLineSet({ jobId: 'job-before' })
          .made(before),
    },
    {
      when: 'the system is taken away',
      job: () =>
        aJob('removal').withSystem({ refrigerant: 'R-32' }).withLineSet({ jobId: 'job-before' }).recovered(1),
    },
  ],
})
