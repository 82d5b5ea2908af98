// Between which bounds does a rate of leaks lie, and a share of flares accepted?

import { z } from 'zod'
import { ratePer1000JointYears } from '../../trade/poisson-interval.ts'
import { defineCalculator, exactly, figure } from '../calculator.ts'

export const callbackRate = defineCalculator({
  path: 'callback-rate',
  summary: 'How many leaks in a thousand joint-years, and how sure is that?',
  input: z.strictObject({
    events: z.number('Enter a number.').int('A whole number.').min(0, 'Not below nothing.').max(100_000),
    jointYears: z.number('Enter a number.').gt(0, 'More than nothing.').max(1e8),
    /** Of the whole company, to compare with. */
    companyRate: z.number('Enter a number.').min(0).max(1e6).optional(),
  }),
  compute: (input) => ({
    ...input,
    ...ratePer1000JointYears(input.events, input.jointYears),
  }),
  json: (a) => ({ ratePer1000JointYears: a.rate, interval: [a.low, a.high], confidence: 0.95 }),
  explain: (a) => ({
    facts: [
      {
        label: 'In 1,000 joint-years',
        value: figure(a.rate, 3),
        note: `between ${figure(a.low, 3)} and ${figure(a.high, 3)} (95 %)`,
        main: true,
      },
      ...(a.companyRate === undefined
        ? []
        : [
            {
              label: 'Beside the company’s',
              value:
                a.companyRate < a.low
                  ? 'More than luck explains, if nothing else was looked at.'
                  : a.companyRate > a.high
                    ? 'Less than luck explains, if nothing else was looked at.'
                    : 'Luck alone may explain the difference.',
            },
          ]),
    ],
    worked: {
      steps: [
        {
          says: 'Leaks counted, over the years that joints were watched.',
          formula: 'rate = 1000 · x / E',
          numbers: `rate = 1000 · ${a.events} / ${figure(a.jointYears)} = ${figure(a.rate, 3)}`,
        },
        {
          says: 'The exact bounds for a count of rare events.',
          formula: 'χ²(α/2; 2 · x) / 2  to  χ²(1 − α/2; 2 · x + 2) / 2',
          numbers: `${a.events === 0 ? '0' : `χ²(0.025; ${2 * a.events}) / 2 = ${exactly((a.low * a.jointYears) / 1000, 4)}`} to χ²(0.975; ${2 * a.events + 2}) / 2 = ${exactly((a.high * a.jointYears) / 1000, 4)} leaks`,
        },
        {
          says: 'Over the same years they bound the rate.',
          formula: '1000 · bound / E',
          numbers: `1000 · ${exactly((a.low * a.jointYears) / 1000, 4)} / ${figure(a.jointYears)} = ${figure(a.low, 3)} to 1000 · ${exactly((a.high * a.jointYears) / 1000, 4)} / ${figure(a.jointYears)} = ${figure(a.high, 3)}`,
        },
      ],
      source: 'Garwood, Biometrika 28 (1936) 437',
      validity:
        'For leaks that happen independently: one per system, group and callback. Who is looked at because of a bad year looks worse than they are.',
      methodHref: '/methods/poisson-interval',
    },
  }),
})
