// Counts uses of an instrument that no record tells of, or takes back what was counted too much.

import { z } from 'zod'
import { malformedField } from '../../refusals.ts'
import type { InstrumentUsesRow } from '../../store/queries/instrument-uses.ts'
import { usesLimit } from '../../store/queries/instrument-uses.ts'
import { findInstrument } from '../../store/queries/instruments.ts'
import { appendFact } from '../../store/record.ts'
import { say } from '../../words/say.ts'
import { defineCommand } from '../command.ts'
import { id, moment, ownId, text } from '../fields.ts'
import { notFuture } from '../provenance.ts'

/** Twenty times what a wrench may do: more is a slip of the finger. */
const MOST = 100_000

export const countUsesByHand = defineCommand({
  name: 'count-uses',
  summary: 'Count uses of an instrument that no record tells of.',
  capability: 'keep-instruments',
  input: z.strictObject({
    id: ownId,
    instrumentId: id,
    uses: z
      .int({ error: () => say.instrumentCare.enterAWholeNumber })
      .min(1, { error: () => say.instrumentCare.noneIsNothing })
      .max(MOST, { error: () => say.instrumentCare.thatIsMoreThan }),
    takenBack: z
      .boolean({ error: () => say.instrumentCare.yesOrNo })
      .optional()
      .meta({ description: 'As many had been counted too much before; the note says why.' }),
    at: moment.optional().meta({ description: 'By when they had been made. Default: now. Not the future.' }),
    note: text(200).optional(),
  }),
  async handle(scope, input, context): Promise<InstrumentUsesRow> {
    const instrument = await findInstrument(scope, input.instrumentId)
    if (usesLimit(instrument.kind) === null)
      throw malformedField('instrumentId', say.instrumentCare.usesOfThisKind)
    if (input.takenBack === true && input.note === undefined)
      throw malformedField('note', say.instrumentCare.sayWhyItIsLess)
    const row: InstrumentUsesRow = {
      companyId: scope.companyId,
      id: input.id ?? context.newId(),
      instrumentId: instrument.id,
      at: notFuture('at', input.at ?? context.now, context.now),
      uses: input.takenBack === true ? -input.uses : input.uses,
      note: input.note ?? null,
      recordedBy: context.actor.memberId,
      recordedAt: context.now,
    }
    context.record({
      chainId: scope.companyId,
      kind: 'uses-counted',
      subjectId: instrument.id,
      facts: [await appendFact(scope, 'instrumentUses', row)],
    })
    return row
  },
})
