// Says whose sessions need a second step in this company: nobody's, managers' and owners', or everybody's.

import { eq } from 'drizzle-orm'
import { z } from 'zod'
import { conflict } from '../../refusals.ts'
import { hasSecondStep, ruleOf } from '../../store/queries/second-step.ts'
import { SECOND_STEP_FOR } from '../../vocabulary.ts'
import { say } from '../../words/say.ts'
import { defineCommand } from '../command.ts'

const RULES = ['nobody', ...SECOND_STEP_FOR] as const
export type SecondStepRule = (typeof RULES)[number]

export const setSecondStep = defineCommand({
  name: 'set-second-step',
  summary:
    'Say whose sessions need a second step in this company. Who has none is asked to set it up before anything else; tokens go on.',
  capability: 'manage-members',
  input: z.strictObject({
    of: z
      .enum(RULES, { error: () => say.secondStep.chooseOfWhom })
      .meta({ description: '`managers` are managers and owners.' }),
  }),
  async handle(scope, { of }, context): Promise<SecondStepRule> {
    const { db, t, companyId } = scope
    // Who has none would be the first to stand outside.
    if (of !== 'nobody' && !(await hasSecondStep(scope, context.actor.personId)))
      throw conflict('own-second-step-first', say.secondStep.yoursFirst, [
        { path: 'of', message: say.secondStep.yoursFirst },
      ])
    const before = await ruleOf(scope)
    await db
      .update(t.companies)
      .set({ secondStep: of === 'nobody' ? null : of })
      .where(eq(t.companies.id, companyId))
    context.record({
      chainId: companyId,
      kind: 'second-step-rule-set',
      subjectId: companyId,
      body: { of, before },
    })
    return of
  },
})
