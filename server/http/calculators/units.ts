// What is this in every other unit?

import { z } from 'zod'
import { malformedField } from '../../refusals.ts'
import {
  formatNumber,
  fromSi,
  parseQuantity,
  type QuantityKind,
  toSi,
  UNIT_LABELS,
  UNITS,
  type Unit,
} from '../../trade/units.ts'
import { say } from '../../words/say.ts'
import { defineCalculator } from '../calculator.ts'

export const UNIT_KINDS = [
  'torque',
  'gauge-pressure',
  'absolute-pressure',
  'temperature',
  'temperature-difference',
  'length',
  'mass',
  'volume',
  'time',
  'area',
  'mass-per-length',
] as const satisfies readonly QuantityKind[]

/** Seven digits, without noughts behind. */
function seven(value: number): string {
  const rounded = Number(value.toPrecision(7))
  const size = Math.abs(rounded)
  if (size >= 1e9 || size < 1e-4) return formatNumber(rounded)
  return formatNumber(rounded, String(rounded).split('.')[1]?.length ?? 0)
}

export const units = defineCalculator({
  path: 'units',
  summary: 'What is a quantity in every other unit of its kind?',
  input: z.strictObject({
    kind: z.enum(UNIT_KINDS, { error: () => say.calculators.useOneOf(UNIT_KINDS.join(', ')) }),
    /** As people write it: "28 ft-lb", "3/8 in", "500 µ". */
    written: z
      .string({ error: () => say.calculators.writeANumberAnd })
      .min(1, { error: () => say.calculators.writeANumberAnd })
      .max(60),
  }),
  compute: ({ kind, written }) => {
    const read = parseQuantity(written, kind)
    if (!read) throw malformedField('written', say.calculators.thatCantBeRead)
    const si = toSi(kind, read as never)
    return {
      kind,
      read,
      si,
      all: UNITS[kind].map((unit) => ({ unit: unit as Unit, value: fromSi(kind, si, unit as never) })),
    }
  },
  json: (a) => ({
    read: a.read,
    quantities: a.all.map((one) => ({ value: one.value, unit: one.unit })),
  }),
  explain: (a) => {
    const first = a.all[0]
    const readUnit = a.read.unit as Unit
    const value = seven(a.read.value)
    return {
      facts: [
        {
          label: say.calculators.readAs,
          value: `${seven(a.read.value)} ${UNIT_LABELS[readUnit]}`,
          main: true,
        },
        ...a.all
          .filter((one) => one.unit !== readUnit)
          .map((one) => ({ label: UNIT_LABELS[one.unit], value: seven(one.value) })),
      ],
      worked: {
        steps: [
          a.kind === 'temperature'
            ? {
                says: say.calculators.temperaturesHaveTheirOwn,
                formula: 'T_K = T_C + 273.15 = (T_F − 32) / 1.8 + 273.15',
                numbers: `T_K = ${readUnit === 'degF' ? `(${value} − 32) / 1.8 + 273.15 = ` : readUnit === 'degC' ? `${value} + 273.15 = ` : ''}${seven(a.si)} K`,
              }
            : {
                says: say.calculators.byTheUnitsOwn,
                formula: say.calculators.valueOtherValueFactor,
                numbers: first
                  ? `${value} ${UNIT_LABELS[readUnit]} · ${formatNumber(Number(fromSi(a.kind, toSi(a.kind, { value: 1, unit: readUnit } as never), first.unit as never).toPrecision(10)), 9)} = ${seven(first.value)} ${UNIT_LABELS[first.unit]}`
                  : undefined,
              },
        ],
        source: say.calculators.siBrochure9thEdition,
        validity: say.calculators.exactByDefinitionOnly,
        methodHref: '/methods/units',
      },
    }
  },
})
