// Is a rejected flare, or one outside its band, kept from being signed off?

import { describe, expect, it } from 'vitest'
import { flareAccepted, flareClassOf } from '../../server/rules/flare-accepted.ts'
import { aFinishedJob, aJob, aSheet, points } from '../support/dossiers.ts'
import { testRequirement } from '../support/requirement-tables.ts'

const flared = (refrigerant: 'R-410A' | 'R-22' = 'R-410A') =>
  aJob()
    .withSystem({ refrigerant, sheet: refrigerant === 'R-22' ? { maxPressureGaugePa: 2.9e6 } : {} })
    .withLineSet()
    .at('indoor-liquid')
    .made()
    .prepared()
    .flared()

const measured = (mm: number) => ({ diameterCheck: 'measured' as const, outerDiameterM: mm / 1000 })

testRequirement(flareAccepted, {
  met: [
    { when: 'every flare passed the gauge', job: () => aFinishedJob() },
    {
      // JIS B 8607 class 2, 1/4 in: 8.7–9.1 mm, as printed in use.
      when: 'the diameter lies on the upper limit of class 2',
      job: () => flared().inspected(measured(9.1)),
      subject: 'A-3',
      reason: /9\.10 mm is within 8\.7–9\.1 mm for 1\/4 in/,
    },
    {
      when: 'the diameter lies on the lower limit of class 2',
      job: () => flared().inspected(measured(8.7)),
      subject: 'A-3',
    },
    {
      when: 'the flare was looked at and its diameter not checked',
      job: () => flared().inspected({ diameterCheck: 'not-checked' }),
      subject: 'A-3',
      reason: /not checked/,
    },
    {
      when: 'the sheet states its own band and the diameter lies in it',
      job: () =>
        aJob()
          .withSystem({ sheet: { flareDiameterM: [{ tubeOdM: 0.00635, lowM: 0.0092, highM: 0.0095 }] } })
          .withLineSet()
          .at('indoor-liquid')
          .made()
          .inspected(measured(9.3)),
      subject: 'A-3',
    },
    {
      when: 'an R-22 flare is as small as class 1 allows',
      job: () => flared('R-22').inspected(measured(8.6)),
      subject: 'A-3',
    },
    {
      when: 'the second making is accepted after the first was rejected',
      job: () => flared().inspected({ outcome: 'rejected' }).made().prepared().flared().inspected(),
      subject: 'A-3',
    },
    {
      when: 'a factory end is accepted as received',
      job: () => aJob().withSystem().withLineSet({ origin: 'factory' }).made().inspected(),
    },
  ],
  notMet: [
    {
      when: 'the flare was not inspected',
      job: () => flared(),
      subject: 'A-3',
      outcome: 'open',
      next: /Inspect the flare/,
      concedable: false,
    },
    {
      when: 'a factory end was not looked at as received',
      job: () => aJob().withSystem().withLineSet({ origin: 'factory' }).made(),
      outcome: 'open',
      next: /as received/,
      concedable: false,
    },
    {
      when: 'the flare was rejected',
      job: () => flared().inspected({ outcome: 'rejected' }),
      subject: 'A-3',
      outcome: 'failed',
      next: /Cut it off and start making 2/,
      concedable: false,
    },
    {
      when: 'the diameter is a hundredth above class 2',
      job: () => flared().inspected(measured(9.11)),
      subject: 'A-3',
      outcome: 'failed',
      reason: /9\.11 mm is above 8\.7–9\.1 mm/,
      concedable: false,
    },
    {
      when: 'an R-410A flare is only as large as class 1 asks',
      job: () => flared().inspected(measured(8.6)),
      subject: 'A-3',
      outcome: 'failed',
      reason: /below/,
      concedable: false,
    },
    {
      when: 'it was accepted with a crack',
      job: () => flared().inspected({ points: points({ no: 'noCracks' }) }),
      subject: 'A-3',
      outcome: 'failed',
      reason: /no cracks/,
      concedable: false,
    },
    {
      when: 'not every point was looked at',
      job: () =>
        flared().inspected({ points: { answers: { even: 'yes' }, reasons: {}, allAsListed: false } }),
      subject: 'A-3',
      outcome: 'open',
      concedable: false,
    },
  ],
  notApplicable: [
    {
      when: 'the joints are brazed',
      job: () => aJob().withSystem().withLineSet({ jointKind: 'brazed' }).made(),
    },
    {
      when: 'a press joint is gauged, which is no flare',
      job: () => aJob().withSystem().withLineSet({ jointKind: 'press' }).made(),
      reason: /No flare was made/,
    },
    {
      when: 'nothing is made',
      job: () => aJob('maintenance').withSystem().withLineSet({ jobId: 'job-before' }),
    },
  ],
})

describe('the class of a flare', () => {
  it.each([
    ['R-32', null, 'class-2'],
    ['R-454B', 3.0e6, 'class-2'],
    ['R-22', 2.9e6, 'class-1'],
    ['R-22', null, 'class-1'],
    ['R-290', 3.6e6, 'class-2'],
  ] as const)('of %s at %s Pa is %s', (refrigerant, maxPressureGaugePa, expected) => {
    expect(flareClassOf({ refrigerant, sheet: aSheet({ maxPressureGaugePa }) })).toBe(expected)
  })

  it('shows a projection with its band, and does not refuse a sound flare for it', () => {
    const dossier = flared().inspected().build()
    const [answer] = flareAccepted.check(dossier).filter(({ subject }) => subject.name === 'A-3')
    expect(answer?.numbers).toContainEqual(
      expect.objectContaining({ name: 'projection above the die', value: 0.001, low: 0.001, high: 0.0015 }),
    )
  })
})
