// Does a leak check say enough about its joint? One judgement for the technician's answer and for the hold point.

import { gaugeFromAbsolute } from '../trade/atmosphere.ts'
import { bubbleSensitivity } from '../trade/leak-rate.ts'
import { isFlammable } from '../trade/refrigerants.ts'
import { saturationPressure } from '../trade/saturation.ts'
import type { Joint, LeakCheckBody, System } from './dossier.ts'
import type { JudgedNumber } from './finding.ts'
import { requiredTestPressure } from './judge-pressure-test.ts'
import type { Policy } from './policy.ts'
import { megapascals, quantity, sheetSource } from './wording.ts'

export interface LeakCheckJudgement {
  /** `not-enough`: nothing was found, but the check could not have found what it has to find. */
  verdict: 'tight' | 'leak' | 'not-enough'
  /** The stricter rule for field-made indoor joints of flammable systems. */
  strict: boolean
  /** What this check could find at its pressure, kg/year; null when nobody said. */
  sensitivityKgPerYear: number | null
  numbers: JudgedNumber[]
  reason: string
}

/** 5 g/year at a quarter of the highest pressure: IEC 60335-2-40, as manuals print it. */
const STRICT_KG_PER_YEAR = 0.005
const STRICT_PRESSURE_SHARE = 0.25
const STRICT_SOURCE = 'IEC 60335-2-40, field-made indoor joints'

/** A room is taken to be at least this warm, so that a charged circuit at rest has a known least pressure (common practice, no source). */
const ROOM_TEMPERATURE_K = 288.15

/**
 * A tight section that has cooled since its hold began stands a little below its test pressure: nitrogen at constant
 * density falls by a tenth in about 25 K (how much of that is taken is common practice, no source).
 */
const TEST_PRESSURE_SHARE = 0.9

type Checked = Pick<Joint, 'indoors' | 'origin' | 'makes'>

/** A joint that was there before is field-made once it has been made anew. */
export function needsStrictCheck(joint: Checked, system: Pick<System, 'refrigerant'>): boolean {
  const fieldMade = joint.origin !== 'existing' || joint.makes.length > 0
  return joint.indoors && fieldMade && isFlammable(system.refrigerant)
}

/** The least gauge pressure at which bubbles count as looked for at test pressure; null when none can be known. */
function leastForBubbles(system: System): { pressurePa: number; source: string } | null {
  try {
    const required = requiredTestPressure(system)
    return required && { ...required, pressurePa: TEST_PRESSURE_SHARE * required.pressurePa }
  } catch {
    return null
  }
}

/** Whether a check was made with the section at its test pressure, as far as the record says. */
export function isAtTestPressure(
  { gaugePressurePa }: LeakCheckBody,
  system: System,
  least = leastForBubbles(system),
): boolean {
  if (gaugePressurePa === null || gaugePressurePa <= 0) return false
  return least === null || gaugePressurePa >= least.pressurePa - 1
}

const grams = (kgPerYear: number) => quantity(kgPerYear * 1000, 'g/yr')

/** The gauge pressure at which the joint was checked; a charged circuit at rest stands at saturation. */
function pressureOf(body: LeakCheckBody, system: System): { pressurePa: number; source: string } | null {
  if (body.gaugePressurePa !== null) return { pressurePa: body.gaugePressurePa, source: 'as recorded' }
  if (body.medium !== 'refrigerant') return null
  const saturated = saturationPressure(system.refrigerant, 'dew', ROOM_TEMPERATURE_K)
  return {
    pressurePa: gaugeFromAbsolute(saturated, system.atmosphericPressurePa),
    source: `${system.refrigerant} at rest at 15 °C, assumed (common practice, no source)`,
  }
}

/** What the check could find: as stated; for bubbles the policy's validated figure, else the built-in one. */
function sensitivityOf(
  body: LeakCheckBody,
  pressurePa: number | null,
  policy: Policy,
): { kgPerYear: number; source: string } | null {
  if (body.method === 'bubble') {
    if (policy.bubbleSensitivity) return policy.bubbleSensitivity
    if (pressurePa === null || pressurePa <= 0) return null
    return {
      kgPerYear: bubbleSensitivity(pressurePa),
      source: 'built in for bubbles, EN 1779 order of magnitude (from memory)',
    }
  }
  if (body.sensitivityKgPerYear === null) return null
  const source =
    body.sensitivitySource === 'trial-leak' ? 'found on a trial leak' : 'stated for the instrument'
  return { kgPerYear: body.sensitivityKgPerYear, source }
}

export function judgeLeakCheck(
  body: LeakCheckBody,
  joint: Checked,
  system: System,
  policy: Policy,
): LeakCheckJudgement {
  const strict = needsStrictCheck(joint, system)
  let pressure: { pressurePa: number; source: string } | null = null
  let sensitivity: { kgPerYear: number; source: string } | null = null
  try {
    pressure = pressureOf(body, system)
    sensitivity = sensitivityOf(body, pressure?.pressurePa ?? null, policy)
  } catch {
    // A pressure outside the tables leaves the sensitivity unknown, which is judged below.
  }
  const numbers: JudgedNumber[] = []
  if (sensitivity) {
    numbers.push({
      name: 'smallest leak the check finds',
      value: sensitivity.kgPerYear,
      unit: 'kg/yr',
      high: strict ? STRICT_KG_PER_YEAR : undefined,
      source: strict ? `${sensitivity.source}; limit: ${STRICT_SOURCE}` : sensitivity.source,
    })
  }
  const judgement = { strict, sensitivityKgPerYear: sensitivity?.kgPerYear ?? null, numbers }
  const short = (reason: string): LeakCheckJudgement => ({ ...judgement, verdict: 'not-enough', reason })

  if (body.result === 'found') {
    const where = [body.part, body.where].filter(Boolean).join(', ')
    return { ...judgement, verdict: 'leak', reason: `A leak was found${where ? `: ${where}` : ''}.` }
  }
  if (body.method === 'ultrasonic') return short('An ultrasonic check alone never counts.')
  if (body.gaugePressurePa !== null && body.gaugePressurePa <= 0) {
    return short('There was no pressure in the joint to find a leak with.')
  }
  if (body.method === 'other' && body.sensitivityKgPerYear === null) {
    return short('The method is none of those listed, and what it can find is not stated.')
  }
  // On a charged circuit there is no more pressure to be had than its refrigerant has.
  if (body.method === 'bubble' && body.medium !== 'refrigerant') {
    const least = leastForBubbles(system)
    const wanted = least ? ` of ${megapascals(least.pressurePa / TEST_PRESSURE_SHARE)}` : ''
    if (body.gaugePressurePa === null) {
      return short(
        `Bubbles are looked for at the test pressure${wanted}; at which pressure it was is not recorded.`,
      )
    }
    numbers.push({
      name: 'gauge pressure at the check',
      value: body.gaugePressurePa,
      unit: 'Pa',
      low: least?.pressurePa,
      source: least
        ? `as recorded; at least nine tenths of the test pressure (common practice, no source): ${least.source}`
        : 'as recorded',
    })
    if (!isAtTestPressure(body, system, least)) {
      return short(
        `Bubbles were looked for at ${megapascals(body.gaugePressurePa)}; at the test pressure${wanted} they show far smaller leaks.`,
      )
    }
  }
  if (!strict) {
    const charged =
      body.method === 'bubble' && body.medium === 'refrigerant' && sensitivity
        ? ` At the pressure of the charged circuit bubbles find no less than about ${grams(Number(sensitivity.kgPerYear.toPrecision(2)))}.`
        : ''
    return { ...judgement, verdict: 'tight', reason: `Checked, none found.${charged}` }
  }

  const limitPa = system.sheet?.maxPressureGaugePa ?? system.sheet?.testPressureGaugePa ?? null
  const asked = 'This indoor joint holds flammable refrigerant.'
  if (body.method === 'bubble' && policy.bubbleSensitivity === null) {
    return short(
      `${asked} Bubbles alone do not show 5 g/year, and the company has entered no validated figure.`,
    )
  }
  if (body.method === 'refrigerant-detector' && body.medium !== 'refrigerant') {
    return short(`${asked} A refrigerant detector finds nothing where there is no refrigerant.`)
  }
  if (body.method.startsWith('tracer') && body.medium !== 'tracer-mix') {
    return short(`${asked} A tracer detector finds nothing where there is no tracer.`)
  }
  if (sensitivity === null) return short(`${asked} What the check can find is not stated.`)
  if (sensitivity.kgPerYear > STRICT_KG_PER_YEAR + 1e-12) {
    return short(
      `${asked} The check finds ${grams(sensitivity.kgPerYear)}; ${grams(STRICT_KG_PER_YEAR)} or better is asked for.`,
    )
  }
  const tried = body.checkedOnTrialLeak || body.sensitivitySource === 'trial-leak'
  if (body.method !== 'bubble' && !tried) {
    return short(`${asked} The detector was not tried on a reference leak that day.`)
  }
  if (limitPa === null || system.sheet === null) {
    return short(
      `${asked} The highest pressure is not on the equipment sheet, so a quarter of it is not known.`,
    )
  }
  const neededPa = STRICT_PRESSURE_SHARE * limitPa
  numbers.push({
    name: 'gauge pressure at the check',
    value: pressure?.pressurePa ?? null,
    unit: 'Pa',
    low: neededPa,
    source: `${pressure?.source ?? 'not recorded'}; limit: a quarter of ${megapascals(limitPa)}, ${sheetSource(system.sheet)}`,
  })
  if (pressure === null) return short(`${asked} The pressure at the check is not recorded.`)
  if (pressure.pressurePa < neededPa - 1) {
    return short(
      `${asked} It was checked at ${megapascals(pressure.pressurePa)}; at least ${megapascals(neededPa)} is asked for.`,
    )
  }
  return {
    ...judgement,
    verdict: 'tight',
    reason: `Checked with a sensitivity of ${grams(sensitivity.kgPerYear)} at ${megapascals(pressure.pressurePa)}, none found.`,
  }
}
