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
      value: z.number('Enter a number.').min(0, 'Not below nothing.').max(1e6, 'At most a million.'),
      unit: z.enum(['Pa.m3/s', 'mbar.L/s', 'g/yr'], { error: 'Use one of Pa.m3/s, mbar.L/s, g/yr.' }),
    }),
    gas: z.enum(GASES, { error: `Use one of ${GASES.join(', ')}.` }).optional(),
    temperature: temperature().optional(),
    testPressure: gaugePressure({ min: 1000 }).optional(),
  }),
  compute: (input) => {
    const { leak } = input
    if (leak.unit === 'g/yr' && input.gas === undefined)
      throw malformedField('gas', 'Grams a year of which gas?')
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
          label: 'As a throughput',
          value: `${figure(a.throughputPaM3PerS, 3)} Pa·m³/s`,
          note: `${figure(a.throughputPaM3PerS * 10, 3)} mbar·L/s`,
          main: true,
        },
        ...(a.bubblesKgPerYear === null
          ? []
          : [
              {
                label: 'Bubbles at this pressure show from',
                value: `about ${figure(a.bubblesKgPerYear * 1000, 2)} g/year`,
                note: 'in service; order of magnitude of EN 1779, from memory',
              },
            ]),
      ],
      table: {
        caption: 'The same throughput of each gas',
        columns: ['Gas', 'Grams a year', 'Ounces a year'],
        rows: a.byGas.map((one) => [
          one.gas,
          figure(one.kgPerYear * 1000, 3),
          figure((one.kgPerYear * 1000) / 28.349523125, 3),
        ]),
      },
      worked: {
        steps: [
          {
            says: 'A throughput is pressure times volume in a second: with the gas’s own mass it becomes grams, over a year of 365 days.',
            formula: 'm = q · M · 31\u00a0536\u00a0000 s / (R · T)',
            numbers: `${a.gas}: m = ${figure(a.throughputPaM3PerS, 3)} · ${figure(molarMass * 1000)} g/mol · 31\u00a0536\u00a0000 / (8.3145 · ${exactly(a.temperatureK, 2)}) = ${figure(own * 1000, 3)} g/year`,
          },
        ],
        source: 'ideal gas; molar masses by composition (ASHRAE 34)',
        validity:
          'For that gas at that pressure. What a leak of test gas means for the refrigerant in service depends on pressure and viscosity: the hold-time calculator counts that in.',
        methodHref: '/methods/leak-rate',
      },
    }
  },
})
