// Sets the company's own criteria: a new version, by which work is judged from now on.

import { z } from 'zod'
import { conflict, malformedField } from '../../refusals.ts'
import { looserThanBuiltIn } from '../../rules/looser-criteria.ts'
import { lockCompany } from '../../store/queries/people.ts'
import { findPolicy } from '../../store/queries/policy.ts'
import { findNewestPolicy, type PolicyVersion } from '../../store/queries/policy-versions.ts'
import { appendFact } from '../../store/record.ts'
import { say } from '../../words/say.ts'
import { defineCommand } from '../command.ts'
import { reason } from '../fields.ts'
import { criteria, sentPath } from './criteria.ts'

export const setPolicy = defineCommand({
  name: 'set-policy',
  summary:
    'Set the criteria that the company judges by. A reason is needed when any is looser than the built-in one; certificates say which.',
  capability: 'set-policy',
  input: z.strictObject({
    criteria,
    reason: reason.optional(),
    basedOnVersion: z
      .int()
      .min(1)
      .optional()
      .meta({ description: 'The version that was read before; refused when there is a newer one.' }),
  }),
  async handle(scope, input, context): Promise<PolicyVersion> {
    const { companyId } = scope
    // Versions follow each other, so two who set criteria at the same time take turns.
    await lockCompany(scope)
    const { version } = await findPolicy(scope)
    if (input.basedOnVersion !== undefined && input.basedOnVersion !== version)
      throw conflict('policy-changed', say.people.theCriteriaWereChanged(version))
    const looser = looserThanBuiltIn(input.criteria)
    if (looser.length > 0 && input.reason === undefined)
      throw malformedField(
        'reason',
        say.people.sayWhyTheseAre(looser.map(({ path }) => sentPath(path)).join(', ')),
      )
    const policyId = context.newId()
    const fact = await appendFact(scope, 'policies', {
      companyId,
      id: policyId,
      version: version + 1,
      criteria: input.criteria,
      reason: input.reason ?? null,
      changedBy: context.actor.memberId,
      createdAt: context.now,
    })
    context.record({
      chainId: companyId,
      kind: 'policy-set',
      subjectId: policyId,
      facts: [fact],
      body: { version: version + 1, looser: looser.map(({ path }) => path) },
    })
    return findNewestPolicy(scope)
  },
})
