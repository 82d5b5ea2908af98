// How much of each gas is one leak, and what would bubbles show of it?

import { z } from 'zod'
import { gaugePressure, temperature } from '../../commands/quantities.ts'
import { malformedField } from '../../refusals.ts'
import {
  bubbleSensitivity,
  kgPerYearToThroughput,
  TEST_GAS_MOLAR_MASS_KG,
  throughputToKgPerYear,
} from '../../trade/leak-rate.ts'
import { REFRIGERANTS, refrigerant } from '../../trade/refrigerants.ts'
import { say } from '../../words/say.ts'
import { defineCalculator, exactly, figure } from '../calculator.ts'
import { quantityJson } from '../json.ts'

const GASES = [...REFRIGERANTS, 'nitrogen', 'helium', 'air'] as const
type Gas = (typeof GASES)[number]

const molarMassOf = (gas: Gas): number =>
  gas === 'nitrogen' || gas === 'helium' || gas === 'air'
    ? TEST_GAS_MOLAR_MASS_KG[gas]
    : refrigerant(gas).molarMassKgPerMol

export const leakRate = defineCalculator({
  path: 'leak-rate',
  summary: 'What is a leak of so many Pa·m³/s in grams of each gas a year, and the other way round?',
  input: z.strictObject({
    leak: z.strictObject({
      value: z
        .number({ error: () => say.calculators.enterANumber })
        .min(0, { error: () => say.calculators.notBelowNothing })
        .max(1e6, { error: () => say.calculators.atMostAMillion }),
      unit: z.enum(['Pa.m3/s', 'mbar.L/s', 'g/yr'], { error: () => say.calculators.useOneOfPa }),
    }),
    gas: z.enum(GASES, { error: () => say.calculators.useOneOf(GASES.join(', ')) }).optional(),
    temperature: temperature().optional(),
    testPressure: gaugePressure({ min: 1000 }).optional(),
  }),
  compute: (input) => {
    const { leak } = input
    if (leak.unit === 'g/yr' && input.gas === undefined)
      throw malformedField('gas', say.calculators.gramsAYearOf)
    const gas = input.gas ?? 'R-32'
    const temperatureK = input.temperature?.si ?? 293.15
    const throughputPaM3PerS =
      leak.unit === 'g/yr'
        ? kgPerYearToThroughput({
            kgPerYear: leak.value / 1000,
            molarMassKgPerMol: molarMassOf(gas),
            temperatureK,
          })
        : // mbar·L/s: 100 Pa · 0.001 m³/s.
          leak.value * (leak.unit === 'mbar.L/s' ? 0.1 : 1)
    return {
      leak,
      gas,
      temperatureK,
      throughputPaM3PerS,
      byGas: GASES.map((one) => ({
        gas: one,
        kgPerYear: throughputToKgPerYear({
          throughputPaM3PerS,
          molarMassKgPerMol: molarMassOf(one),
          temperatureK,
        }),
      })),
      bubblesKgPerYear: input.testPressure ? bubbleSensitivity(input.testPressure.si) : null,
    }
  },
  json: (a) => ({
    throughput: { value: a.throughputPaM3PerS, unit: 'Pa.m3/s' },
    perYear: a.byGas.map((one) => ({ gas: one.gas, ...quantityJson('mass-rate', one.kgPerYear, 'g/yr') })),
    bubblesShow: quantityJson('mass-rate', a.bubblesKgPerYear, 'g/yr'),
  }),
  explain: (a) => {
    const molarMass = molarMassOf(a.gas)
    const own = a.byGas.find((one) => one.gas === a.gas)?.kgPerYear ?? 0
    return {
      facts: [
        {
          label: say.calculators.asAThroughput,
          value: `${figure(a.throughputPaM3PerS, 3)} Pa·m³/s`,
          note: say.calculators.mbarLS2(figure(a.throughputPaM3PerS * 10, 3)),
          main: true,
        },
        ...(a.bubblesKgPerYear === null
          ? []
          : [
              {
                label: say.calculators.bubblesAtThisPressure,
                value: say.calculators.aboutGYear(figure(a.bubblesKgPerYear * 1000, 2)),
                note: say.calculators.inServiceOrderOf,
              },
            ]),
      ],
      table: {
        caption: say.calculators.theSameThroughputOf,
        columns: [say.calculators.gas, say.calculators.gramsAYear, say.calculators.ouncesAYear],
        rows: a.byGas.map((one) => [
          one.gas,
          figure(one.kgPerYear * 1000, 3),
          figure((one.kgPerYear * 1000) / 28.349523125, 3),
        ]),
      },
      worked: {
        steps: [
          {
            says: say.calculators.aThroughputIsPressure,
            formula: 'm = q · M · 31\u00a0536\u00a0000 s / (R · T)',
            numbers: say.calculators.mGMol31(
              a.gas,
              figure(a.throughputPaM3PerS, 3),
              figure(molarMass * 1000),
              exactly(a.temperatureK, 2),
              figure(own * 1000, 3),
            ),
          },
        ],
        source: say.calculators.idealGasMolarMasses,
        validity: say.calculators.forThatGasAt,
        methodHref: '/methods/leak-rate',
      },
    }
  },
})
