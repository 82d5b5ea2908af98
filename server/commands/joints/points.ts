// How is a list of points answered? One by one, as plain booleans, or all at once as listed.

import { z } from 'zod'
import { type FieldError, malformed } from '../../refusals.ts'
import type { Points } from '../../rules/dossier.ts'
import { POINT_ANSWERS, type PointAnswer } from '../../vocabulary.ts'
import { say } from '../../words/say.ts'
import { reason } from '../fields.ts'

type Some<Code extends string, Value> = { [code in Code]?: Value | undefined }

/** The three ways to answer, as fields of a step's input. */
export function pointFields<const Code extends string>(codes: readonly Code[]) {
  const each = <Field extends z.ZodType>(field: Field) =>
    Object.fromEntries(codes.map((code) => [code, field])) as Record<Code, Field>
  return {
    points: z
      .strictObject(each(z.enum(POINT_ANSWERS, { error: () => say.joints.answerYesNoOr }).optional()))
      .optional(),
    reasons: z.strictObject(each(reason.optional())).optional(),
    allAsListed: z.literal(true).optional(),
    ...each(z.boolean().optional()),
  }
}

/** `asked`: those that this kind of joint has. Others are kept where somebody answered them, and not asked for. */
export function pointsOf<Code extends string>(
  codes: readonly Code[],
  asked: readonly string[],
  input: {
    points?: Some<Code, PointAnswer> | undefined
    reasons?: Some<Code, string> | undefined
    allAsListed?: true | undefined
  } & Some<Code, boolean>,
): Points {
  const given: Some<Code, PointAnswer> = { ...input.points }
  const short = new Set<Code>()
  for (const code of codes) {
    const plain = input[code]
    if (plain === undefined || given[code] !== undefined) continue
    given[code] = plain ? 'yes' : 'no'
    short.add(code)
  }
  const errors: FieldError[] = []
  const answers: Record<string, PointAnswer> = {}
  const reasons: Record<string, string> = {}
  for (const code of codes) {
    const isAsked = asked.includes(code)
    const answer = given[code] ?? (input.allAsListed && isAsked ? 'yes' : undefined)
    if (answer === undefined && !isAsked) continue
    const why = input.reasons?.[code]
    if (answer === undefined) errors.push({ path: `points.${code}`, message: say.joints.answerThisPoint })
    else if (answer === 'yes') answers[code] = 'yes'
    else {
      if (input.allAsListed) errors.push({ path: `points.${code}`, message: say.joints.eitherAllAsListed })
      if (why === undefined && !short.has(code))
        errors.push({ path: `reasons.${code}`, message: say.joints.sayWhyInA })
      answers[code] = answer
      if (why !== undefined) reasons[code] = why
    }
  }
  if (errors.length > 0) throw malformed(errors)
  return { answers, reasons, allAsListed: input.allAsListed === true }
}
