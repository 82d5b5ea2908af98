// Does a leak check say enough about its joint? One judgement for the technician's answer and for the hold point.

import { gaugeFromAbsolute } from '../trade/atmosphere.ts'
import { bubbleSensitivity } from '../trade/leak-rate.ts'
import { isFlammable } from '../trade/refrigerants.ts'
import { saturationPressure } from '../trade/saturation.ts'
import { say } from '../words/say.ts'
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
const strictSource = () => say.rules.iec60335240

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
  if (body.gaugePressurePa !== null) return { pressurePa: body.gaugePressurePa, source: say.rules.asRecorded }
  if (body.medium !== 'refrigerant') return null
  const saturated = saturationPressure(system.refrigerant, 'dew', ROOM_TEMPERATURE_K)
  return {
    pressurePa: gaugeFromAbsolute(saturated, system.atmosphericPressurePa),
    source: say.rules.atRestAt15(system.refrigerant),
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
      source: say.rules.builtInForBubbles,
    }
  }
  if (body.sensitivityKgPerYear === null) return null
  const source =
    body.sensitivitySource === 'trial-leak' ? say.rules.foundOnATrial : say.rules.statedForTheInstrument
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
      name: say.rules.smallestLeakTheCheck,
      value: sensitivity.kgPerYear,
      unit: 'kg/yr',
      high: strict ? STRICT_KG_PER_YEAR : undefined,
      source: strict ? say.rules.limit(sensitivity.source, strictSource()) : sensitivity.source,
    })
  }
  const judgement = { strict, sensitivityKgPerYear: sensitivity?.kgPerYear ?? null, numbers }
  const short = (reason: string): LeakCheckJudgement => ({ ...judgement, verdict: 'not-enough', reason })

  if (body.result === 'found') {
    const where = [body.part, body.where].filter(Boolean).join(', ')
    return { ...judgement, verdict: 'leak', reason: say.rules.aLeakWasFound(where ? `: ${where}` : '') }
  }
  if (body.method === 'ultrasonic') return short(say.rules.anUltrasonicCheckAlone)
  if (body.gaugePressurePa !== null && body.gaugePressurePa <= 0) {
    return short(say.rules.thereWasNoPressure)
  }
  if (body.method === 'other' && body.sensitivityKgPerYear === null) {
    return short(say.rules.theMethodIsNone)
  }
  // On a charged circuit there is no more pressure to be had than its refrigerant has.
  if (body.method === 'bubble' && body.medium !== 'refrigerant') {
    const least = leastForBubbles(system)
    const wanted = least ? say.rules.ofWord(megapascals(least.pressurePa / TEST_PRESSURE_SHARE)) : ''
    if (body.gaugePressurePa === null) {
      return short(say.rules.bubblesAreLookedFor(wanted))
    }
    numbers.push({
      name: say.rules.gaugePressureAtThe,
      value: body.gaugePressurePa,
      unit: 'Pa',
      low: least?.pressurePa,
      source: least ? say.rules.asRecordedAtLeast(least.source) : say.rules.asRecorded,
    })
    if (!isAtTestPressure(body, system, least)) {
      return short(say.rules.bubblesWereLookedFor(megapascals(body.gaugePressurePa), wanted))
    }
  }
  if (!strict) {
    const charged =
      body.method === 'bubble' && body.medium === 'refrigerant' && sensitivity
        ? say.rules.atThePressureOf(grams(Number(sensitivity.kgPerYear.toPrecision(2))))
        : ''
    return { ...judgement, verdict: 'tight', reason: say.rules.checkedNoneFound(charged) }
  }

  const limitPa = system.sheet?.maxPressureGaugePa ?? system.sheet?.testPressureGaugePa ?? null
  const asked = say.rules.thisIndoorJointHolds
  if (body.method === 'bubble' && policy.bubbleSensitivity === null) {
    return short(say.rules.bubblesAloneDoNot(asked))
  }
  if (body.method === 'refrigerant-detector' && body.medium !== 'refrigerant') {
    return short(say.rules.aRefrigerantDetectorFinds(asked))
  }
  if (body.method.startsWith('tracer') && body.medium !== 'tracer-mix') {
    return short(say.rules.aTracerDetectorFinds(asked))
  }
  if (sensitivity === null) return short(say.rules.whatTheCheckCan(asked))
  if (sensitivity.kgPerYear > STRICT_KG_PER_YEAR + 1e-12) {
    return short(say.rules.theCheckFindsOr(asked, grams(sensitivity.kgPerYear), grams(STRICT_KG_PER_YEAR)))
  }
  const tried = body.checkedOnTrialLeak || body.sensitivitySource === 'trial-leak'
  if (body.method !== 'bubble' && !tried) {
    return short(say.rules.theDetectorWasNot(asked))
  }
  if (limitPa === null || system.sheet === null) {
    return short(say.rules.theHighestPressureIs(asked))
  }
  const neededPa = STRICT_PRESSURE_SHARE * limitPa
  numbers.push({
    name: say.rules.gaugePressureAtThe,
    value: pressure?.pressurePa ?? null,
    unit: 'Pa',
    low: neededPa,
    source: say.rules.limitAQuarterOf(
      pressure?.source ?? say.rules.notRecorded,
      megapascals(limitPa),
      sheetSource(system.sheet),
    ),
  })
  if (pressure === null) return short(say.rules.thePressureAtThe(asked))
  if (pressure.pressurePa < neededPa - 1) {
    return short(say.rules.itWasCheckedAt(asked, megapascals(pressure.pressurePa), megapascals(neededPa)))
  }
  return {
    ...judgement,
    verdict: 'tight',
    reason: say.rules.checkedWithASensitivity(grams(sensitivity.kgPerYear), megapascals(pressure.pressurePa)),
  }
}
