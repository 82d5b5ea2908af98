// What may be recorded of a make, step by step, and what each step's record holds?

import { z } from 'zod'
import { malformedField, refusedByRule } from '../../refusals.ts'
import type {
  AssemblyBody,
  BrazingBody,
  ClosingBody,
  FlareBody,
  InspectionBody,
  LeakCheckBody,
  PreparationBody,
  PressingBody,
  TorqueBody,
} from '../../rules/dossier.ts'
import { pointsFor } from '../../rules/points.ts'
import {
  ASSEMBLY_POINTS,
  CIRCUIT_STATES,
  CLOSING_POINTS,
  DIAMETER_CHECKS,
  FLARE_METHODS,
  INSPECTION_OUTCOMES,
  INSPECTION_POINTS,
  type InstrumentKind,
  type JointKind,
  LEAK_CHECK_MEDIA,
  LEAK_CHECK_METHODS,
  LEAK_CHECK_RESULTS,
  LUBRICATIONS,
  PREPARATION_POINTS,
  SENSITIVITY_SOURCES,
  TORQUE_INDICATIONS,
} from '../../vocabulary.ts'
import { say } from '../../words/say.ts'
import { id, reason, text } from '../fields.ts'
import { gaugePressure, length, massRate, signedLength, torque } from '../quantities.ts'
import { pointFields, pointsOf } from './points.ts'

const choice = <const Values extends readonly [string, ...string[]]>(values: Values) =>
  z.enum(values, { error: () => say.joints.useOneOf(values.join(', ')) })

const yesNo = z.boolean({ error: () => say.joints.answerTrueOrFalse })

export const preparationFields = { ...pointFields(PREPARATION_POINTS), instrumentId: id.optional() }
export const flareFields = {
  instrumentId: id,
  method: choice(FLARE_METHODS),
  depthStopUsed: yesNo,
  projection: length({ max: 0.02 }).optional(),
}
export const brazingFields = { nitrogenFlow: yesNo, filler: text(80).optional() }
export const pressingFields = { instrumentId: id, jawSize: text(40), insertionMarked: yesNo }
export const inspectionFields = {
  ...pointFields(INSPECTION_POINTS),
  diameterCheck: choice(DIAMETER_CHECKS).default('not-checked'),
  outerDiameter: length({ min: 0.001, max: 0.1 }).optional(),
  outcome: choice(INSPECTION_OUTCOMES),
  photoIds: z.array(id).max(20).optional(),
}
export const assemblyFields = { ...pointFields(ASSEMBLY_POINTS), lubricated: choice(LUBRICATIONS) }
export const torqueFields = {
  indication: choice(TORQUE_INDICATIONS),
  reading: torque().optional(),
  instrumentId: id.optional(),
  adapter: z
    .strictObject({
      offset: signedLength({ min: -1, max: 1 }),
      wrenchLength: length({ min: 0.02, max: 3 }),
      angleDegrees: z.number().min(-180).max(180).optional(),
    })
    .optional(),
  angleDegrees: z.number().min(0).max(360).optional(),
  reason: reason.optional(),
  witnessMark: z.boolean().optional(),
  circuitState: choice(CIRCUIT_STATES).default('empty'),
}
export const closingFields = pointFields(CLOSING_POINTS)
export const leakCheckFields = {
  method: choice(LEAK_CHECK_METHODS),
  medium: choice(LEAK_CHECK_MEDIA).default('nitrogen'),
  instrumentId: id.optional(),
  gaugePressure: gaugePressure({ min: 0 }).optional(),
  sensitivity: massRate().optional(),
  sensitivitySource: choice(SENSITIVITY_SOURCES).optional(),
  checkedOnTrialLeak: z.boolean().optional(),
  result: choice(LEAK_CHECK_RESULTS).optional(),
  leakFound: z.boolean().optional(),
  part: text(80).optional(),
  where: text(200).optional(),
}

type In<Fields extends z.core.$ZodShape> = z.output<z.ZodObject<Fields>>

/** What a step's record is made of, apart from who and when. */
export interface StepContent<Body> {
  body: Body
  instrument: { id: string; path: string; kinds: InstrumentKind[] } | null
}

const used = (instrumentId: string | undefined, kinds: InstrumentKind[]) =>
  instrumentId === undefined ? null : { id: instrumentId, path: 'instrumentId', kinds }

export const preparationOf = (
  input: In<typeof preparationFields>,
  joint: JointKind,
): StepContent<PreparationBody> => ({
  body: {
    points: pointsOf(PREPARATION_POINTS, pointsFor('preparation', joint), input),
    instrumentId: input.instrumentId ?? null,
  },
  instrument: used(input.instrumentId, ['tube-cutter', 'deburring-tool']),
})

export const flareOf = (input: In<typeof flareFields>): StepContent<FlareBody> => ({
  body: {
    instrumentId: input.instrumentId,
    method: input.method,
    depthStopUsed: input.depthStopUsed,
    projectionM: input.projection?.si ?? null,
  },
  instrument: used(input.instrumentId, ['flaring-tool']),
})

export const brazingOf = (input: In<typeof brazingFields>): StepContent<BrazingBody> => ({
  body: { nitrogenFlow: input.nitrogenFlow, filler: input.filler ?? null },
  instrument: null,
})

export const pressingOf = (input: In<typeof pressingFields>): StepContent<PressingBody> => ({
  body: {
    instrumentId: input.instrumentId,
    jawSize: input.jawSize,
    insertionMarked: input.insertionMarked,
  },
  instrument: used(input.instrumentId, ['press-tool']),
})

export function inspectionOf(
  input: In<typeof inspectionFields>,
  joint: JointKind,
): StepContent<InspectionBody> {
  if (input.diameterCheck === 'measured' && !input.outerDiameter)
    throw malformedField('outerDiameter.value', say.joints.enterTheDiameterThat)
  return {
    body: {
      points: pointsOf(INSPECTION_POINTS, pointsFor('inspection', joint), input),
      diameterCheck: input.diameterCheck,
      outerDiameterM: input.outerDiameter?.si ?? null,
      outcome: input.outcome,
      photoIds: input.photoIds ?? [],
    },
    instrument: null,
  }
}

export const assemblyOf = (
  input: In<typeof assemblyFields>,
  joint: JointKind,
): StepContent<AssemblyBody> => ({
  body: {
    points: pointsOf(ASSEMBLY_POINTS, pointsFor('assembly', joint), input),
    lubricated: input.lubricated,
  },
  instrument: null,
})

export function torqueOf(input: In<typeof torqueFields>): StepContent<TorqueBody> {
  if (input.circuitState === 'under-test-pressure')
    throw refusedByRule('under-test-pressure', say.joints.neverTightenOrLoosenA)
  const measured = input.indication === 'read' || input.indication === 'set-and-clicked'
  if (measured && !input.reading) throw malformedField('reading.value', say.joints.enterWhatTheWrench)
  if (measured && input.instrumentId === undefined)
    throw malformedField('instrumentId', say.joints.sayWhichWrenchIt)
  if (!measured && input.reason === undefined) throw malformedField('reason', say.joints.sayWhyTheTorque)
  if (input.indication === 'angle-by-manual' && input.angleDegrees === undefined)
    throw malformedField('angleDegrees', say.joints.enterTheAngleThat)
  return {
    body: {
      indication: input.indication,
      readingNm: measured ? (input.reading?.si ?? null) : null,
      instrumentId: input.instrumentId ?? null,
      adapter: input.adapter
        ? {
            offsetM: input.adapter.offset.si,
            wrenchLengthM: input.adapter.wrenchLength.si,
            angleDegrees: input.adapter.angleDegrees ?? 0,
          }
        : null,
      turnDegrees: input.angleDegrees ?? null,
      reason: input.reason ?? null,
      witnessMark: input.witnessMark ?? false,
      circuitState: input.circuitState,
    },
    instrument: used(input.instrumentId, ['torque-wrench']),
  }
}

export const closingOf = (input: In<typeof closingFields>, joint: JointKind): StepContent<ClosingBody> => ({
  body: { points: pointsOf(CLOSING_POINTS, pointsFor('closing', joint), input) },
  instrument: null,
})

export function leakCheckOf(input: In<typeof leakCheckFields>): StepContent<LeakCheckBody> {
  const result =
    input.result ?? (input.leakFound === undefined ? undefined : input.leakFound ? 'found' : 'none-found')
  if (result === undefined) throw malformedField('result', say.joints.sayWhetherALeak)
  if (input.sensitivity && input.sensitivitySource === undefined)
    throw malformedField('sensitivitySource', say.joints.sayWhereThisSensitivity)
  return {
    body: {
      method: input.method,
      medium: input.medium,
      instrumentId: input.instrumentId ?? null,
      gaugePressurePa: input.gaugePressure?.si ?? null,
      sensitivityKgPerYear: input.sensitivity?.si ?? null,
      sensitivitySource: input.sensitivitySource ?? 'built-in',
      checkedOnTrialLeak: input.checkedOnTrialLeak ?? false,
      result,
      part: input.part ?? null,
      where: input.where ?? null,
    },
    instrument: used(input.instrumentId, ['leak-detector']),
  }
}

/** Each kind of step: which fields it is told by, and what they come to. */
export const STEP_INPUTS = {
  preparation: { fields: preparationFields, contentOf: preparationOf },
  flare: { fields: flareFields, contentOf: flareOf },
  brazing: { fields: brazingFields, contentOf: brazingOf },
  pressing: { fields: pressingFields, contentOf: pressingOf },
  inspection: { fields: inspectionFields, contentOf: inspectionOf },
  assembly: { fields: assemblyFields, contentOf: assemblyOf },
  torque: { fields: torqueFields, contentOf: torqueOf },
  closing: { fields: closingFields, contentOf: closingOf },
  'leak-check': { fields: leakCheckFields, contentOf: leakCheckOf },
} as const
