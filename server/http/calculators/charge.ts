// How much refrigerant does a line of this length ask for?

import { z } from 'zod'
import { length, mass, massPerLength } from '../../commands/quantities.ts'
import { co2Equivalent, requiredCharge } from '../../trade/charge.ts'
import { fromSi, type LengthUnit, type MassUnit } from '../../trade/units.ts'
import { say } from '../../words/say.ts'
import { builtIn, defineCalculator, figure, inOther, inUnit, refrigerantName } from '../calculator.ts'
import { quantityJson } from '../json.ts'
import { orNull } from '../section-tests.ts'
import { chargeSteps } from '../worked-charge.ts'

export const charge = defineCalculator({
  path: 'charge',
  summary: 'How much refrigerant does a line of this length ask for?',
  input: z.strictObject({
    factoryCharge: mass(),
    prechargedLength: length(),
    adder: massPerLength(),
    length: length(),
    refrigerant: refrigerantName,
  }),
  compute: (input) => {
    const required = requiredCharge({
      factoryChargeKg: input.factoryCharge.si,
      scheme: {
        kind: 'total-length',
        prechargedLengthM: input.prechargedLength.si,
        adderKgPerM: input.adder.si,
        lines: [{ lengthM: input.length.si }],
      },
    })
    const co2e = orNull(() =>
      co2Equivalent({ refrigerant: input.refrigerant, massKg: required.totalKg, basis: builtIn.gwpBasis }),
    )
    return {
      ...required,
      co2e,
      factoryKg: input.factoryCharge.si,
      prechargedM: input.prechargedLength.si,
      adderKgPerM: input.adder.si,
      lengthM: input.length.si,
      massUnit: input.factoryCharge.unit as MassUnit,
      lengthUnit: input.length.unit as LengthUnit,
      refrigerant: input.refrigerant,
    }
  },
  json: ({ additionalKg, totalKg, co2e }) => ({
    additional: quantityJson('mass', additionalKg, 'kg'),
    total: quantityJson('mass', totalKg, 'kg'),
    co2e: co2e && { value: co2e.co2eKg, unit: 'kg', gwp: co2e.gwp, basis: co2e.basis, source: co2e.source },
  }),
  explain: (a) => {
    const both = (kg: number, main = false) => ({
      value: inUnit('mass', kg, a.massUnit),
      note: inOther('mass', kg, a.massUnit),
      main,
    })
    return {
      facts: [
        { label: say.calculators.toAdd, ...both(a.additionalKg, true) },
        { label: say.calculators.inAll, ...both(a.totalKg) },
        {
          label: say.calculators.forTheClimateAs,
          value: a.co2e ? say.calculators.kgOfCo(figure(a.co2e.co2eKg)) : say.calculators.notKnown,
          note: a.co2e ? say.calculators.gwp(figure(a.co2e.gwp), a.co2e.basis) : undefined,
        },
        ...(a.nothingToAdd
          ? [
              {
                label: say.calculators.so,
                value: say.calculators.releaseTheFactoryCharge,
              },
            ]
          : []),
      ],
      worked: chargeSteps({
        lines: [{ lengthM: a.lengthM, adderKgPerM: a.adderKgPerM }],
        prechargedM: a.prechargedM,
        factoryKg: a.factoryKg,
        additionalKg: a.additionalKg,
        totalKg: a.totalKg,
        co2e: a.co2e,
        wordOf: (kg) => figure(fromSi('mass', kg, 'g')),
      }),
    }
  },
})
