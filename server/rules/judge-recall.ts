// An instrument was found off: what becomes of each record that rests on it, with that error taken out?

import { errorPercentAt, trueValue } from '../trade/calibration.ts'
import type { RecallJudgementWord } from '../vocabulary.ts'
import { say } from '../words/say.ts'
import type {
  Calibration,
  Charge,
  Evacuation,
  InspectionBody,
  Instrument,
  Joint,
  LeakCheckBody,
  PressureTest,
  System,
  TorqueBody,
} from './dossier.ts'
import { judgeCharge } from './judge-charge.ts'
import { judgeEvacuationTest } from './judge-evacuation.ts'
import { countsAsCheck } from './judge-instrument.ts'
import { judgePressureTest } from './judge-pressure-test.ts'
import { type Judging, judgeTorqueStep } from './judge-torque.ts'
import type { Policy } from './policy.ts'
import { kilograms, megapascals, microns, newtonMetres, span, tubeName } from './wording.ts'

/** The check that found the instrument off, and which uses that puts in doubt. */
export interface RecallSpan {
  found: Calibration
  /** The last good check before: uses from there on are in doubt; null: every use. */
  since: Calibration | null
  /** The last moment of it: a further check may have found it off still. */
  until: number
}

export interface Rejudged {
  judgement: RecallJudgementWord
  /** In words with its unit, as it was and with the error taken out; null where there is no number. */
  shown: string | null
  real: string | null
  reason: string
}

/** Newest first. Checks that find it off again before it was set right belong to the first that did. */
export function recallSpans(instrument: Instrument): RecallSpan[] {
  const checks = instrument.calibrations
    .filter((calibration) => countsAsCheck(calibration, instrument.kind))
    .toSorted((a, b) => a.at - b.at)
  const spans: RecallSpan[] = []
  for (const [index, check] of checks.entries()) {
    if (check.result === 'in-tolerance') continue
    const before = checks[index - 1]
    const running = before?.result === 'out-of-tolerance' ? spans.at(-1) : undefined
    if (running) {
      running.until = check.at
      if (running.found.points.length === 0) running.found = { ...running.found, points: check.points }
    } else spans.push({ found: check, since: before ?? null, until: check.at })
  }
  return spans.toReversed()
}

const unknownError = () => say.rules.howFarOffIt

/** Null when nothing was measured with it, so nothing rests on it. */
export function rejudgeTorque(
  joint: Pick<Joint, 'kind' | 'tubeOdM'>,
  body: TorqueBody,
  judging: Judging,
  { found }: RecallSpan,
): Rejudged | null {
  if (body.readingNm === null || body.indication === 'angle-by-manual') return null
  const shown = newtonMetres(body.readingNm)
  const error = errorPercentAt(found.points, body.readingNm)
  if (error === null) return { judgement: 'doubtful', shown, real: null, reason: unknownError() }
  const judged = judgeTorqueStep(joint, { ...body, readingNm: trueValue(body.readingNm, error) }, judging)
  const { appliedNm, uncertaintyNm, range } = judged
  if (appliedNm === null || uncertaintyNm === null || range === null)
    return { judgement: 'doubtful', shown, real: null, reason: judged.reason }
  const real = newtonMetres(appliedNm)
  const wanted = say.rules.forWord(span(range.lowNm, range.highNm, 'N.m'), tubeName(joint.tubeOdM))
  if (appliedNm < range.lowNm || appliedNm > range.highNm) {
    const side = appliedNm < range.lowNm ? say.rules.belowWord : say.rules.aboveWord
    return { judgement: 'fails', shown, real, reason: say.rules.atTheNutIs(real, side, wanted) }
  }
  // What the check took out is the bias; the wrench's own scatter stays.
  if (appliedNm - uncertaintyNm < range.lowNm || appliedNm + uncertaintyNm > range.highNm) {
    const reason = say.rules.atTheNutIsWithin(real, wanted, newtonMetres(uncertaintyNm))
    return { judgement: 'doubtful', shown, real, reason }
  }
  return {
    judgement: 'stands',
    shown,
    real,
    reason: say.rules.atTheNutIsWithin2(real, newtonMetres(uncertaintyNm), wanted),
  }
}

interface Tested {
  system: System
  policy: Policy
  instruments: readonly Instrument[]
  /** The one that was found off. */
  instrumentId: string
}

export function rejudgePressureTest(
  test: PressureTest,
  { system, policy, instruments, instrumentId }: Tested,
  { found }: RecallSpan,
): Rejudged {
  const readings = test.readings.map((reading) => {
    if ((reading.instrumentId ?? test.gaugeInstrumentId) !== instrumentId) return reading
    const error = errorPercentAt(found.points, reading.gaugePressurePa)
    return error === null ? null : { ...reading, gaugePressurePa: trueValue(reading.gaugePressurePa, error) }
  })
  const holdStart = test.readings.find(({ stage }) => stage === 'hold')
  const shown = holdStart ? megapascals(holdStart.gaugePressurePa) : null
  const known = readings.filter((reading) => reading !== null)
  if (known.length < readings.length)
    return { judgement: 'doubtful', shown, real: null, reason: unknownError() }
  const before = judgePressureTest(test, system, { policy, instruments })
  const after = judgePressureTest({ ...test, readings: known }, system, { policy, instruments })
  const start = known.find(({ stage }) => stage === 'hold')
  return compared(
    { was: before.verdict, is: after.verdict, good: 'holds', bad: ['falls', 'void'] },
    { shown, real: start ? megapascals(start.gaugePressurePa) : null },
    after.reasons.map(({ text }) => text).join(' '),
  )
}

export function rejudgeEvacuation(
  test: Evacuation,
  { system, policy, instruments, instrumentId }: Tested,
  { found }: RecallSpan,
): Rejudged {
  const readings = test.readings.map((reading) => {
    if ((reading.instrumentId ?? test.gaugeInstrumentId) !== instrumentId) return reading
    const error = errorPercentAt(found.points, reading.absolutePressurePa)
    return error === null
      ? null
      : { ...reading, absolutePressurePa: trueValue(reading.absolutePressurePa, error) }
  })
  const last = test.readings.findLast(({ phase }) => phase === 'decay')
  const shown = last ? microns(last.absolutePressurePa) : null
  const known = readings.filter((reading) => reading !== null)
  if (known.length < readings.length)
    return { judgement: 'doubtful', shown, real: null, reason: unknownError() }
  const before = judgeEvacuationTest(test, system, { policy, instruments })
  const after = judgeEvacuationTest({ ...test, readings: known }, system, { policy, instruments })
  const lastKnown = known.findLast(({ phase }) => phase === 'decay')
  return compared(
    { was: before.verdict, is: after.verdict, good: 'tight', bad: ['leak', 'moisture'] },
    { shown, real: lastKnown ? microns(lastKnown.absolutePressurePa) : null },
    after.reasons.map(({ text }) => text).join(' '),
  )
}

function compared(
  { was, is, good, bad }: { was: string; is: string; good: string; bad: string[] },
  { shown, real }: Pick<Rejudged, 'shown' | 'real'>,
  because: string,
): Rejudged {
  const words = (verdict: string) => (verdict === 'cannot-tell' ? say.rules.cannotTell : verdict)
  if (was !== good)
    return {
      judgement: 'stands',
      shown,
      real,
      reason: say.rules.itProvedNothingBefore(words(was)),
    }
  const outcome = is === good ? 'stands' : bad.includes(is) ? 'fails' : 'doubtful'
  const reason = say.rules.withTheErrorTaken(words(is))
  return {
    judgement: outcome,
    shown,
    real,
    reason: is === good || because === '' ? reason : `${reason} ${because}`,
  }
}

/** All that went over the scale in that time, taken together with what else is in the system. */
export function rejudgeCharge(
  charge: Charge,
  { system, policy, instruments, instrumentId }: Tested,
  { found, since, until }: RecallSpan,
): Rejudged {
  const shown = charge.massKg === null ? null : kilograms(charge.massKg)
  const inSpan = ({ performedAt }: Charge) => performedAt <= until && performedAt >= (since?.at ?? 0)
  const real = (one: Charge): number | null => {
    if (one.massKg === null || one.scaleInstrumentId !== instrumentId || !inSpan(one)) return one.massKg
    const error = errorPercentAt(found.points, one.massKg)
    return error === null ? Number.NaN : trueValue(one.massKg, error)
  }
  const corrected = system.charges.map((one) => ({ ...one, massKg: real(one) }))
  if (corrected.some(({ massKg }) => Number.isNaN(massKg)))
    return { judgement: 'doubtful', shown, real: null, reason: unknownError() }
  const judged = judgeCharge({ ...system, charges: corrected }, { policy, instruments })
  const mass = real(charge)
  return {
    judgement: judged.verdict === 'within' ? 'stands' : judged.verdict === 'unknown' ? 'doubtful' : 'fails',
    shown,
    real: mass === null ? null : kilograms(mass),
    reason: judged.reason,
  }
}

/** What a tool forms can't be worked out again; a flare that was measured afterwards does not rest on it. */
export function rejudgeFlare(inspection: InspectionBody | null): Rejudged {
  return inspection?.outcome === 'accepted' && inspection.outerDiameterM !== null
    ? {
        judgement: 'stands',
        shown: null,
        real: null,
        reason: say.rules.theFlareWasMeasured,
      }
    : {
        judgement: 'doubtful',
        shown: null,
        real: null,
        reason: say.rules.nobodyMeasuredTheFlare,
      }
}

export function rejudgeLeakCheck(body: LeakCheckBody): Rejudged {
  return body.checkedOnTrialLeak || body.result === 'found'
    ? {
        judgement: 'stands',
        shown: null,
        real: null,
        reason: body.result === 'found' ? say.rules.itFoundALeak : say.rules.itFoundTheTrial,
      }
    : { judgement: 'doubtful', shown: null, real: null, reason: say.rules.whatItDidNot }
}

/** For all else that was measured or formed with it. */
export const CANNOT_REJUDGE: Rejudged = {
  judgement: 'doubtful',
  shown: null,
  real: null,
  get reason() {
    return say.rules.whatItDidHere
  },
}
