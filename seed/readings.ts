// What would the gauges have shown? Readings that follow the physics, with the noise of an instrument on top.

import { absoluteFromGauge, gaugeFromAbsolute } from '../server/trade/atmosphere.ts'
import { endPressureAtConstantDensity } from '../server/trade/nitrogen.ts'
import type { Random } from './random.ts'

export interface PressureReadingDrawn {
  minute: number
  stage: 'raise' | 'hold'
  gaugePa: number
  temperatureK: number
}

export interface HoldDrawn {
  /** Gauge pressure when the source was closed. */
  fillGaugePa: number
  atmosphericPa: number
  /** At the pipe, when the source was closed and at the last reading. */
  fromK: number
  toK: number
  /** Minutes after the source was removed at which somebody looked. */
  readAtMinutes: readonly number[]
  /** Part of the temperature change that the gas follows; 1 for lines in the shade. */
  following?: number
  /** Test gas lost in each minute, as pressure. */
  lossPaPerMinute?: number
}

/** Stages on the way up, then the hold: nitrogen of constant density, plus what a gauge and a sensor scatter. */
export function drawHold(hold: HoldDrawn, random: Random): PressureReadingDrawn[] {
  const raised: PressureReadingDrawn[] = [0.12, 0.36, 1].map((share, index) => ({
    minute: index * 5 - 10,
    stage: 'raise',
    gaugePa: share * hold.fillGaugePa + random.normal(1500),
    temperatureK: hold.fromK + random.normal(0.05),
  }))
  const lastMinute = hold.readAtMinutes.at(-1) ?? 1
  const held: PressureReadingDrawn[] = hold.readAtMinutes.map((minute) => {
    const sensorK = hold.fromK + ((hold.toK - hold.fromK) * minute) / lastMinute
    const gasK = hold.fromK + (hold.following ?? 1) * (sensorK - hold.fromK)
    const tightPa = endPressureAtConstantDensity({
      startPressurePa: absoluteFromGauge(hold.fillGaugePa, hold.atmosphericPa),
      startTemperatureK: hold.fromK,
      endTemperatureK: gasK,
    })
    const gaugePa = gaugeFromAbsolute(tightPa, hold.atmosphericPa) - minute * (hold.lossPaPerMinute ?? 0)
    return {
      minute,
      stage: 'hold',
      gaugePa: gaugePa + random.normal(1200),
      temperatureK: sensorK + random.normal(0.06),
    }
  })
  return [...raised, ...held]
}

export interface VacuumReadingDrawn {
  minute: number
  phase: 'pull' | 'decay'
  absolutePa: number
}

export interface DecayDrawn {
  /** How long the pump ran, and how deep it came. */
  pullMinutes: number
  lowestPa: number
  /** What the pressure climbs by in the end, and how fast: p = p₀ + b·(1 − e^(−t/θ)). */
  climbPa: number
  timeConstantMinutes: number
  /** A leak's steady part on top. */
  leakPaPerMinute?: number
  readAtMinutes: readonly number[]
}

/** The pump pulls the pressure down towards its lowest; isolated, it climbs by the saturating law. */
export function drawDecay(decay: DecayDrawn, random: Random): VacuumReadingDrawn[] {
  const atmosphericPa = 101_325
  const halvings = Math.log(atmosphericPa / decay.lowestPa)
  const pulled: VacuumReadingDrawn[] = [0.3, 0.55, 0.8, 1].map((share) => ({
    minute: (share - 1) * decay.pullMinutes,
    phase: 'pull',
    absolutePa: atmosphericPa * Math.exp(-halvings * share) * (1 + random.normal(0.01)),
  }))
  const isolated: VacuumReadingDrawn[] = decay.readAtMinutes.map((minute) => {
    const climbed = decay.climbPa * (1 - Math.exp(-minute / decay.timeConstantMinutes))
    const pressurePa = decay.lowestPa + climbed + minute * (decay.leakPaPerMinute ?? 0)
    // A thermal vacuum gauge scatters by a share of what it shows (common practice, no source).
    return { minute, phase: 'decay', absolutePa: pressurePa * (1 + random.normal(0.004)) }
  })
  return [...pulled, ...isolated]
}
