// At which pressure does a refrigerant boil and condense at a temperature, or the other way round?

import { z } from 'zod'
import type { CurveProps } from '../../../views/parts/curve.tsx'
import { absolutePressure, gaugePressure, temperature } from '../../commands/quantities.ts'
import { malformedField } from '../../refusals.ts'
import { absoluteFromGauge, gaugeFromAbsolute } from '../../trade/atmosphere.ts'
import { refrigerant } from '../../trade/refrigerants.ts'
import {
  liquidDensity,
  SATURATION_VALIDITY,
  saturationCoefficients,
  saturationPressure,
  saturationSource,
  saturationTemperature,
} from '../../trade/saturation.ts'
import { fromSi, type PressureUnit, type TemperatureUnit, UNIT_LABELS } from '../../trade/units.ts'
import type { RefrigerantName } from '../../vocabulary.ts'
import {
  airFields,
  airOf,
  defineCalculator,
  exactly,
  figure,
  inOther,
  inUnit,
  refrigerantName,
} from '../calculator.ts'
import { quantityJson } from '../json.ts'

const LINES = ['bubble', 'dew'] as const
/** One member of the polynomial, with its sign: " − 2.3558 · x". */
function term(coefficient: number, power: number): string {
  const size = exactly(Math.abs(coefficient), 6)
  if (power === 0) return size
  return ` ${coefficient < 0 ? '−' : '+'} ${size} · x${power === 1 ? '' : `^${power}`}`
}

const WORDS = { bubble: 'Bubble point', dew: 'Dew point' } as const

export const saturation = defineCalculator({
  path: 'saturation',
  summary: 'At which pressure does a refrigerant boil and condense at a temperature, or the other way round?',
  input: z.strictObject({
    refrigerant: refrigerantName,
    absolutePressure: absolutePressure().optional(),
    gaugePressure: gaugePressure().optional(),
    temperature: temperature().optional(),
    ...airFields,
  }),
  compute: (input) => {
    const given = [input.absolutePressure, input.gaugePressure, input.temperature].filter(Boolean)
    if (given.length !== 1)
      throw malformedField(
        'absolutePressure',
        'Give one of absolute pressure, gauge pressure and temperature.',
      )
    const name = input.refrigerant
    const airPa = airOf(input)
    const askedFor = input.temperature ? ('pressure' as const) : ('temperature' as const)
    const absolutePa = input.absolutePressure?.si ?? absoluteFromGauge(input.gaugePressure?.si ?? 0, airPa)
    const point = (line: 'bubble' | 'dew') => {
      const temperatureK = input.temperature?.si ?? saturationTemperature(name, line, absolutePa)
      return {
        temperatureK,
        absolutePa: input.temperature ? saturationPressure(name, line, temperatureK) : absolutePa,
      }
    }
    return {
      name,
      askedFor,
      airPa,
      bubble: point('bubble'),
      dew: point('dew'),
      pressureUnit: (input.gaugePressure?.unit ?? input.absolutePressure?.unit ?? 'MPa') as PressureUnit,
      temperatureUnit: (input.temperature?.unit ?? 'degC') as TemperatureUnit,
    }
  },
  fieldOf: ({ quantity }, input) =>
    quantity === 'temperature' ? 'temperature' : input.gaugePressure ? 'gaugePressure' : 'absolutePressure',
  json: (answer) => {
    const point = (line: 'bubble' | 'dew') =>
      answer.askedFor === 'pressure'
        ? {
            absolutePressure: quantityJson('pressure', answer[line].absolutePa, 'Pa'),
            gaugePressure: quantityJson(
              'pressure',
              gaugeFromAbsolute(answer[line].absolutePa, answer.airPa),
              'Pa',
            ),
          }
        : { temperature: quantityJson('temperature', answer[line].temperatureK, 'K') }
    return { bubble: point('bubble'), dew: point('dew'), source: saturationSource(answer.name).source }
  },
  explain: (a) => {
    const source = saturationSource(a.name)
    const { glides } = refrigerant(a.name)
    const lines = glides ? LINES : (['bubble'] as const)
    const worst = Math.max(source.pressureError.bubble, source.pressureError.dew)
    return {
      facts: [
        ...LINES.map((line) => {
          const { temperatureK, absolutePa } = a[line]
          const gaugePa = gaugeFromAbsolute(absolutePa, a.airPa)
          return a.askedFor === 'temperature'
            ? {
                label: WORDS[line],
                value: inUnit('temperature', temperatureK, a.temperatureUnit),
                note: inOther('temperature', temperatureK, a.temperatureUnit),
                main: true,
              }
            : {
                label: WORDS[line],
                value: `${inUnit('pressure', gaugePa, a.pressureUnit)} gauge`,
                note: `${inOther('pressure', gaugePa, a.pressureUnit) ?? ''} gauge; ${inUnit('pressure', absolutePa, a.pressureUnit)} absolute`,
                main: true,
              }
        }),
        {
          label: 'Boiling liquid weighs',
          value: `${figure(liquidDensity(a.name, a.bubble.temperatureK))} kg/m³`,
        },
      ],
      plots: [plotOf(a)],
      worked: {
        steps: [
          ...lines.map((line) => {
            const { temperatureK, absolutePa } = a[line]
            const x = 1000 / temperatureK - 3.4
            const sum = saturationCoefficients(a.name, line)
              .map((one, power) => term(one, power))
              .join('')
            return {
              says: `${WORDS[line]}${glides ? '' : ' and dew point, which are one here'}: the pressure follows a polynomial in the inverse temperature, fitted to tables of the equation of state${a.askedFor === 'temperature' ? '; the temperature is the one that gives the pressure entered' : ''}.`,
              formula: 'ln p = a_0 + a_1 · x + … + a_5 · x^5,  x = 1000 / T − 3.4  (p in Pa, T in K)',
              numbers: `x = 1000 / ${exactly(temperatureK, 3)} − 3.4 = ${exactly(x, 5)}; ln p = ${sum} = ${exactly(Math.log(absolutePa), 5)}; p = ${exactly(absolutePa / 1e6, 4)} MPa absolute`,
            }
          }),
          {
            says: 'A gauge shows it less the air’s pressure.',
            formula: 'p_gauge = p − p_air',
            numbers: lines
              .map(
                (line) =>
                  `${glides ? `${line}: ` : ''}${exactly(a[line].absolutePa / 1e6, 4)} − ${exactly(a.airPa / 1e6, 4)} = ${exactly(gaugeFromAbsolute(a[line].absolutePa, a.airPa) / 1e6, 4)} MPa`,
              )
              .join('; '),
          },
        ],
        source: source.source,
        validity: `From −40 to 65 °C; the fit is within ${exactly(worst * 100, 3)} % of the published equation. Subcooling counts from the bubble point, superheat from the dew point.`,
        methodHref: '/methods/saturation',
      },
    }
  },
})

function plotOf(a: {
  name: RefrigerantName
  airPa: number
  bubble: { temperatureK: number; absolutePa: number }
  dew: { temperatureK: number; absolutePa: number }
  pressureUnit: PressureUnit
  temperatureUnit: TemperatureUnit
}): CurveProps {
  const { lowK, highK } = SATURATION_VALIDITY
  const unit: TemperatureUnit = a.temperatureUnit === 'K' ? 'degC' : a.temperatureUnit
  const x = (temperatureK: number) => fromSi('temperature', temperatureK, unit)
  const y = (absolutePa: number) => fromSi('pressure', gaugeFromAbsolute(absolutePa, a.airPa), a.pressureUnit)
  const temperatures = Array.from({ length: 43 }, (_, index) => lowK + ((highK - lowK) * index) / 42)
  const along = (line: 'bubble' | 'dew') =>
    temperatures.map((temperatureK) => ({
      x: x(temperatureK),
      y: y(saturationPressure(a.name, line, temperatureK)),
    }))
  return {
    id: 'plot-saturation',
    title: `Saturation of ${a.name}`,
    desc: 'Gauge pressure against temperature at which it boils and condenses; the dots are the points found.',
    x: { label: `temperature, ${UNIT_LABELS[unit]}`, domain: [x(lowK), x(highK)] },
    y: { label: `gauge pressure, ${UNIT_LABELS[a.pressureUnit]}` },
    readings: LINES.map((line) => ({ x: x(a[line].temperatureK), y: y(a[line].absolutePa) })),
    readingsLabel: 'found here',
    fitted: {
      label: refrigerant(a.name).glides ? 'bubble' : 'bubble and dew, which lie together',
      points: along('bubble'),
    },
    others: refrigerant(a.name).glides ? [{ label: 'dew', points: along('dew') }] : [],
    table: {
      title: 'Table of the curve',
      columns: ['Temperature', 'Bubble, gauge', 'Dew, gauge'],
      rows: temperatures
        .filter((_, index) => index % 2 === 0)
        .map((temperatureK) => [
          inUnit('temperature', temperatureK, unit),
          ...LINES.map((line) =>
            inUnit(
              'pressure',
              gaugeFromAbsolute(saturationPressure(a.name, line, temperatureK), a.airPa),
              a.pressureUnit,
            ),
          ),
        ]),
    },
  }
}
