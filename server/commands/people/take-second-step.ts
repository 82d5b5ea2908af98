// Goes on with a sign-in whose password was right: with a code of the authenticator, or one from paper.

import { z } from 'zod'
import { Refusal } from '../../refusals.ts'
import { membershipsOf, personById } from '../../store/queries/people.ts'
import { endStep, findWaitingSignIn } from '../../store/queries/second-step.ts'
import { say } from '../../words/say.ts'
import { definePublicCommand } from '../command.ts'
import { text } from '../fields.ts'
import { checkCode, typedCode } from './check-code.ts'
import type { SignedIn } from './sign-in.ts'

/** Unknown, too old and done already are not told apart. */
export const stepOver = () => new Refusal('signed-out', 'step-over', say.secondStep.stepOver)

export const takeSecondStep = definePublicCommand({
  name: 'second-step',
  summary:
    'The second step of a sign-in that was answered with 202: the `step` it named, and a code of the authenticator or a recovery code.',
  input: z.strictObject({
    step: text(200).meta({ description: 'As the first step answered it; good for ten minutes, and once.' }),
    code: typedCode,
  }),
  async handle(session, { step, code }, context): Promise<SignedIn> {
    const waiting = await findWaitingSignIn(session, step, context.now)
    const person = waiting && (await personById(session, waiting.personId))
    if (!waiting || !person) throw stepOver()
    const checked = await checkCode(session, person.id, code, context)
    if (checked.opens && !(await endStep(session, step))) throw stepOver()
    const companies = await membershipsOf(session, person.id)
    const only = companies.length === 1 ? companies[0] : undefined
    const meant = companies.find((one) => one.companyId === waiting.companyId) ?? only
    return {
      person: { id: person.id, name: person.name, email: person.email },
      companyId: meant?.companyId ?? null,
      companies,
      code: checked,
    }
  },
})
