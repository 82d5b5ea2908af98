// How did the record come to this result? Its own figures in the steps of the calculators, and the way to the calculator.

import type { WorkedProps } from '../../views/parts/worked.tsx'
import type { Instrument, PressureTest, RunningCheck, System, TorqueBody } from '../rules/dossier.ts'
import { ASSUMED_ERROR, errorOf } from '../rules/instrument-error.ts'
import type { ChargeJudgement } from '../rules/judge-charge.ts'
import type { EvacuationJudgement } from '../rules/judge-evacuation.ts'
import type { PressureTestJudgement } from '../rules/judge-pressure-test.ts'
import type { TorqueJudgement } from '../rules/judge-torque.ts'
import type { Policy } from '../rules/policy.ts'
import { absoluteFromGauge, elevationAt, STANDARD_ATMOSPHERE_PA } from '../trade/atmosphere.ts'
import { subcooling, superheat, temperatureSplit } from '../trade/running-check.ts'
import { shortTermUncertainty } from '../trade/standing-pressure.ts'
import { fromSi, type PressureUnit, type QuantityKind, type TorqueUnit, type UnitOf } from '../trade/units.ts'
import { figure } from './calculator.ts'
import { orNull } from './section-tests.ts'
import { chargeSteps } from './worked-charge.ts'
import { decaySteps } from './worked-decay.ts'
import { runningSteps } from './worked-running.ts'
import { holdSteps, torqueSteps } from './worked-steps.ts'

type Figures = Record<string, string | undefined>

const hrefOf = (path: string, figures: Figures): string => {
  const given = Object.entries(figures).flatMap(([name, value]) =>
    value === undefined ? [] : [[name, value]],
  )
  return `/calculators/${path}?${new URLSearchParams(given as [string, string][])}`
}

/** As two fields of a form; ten digits, so that the calculator gets what the record has. */
function typed<K extends QuantityKind>(
  name: string,
  kind: K,
  si: number | null | undefined,
  unit: UnitOf<K>,
): Figures {
  if (si === null || si === undefined) return {}
  return {
    [`${name}.value`]: String(Number(fromSi(kind, si, unit).toPrecision(10))),
    [`${name}.unit`]: unit,
  }
}

/** The site's air as the calculators ask for it: by the height that has it; nothing at sea level. */
const heightOf = (airPa: number): Figures =>
  Math.abs(airPa - STANDARD_ATMOSPHERE_PA) < 1
    ? {}
    : typed(
        'siteElevation',
        'length',
        orNull(() => elevationAt(airPa)),
        'm',
      )

export function explainTorque(
  body: Pick<TorqueBody, 'readingNm' | 'adapter'>,
  judgement: TorqueJudgement,
  unit: TorqueUnit,
): WorkedProps | undefined {
  const { range, appliedNm, uncertaintyNm, acceptance } = judgement
  if (!range || !acceptance || appliedNm === null || uncertaintyNm === null || body.readingNm === null)
    return undefined
  const adapter = body.adapter ?? undefined
  const accuracyPercent = appliedNm > 0 ? Number(((uncertaintyNm / appliedNm) * 100).toPrecision(4)) : 0
  const worked = orNull(() =>
    torqueSteps({
      unit,
      lowNm: range.lowNm,
      highNm: range.highNm,
      adapter,
      accuracyPercent,
      readingNm: body.readingNm ?? undefined,
      acceptance,
      probabilityInRange: judgement.probabilityInRange ?? undefined,
    }),
  )
  if (!worked) return undefined
  return {
    ...worked,
    calculatorHref: hrefOf('torque-setting', {
      ...typed('low', 'torque', range.lowNm, unit),
      ...typed('high', 'torque', range.highNm, unit),
      ...typed('reading', 'torque', body.readingNm, unit),
      'wrenchAccuracyPercent#': String(accuracyPercent),
      ...(adapter
        ? {
            ...typed('adapter.wrenchLength', 'length', adapter.wrenchLengthM, 'mm'),
            ...typed('adapter.offset', 'length', adapter.offsetM, 'mm'),
            'adapter.angleDegrees#': String(adapter.angleDegrees ?? 0),
          }
        : {}),
    }),
  }
}

export function explainHold(
  test: PressureTest,
  system: System,
  judgement: PressureTestJudgement,
  judging: { policy: Policy; instruments: readonly Instrument[]; unit: PressureUnit },
): WorkedProps | undefined {
  const hold = test.readings.filter((reading) => reading.stage === 'hold').sort((a, b) => a.at - b.at)
  const start = hold[0]
  const end = hold.at(-1)
  if (!start || !end || start === end) return undefined
  const used = (id: string | null) => judging.instruments.find((instrument) => instrument.id === id)
  const gaugeError = errorOf(used(start.instrumentId ?? test.gaugeInstrumentId), start.gaugePressurePa, {
    fraction: ASSUMED_ERROR.gaugeFraction,
  })
  // As the judgement takes it: a reading is never surer than its own step.
  const gaugePa = Math.max(shortTermUncertainty(gaugeError), gaugeError.resolution / Math.sqrt(3))
  const thermometerK = shortTermUncertainty(
    errorOf(used(start.thermometerInstrumentId ?? test.thermometerInstrumentId), 0, {
      absolute: ASSUMED_ERROR.thermometerK,
    }),
  )
  const worked = orNull(() =>
    holdSteps({
      unit: judging.unit,
      start,
      end,
      airPa: test.atmosphericPressurePa,
      gaugePa,
      thermometerK,
      following: test.conditions === 'sun' ? 1 : judging.policy.pressure.temperatureFollowing,
      volumeM3: judgement.volumeM3,
      refrigerant: system.refrigerant,
      medium: test.medium,
      judgement,
    }),
  )
  if (!worked) return undefined
  const moment = (at: number) => new Date(at).toISOString().slice(0, 16)
  return {
    ...worked,
    calculatorHref: hrefOf('pressure-hold', {
      ...typed('start.gaugePressure', 'gauge-pressure', start.gaugePressurePa, judging.unit),
      ...typed('start.temperature', 'temperature', start.temperatureK, 'degC'),
      'start.at@': moment(start.at),
      ...typed('end.gaugePressure', 'gauge-pressure', end.gaugePressurePa, judging.unit),
      ...typed('end.temperature', 'temperature', end.temperatureK, 'degC'),
      'end.at@': moment(end.at),
      _offset: '0',
      ...typed('internalVolume', 'volume', judgement.volumeM3, 'L'),
      refrigerant: system.refrigerant,
      ...heightOf(test.atmosphericPressurePa),
      ...typed('gaugeUncertainty', 'gauge-pressure', gaugePa, 'kPa'),
      ...typed('temperatureUncertainty', 'temperature-difference', thermometerK, 'K'),
    }),
  }
}

export function explainDecay(
  readings: readonly { at: number; phase: string; absolutePressurePa: number }[],
  judgement: EvacuationJudgement,
  policy: Policy,
  unit: PressureUnit,
): WorkedProps | undefined {
  const from = judgement.isolatedAtMs
  if (from === null || judgement.fits.length === 0) return undefined
  const decay = readings.filter((reading) => reading.phase === 'decay' && reading.at >= from)
  const lines = decay.map(
    (reading) =>
      `${Number(((reading.at - from) / 60_000).toFixed(3))} ${Number(fromSi('pressure', reading.absolutePressurePa, unit).toPrecision(8))}`,
  )
  return {
    ...decaySteps({ judgement, unit, horizonS: policy.vacuum.horizonS }),
    calculatorHref: hrefOf('vacuum-decay', {
      readings: lines.join('\n'),
      readingsUnit: unit,
      ...typed('target', 'absolute-pressure', judgement.criteria.targetPa.value, unit),
      ...typed('riseLimit', 'absolute-pressure', judgement.criteria.limitPa.value, unit),
      ...typed('internalVolume', 'volume', judgement.volumeM3, 'L'),
    }),
  }
}

export function explainCharge(
  system: System,
  judgement: ChargeJudgement,
  adderOf: (liquidOdM: number) => number,
): WorkedProps | undefined {
  const { required, co2e } = judgement
  const { sheet } = system
  if (!required || !sheet) return undefined
  const prechargedM = sheet.prechargedLengthM ?? 0
  const adderKgPerM = adderOf(system.lineSets[0]?.liquidOdM ?? 0)
  const totalM = system.lineSets.reduce((sum, line) => sum + line.lengthM, 0)
  const lines =
    sheet.chargeScheme === 'per-line'
      ? system.lineSets.map((line) => ({ lengthM: line.lengthM, adderKgPerM: adderOf(line.liquidOdM) }))
      : sheet.chargeScheme === 'total-length'
        ? [{ lengthM: totalM, adderKgPerM }]
        : []
  const byLines = lines.reduce(
    (sum, line) => sum + line.adderKgPerM * Math.max(0, line.lengthM - prechargedM),
    0,
  )
  return {
    ...chargeSteps({
      lines,
      prechargedM,
      factoryKg: required.factoryKg,
      besidesKg: Math.max(0, required.additionalKg - byLines),
      additionalKg: required.additionalKg,
      totalKg: required.totalKg,
      // What is in the circuit may be another mass than what should be.
      co2e: co2e ? { co2eKg: required.totalKg * co2e.gwp, gwp: co2e.gwp, basis: co2e.basis } : null,
      wordOf: (kg) => figure(kg * 1000),
    }),
    ...(lines.length === 1
      ? {
          calculatorHref: hrefOf('charge', {
            ...typed('factoryCharge', 'mass', required.factoryKg, 'kg'),
            ...typed('prechargedLength', 'length', prechargedM, 'm'),
            ...typed('length', 'length', lines[0]?.lengthM, 'm'),
            ...typed('adder', 'mass-per-length', lines[0]?.adderKgPerM, 'g/m'),
            refrigerant: system.refrigerant,
          }),
        }
      : {}),
  }
}

export function explainRunning(check: RunningCheck, system: System): WorkedProps | undefined {
  const { refrigerant, atmosphericPressurePa: airPa } = system
  const at = (gaugePa: number | null, temperatureK: number | null) =>
    gaugePa === null || temperatureK === null
      ? null
      : orNull(() => ({ refrigerant, absolutePressurePa: absoluteFromGauge(gaugePa, airPa), temperatureK }))
  const liquid = at(check.liquidLinePressureGaugePa, check.liquidLineTemperatureK)
  const suction = at(check.suctionPressureGaugePa, check.suctionTemperatureK)
  const sub = liquid && orNull(() => ({ ...liquid, ...subcooling(liquid) }))
  const sup = suction && orNull(() => ({ ...suction, ...superheat(suction) }))
  const { supplyAirK, returnAirK, mode } = check
  const splitK =
    supplyAirK === null || returnAirK === null
      ? null
      : orNull(() => temperatureSplit({ mode, supplyAirK, returnAirK }))
  if (!sub && !sup && splitK === null) return undefined
  return {
    ...runningSteps({
      airPa,
      mode,
      subcooling: sub,
      superheat: sup,
      splitK,
      supplyK: supplyAirK,
      returnK: returnAirK,
    }),
    calculatorHref: hrefOf('running-check', {
      refrigerant,
      mode,
      ...(sub ? typed('liquidLinePressure', 'gauge-pressure', check.liquidLinePressureGaugePa, 'MPa') : {}),
      ...(sub ? typed('liquidLineTemperature', 'temperature', check.liquidLineTemperatureK, 'degC') : {}),
      ...(sup ? typed('suctionPressure', 'gauge-pressure', check.suctionPressureGaugePa, 'MPa') : {}),
      ...(sup ? typed('suctionTemperature', 'temperature', check.suctionTemperatureK, 'degC') : {}),
      ...typed('supplyAir', 'temperature', supplyAirK, 'degC'),
      ...typed('returnAir', 'temperature', returnAirK, 'degC'),
      ...heightOf(airPa),
    }),
  }
}
