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
import { say } from '../../words/say.ts'
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

const theWords = () => ({ bubble: say.calculators.bubblePoint, dew: say.calculators.dewPoint }) as const

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
    if (given.length !== 1) throw malformedField('absolutePressure', say.calculators.giveOneOfAbsolute)
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
                label: theWords()[line],
                value: inUnit('temperature', temperatureK, a.temperatureUnit),
                note: inOther('temperature', temperatureK, a.temperatureUnit),
                main: true,
              }
            : {
                label: theWords()[line],
                value: say.calculators.gauge(inUnit('pressure', gaugePa, a.pressureUnit)),
                note: say.calculators.gaugeAbsolute(
                  inOther('pressure', gaugePa, a.pressureUnit) ?? '',
                  inUnit('pressure', absolutePa, a.pressureUnit),
                ),
                main: true,
              }
        }),
        {
          label: say.calculators.boilingLiquidWeighs,
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
              says: say.calculators.thePressureFollowsA(
                theWords()[line],
                glides ? '' : say.calculators.andDewPointWhich,
                a.askedFor === 'temperature' ? say.calculators.theTemperatureIsThe : '',
              ),
              formula: 'ln p = a_0 + a_1 · x + … + a_5 · x^5,  x = 1000 / T − 3.4  (p in Pa, T in K)',
              numbers: say.calculators.x100034(
                exactly(temperatureK, 3),
                exactly(x, 5),
                sum,
                exactly(Math.log(absolutePa), 5),
                exactly(absolutePa / 1e6, 4),
              ),
            }
          }),
          {
            says: say.calculators.aGaugeShowsIt,
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
        validity: say.calculators.from40To65(exactly(worst * 100, 3)),
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
    title: say.calculators.saturationOf(a.name),
    desc: say.calculators.gaugePressureAgainstTemperature,
    x: { label: say.calculators.temperature2(UNIT_LABELS[unit]), domain: [x(lowK), x(highK)] },
    y: { label: say.calculators.gaugePressure2(UNIT_LABELS[a.pressureUnit]) },
    readings: LINES.map((line) => ({ x: x(a[line].temperatureK), y: y(a[line].absolutePa) })),
    readingsLabel: say.calculators.foundHere,
    fitted: {
      label: refrigerant(a.name).glides ? say.calculators.bubble : say.calculators.bubbleAndDewWhich,
      points: along('bubble'),
    },
    others: refrigerant(a.name).glides ? [{ label: say.calculators.dew, points: along('dew') }] : [],
    table: {
      title: say.calculators.tableOfTheCurve,
      columns: [say.calculators.temperature, say.calculators.bubbleGauge, say.calculators.dewGauge],
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
