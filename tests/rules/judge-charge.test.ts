// Is the mass in the circuit counted right, whatever was released, weighed in, recovered and evacuated?

import { describe, expect, it } from 'vitest'
import { judgeCharge, requiredChargeOf } from '../../server/rules/judge-charge.ts'
import { netCharge, netChargeInWords } from '../../server/rules/net-charge.ts'
import { aJob, type JobBuilder } from '../support/dossiers.ts'

const laid = (sheet = {}, lengthM = 5) => aJob().withSystem({ sheet }).withLineSet({ lengthM })
const net = (job: JobBuilder) => netCharge(job.system)

describe('what is in the circuit', () => {
  it.each([
    ['comes from the factory before anything is recorded', () => laid(), 1.1],
    ['is the factory charge once released', () => laid().charged(), 1.1],
    ['counts a release once, however often it was written down', () => laid().charged().charged(), 1.1],
    ['takes the plate’s own mass where it was entered', () => laid().charged({ massKg: 1.05 }), 1.05],
    ['adds what was weighed in', () => laid().charged().weighedIn(0.15), 1.25],
    ['adds what was weighed in without a release on record', () => laid().weighedIn(0.15), 1.25],
    ['takes off what came out', () => laid().charged().weighedIn(0.15).recovered(0.05), 1.2],
    ['is never less than nothing', () => laid().charged().recovered(2), 0],
    [
      'starts again from an evacuation of the whole circuit',
      () => laid().charged().evacuated({ throughOutdoorUnit: true }).weighedIn(1.3),
      1.3,
    ],
    [
      'starts again from an evacuation after everything was recovered',
      () => laid().charged().recovered(1.05).evacuated().weighedIn(1.1),
      1.1,
    ],
    [
      'goes on when only a little was taken out before an evacuation',
      () => laid().charged().recovered(0.05).evacuated(),
      1.05,
    ],
    ['goes on through an evacuation of the lines alone', () => laid().evacuated().charged(), 1.1],
    [
      'is what a new outdoor unit brings after the old charge was recovered',
      () => laid().charged().recovered(1.1).evacuated().charged({ massKg: 1.4 }),
      1.4,
    ],
    [
      'counts a factory charge that was weighed in as just that',
      () => laid().weighedIn(1.2, { source: 'factory' }),
      1.2,
    ],
  ] as const)('%s', (_, job, totalKg) => {
    expect(net(job()).totalKg).toBeCloseTo(totalKg, 9)
  })

  it.each([
    ['the sheet states no factory charge', () => laid({ factoryChargeKg: null }), /factory charge/],
    ['something let in was not weighed', () => laid().weighedIn(0.1, { massKg: null }), /let in/],
    ['something taken out was not weighed', () => laid().recovered(0, { massKg: null }), /taken out/],
  ] as const)('is not known when %s', (_, job, because) => {
    expect(net(job()).totalKg).toBeNull()
    expect(net(job()).unknown).toMatch(because)
  })
  it('is known again after the circuit was emptied', () => {
    const job = laid({ factoryChargeKg: null }).recovered(0, { massKg: null }).evacuated().weighedIn(1.2)
    expect(net(job)).toMatchObject({ totalKg: 1.2, countedFrom: 'empty-circuit', unknown: null })
  })
  it('is told in words', () => {
    expect(netChargeInWords(net(laid().charged().weighedIn(0.15).recovered(0.05)))).toBe(
      '1.100 kg from the factory, 0.150 kg weighed in, 0.050 kg taken out',
    )
  })
})

describe('what should be in', () => {
  const additional = (job: JobBuilder) => {
    const answer = requiredChargeOf(job.system)
    return answer.known ? answer.figure.additionalKg : answer.because
  }
  it.each([
    ['nothing beyond the factory charge up to the pre-charged length', () => laid({}, 7.5), 0],
    ['each line by its own adder beyond it', () => laid({}, 15).withLineSet({ lengthM: 10 }), 0.15 + 0.05],
    [
      'all lines together under the other scheme',
      () => laid({ chargeScheme: 'total-length', prechargedLengthM: 20 }, 15).withLineSet({ lengthM: 10 }),
      0.1,
    ],
    [
      'the mass of the maker’s table',
      () => laid({ chargeScheme: 'maker-table', makerTableChargeKg: 0.35 }),
      0.35,
    ],
    [
      'the mass of each indoor unit that is still there',
      () => laid({ perIndoorUnit: [{ model: 'TI indoor', massKg: 0.2 }] }).withLineSet(),
      0.4,
    ],
    ['nothing where no scheme is stated and no line is longer', () => laid({ chargeScheme: null }, 7), 0],
  ] as const)('is %s', (_, job, expected) => {
    expect(additional(job())).toBeCloseTo(expected, 9)
  })
  it.each([
    ['no scheme is stated and a line is longer', () => laid({ chargeScheme: null }, 8), /charge scheme/],
    ['no pre-charged length is stated', () => laid({ prechargedLengthM: null }), /pre-charged length/],
    ['no adder is named for the size', () => laid({ chargeAdders: [] }, 8), /charge per length for Line 1/],
    ['the mass of the maker’s table is missing', () => laid({ chargeScheme: 'maker-table' }), /not entered/],
    [
      'the lines have two sizes and the scheme wants one',
      () =>
        laid(
          {
            chargeScheme: 'total-length',
            chargeAdders: [
              { liquidOdM: 0.00635, kgPerM: 0.02 },
              { liquidOdM: 0.00952, kgPerM: 0.03 },
            ],
          },
          15,
        ).withLineSet({ liquidOdM: 0.00952 }),
      /no single charge/,
    ],
  ] as const)('is not known when %s', (_, job, because) => {
    expect(additional(job())).toMatch(because)
  })
})

describe('the comparison', () => {
  const judge = (job: JobBuilder) => judgeCharge(job.system, job.dossier)
  it('uses the larger of 30 g, 3 % and the scale', () => {
    expect(judge(laid().charged()).toleranceKg).toBeCloseTo(0.033, 9)
    expect(judge(laid({ factoryChargeKg: 0.5, maxChargeKg: null }).charged()).toleranceKg).toBeCloseTo(
      0.03,
      9,
    )
    const coarse = laid({}, 15).withInstrument('scale', { accuracyAbsolute: 0.05 }).charged().weighedIn(0.15)
    expect(judge(coarse).toleranceKg).toBeCloseTo(Math.SQRT2 * 0.05, 9)
  })
  it('counts the scale only where something was weighed', () => {
    const released = laid({ factoryChargeKg: 0.5, maxChargeKg: null }).withInstrument('scale', {
      accuracyAbsolute: 0.5,
    })
    for (const charge of released.charged().system.charges) charge.scaleInstrumentId = null
    expect(judge(released).toleranceKg).toBeCloseTo(0.03, 9)
  })
  it.each([
    [0, 'within'],
    [0.033, 'within'],
    [0.0331, 'over'],
    [-0.033, 'within'],
    [-0.0331, 'under'],
  ])('is %d kg beside 1.1 kg: %s', (offKg, verdict) => {
    const job = laid({ maxChargeKg: null }).charged({ massKg: 1.1 + offKg })
    expect(judge(job).verdict).toBe(verdict)
  })
  it('assumes 10 g where the scale is not on record', () => {
    const job = laid({}, 15).charged().weighedIn(0.15)
    job.dossier.policy.charge = { toleranceMinimumKg: 0, toleranceFraction: 0 }
    for (const charge of job.system.charges)
      if (charge.scaleInstrumentId) charge.scaleInstrumentId = 'unknown'
    expect(judge(job).toleranceKg).toBeCloseTo(Math.SQRT2 * 0.01, 9)
  })
  it('names the basis of its CO₂-equivalent, and gives none where no value is known', () => {
    // R-410A: 2088 (AR4), so 1.1 kg is 2297 kg.
    expect(judge(laid().charged()).co2e).toMatchObject({ basis: 'AR4' })
    expect(judge(laid().charged()).co2e?.kg).toBeCloseTo(1.1 * 2087.5, -1)
    const propane = aJob()
      .withPolicy({ gwpBasis: 'AR5' })
      .withSystem({ refrigerant: 'R-290' })
      .withLineSet()
      .charged()
    expect(judge(propane).co2e).toBeNull()
  })
})
