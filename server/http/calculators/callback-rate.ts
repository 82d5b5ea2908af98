// Between which bounds does a rate of leaks lie, and a share of flares accepted?

import { z } from 'zod'
import { ratePer1000JointYears } from '../../trade/poisson-interval.ts'
import { say } from '../../words/say.ts'
import { defineCalculator, exactly, figure } from '../calculator.ts'

export const callbackRate = defineCalculator({
  path: 'callback-rate',
  summary: 'How many leaks in a thousand joint-years, and how sure is that?',
  input: z.strictObject({
    events: z
      .number({ error: () => say.calculators.enterANumber })
      .int({ error: () => say.calculators.aWholeNumber })
      .min(0, { error: () => say.calculators.notBelowNothing })
      .max(100_000),
    jointYears: z
      .number({ error: () => say.calculators.enterANumber })
      .gt(0, { error: () => say.calculators.moreThanNothing })
      .max(1e8),
    /** Of the whole company, to compare with. */
    companyRate: z
      .number({ error: () => say.calculators.enterANumber })
      .min(0)
      .max(1e6)
      .optional(),
  }),
  compute: (input) => ({
    ...input,
    ...ratePer1000JointYears(input.events, input.jointYears),
  }),
  json: (a) => ({ ratePer1000JointYears: a.rate, interval: [a.low, a.high], confidence: 0.95 }),
  explain: (a) => ({
    facts: [
      {
        label: say.calculators.in1000Joint,
        value: figure(a.rate, 3),
        note: say.calculators.betweenAnd95(figure(a.low, 3), figure(a.high, 3)),
        main: true,
      },
      ...(a.companyRate === undefined
        ? []
        : [
            {
              label: say.calculators.besideTheCompanys,
              value:
                a.companyRate < a.low
                  ? say.calculators.moreThanLuckExplains
                  : a.companyRate > a.high
                    ? say.calculators.lessThanLuckExplains
                    : say.calculators.luckAloneMayExplain,
            },
          ]),
    ],
    worked: {
      steps: [
        {
          says: say.calculators.leaksCountedOverThe,
          formula: say.calculators.rate1000XE,
          numbers: say.calculators.rate1000(a.events, figure(a.jointYears), figure(a.rate, 3)),
        },
        {
          says: say.calculators.theExactBoundsFor,
          formula: 'χ²(α/2; 2 · x) / 2  to  χ²(1 − α/2; 2 · x + 2) / 2',
          numbers: say.calculators.to09752(
            a.events === 0
              ? '0'
              : `χ²(0.025; ${2 * a.events}) / 2 = ${exactly((a.low * a.jointYears) / 1000, 4)}`,
            2 * a.events + 2,
            exactly((a.high * a.jointYears) / 1000, 4),
          ),
        },
        {
          says: say.calculators.overTheSameYears,
          formula: say.calculators.n1000BoundE,
          numbers: `1000 · ${exactly((a.low * a.jointYears) / 1000, 4)} / ${figure(a.jointYears)} = ${figure(a.low, 3)} to 1000 · ${exactly((a.high * a.jointYears) / 1000, 4)} / ${figure(a.jointYears)} = ${figure(a.high, 3)}`,
        },
      ],
      source: say.calculators.garwoodBiometrika281936,
      validity: say.calculators.forLeaksThatHappen,
      methodHref: '/methods/poisson-interval',
    },
  }),
})
