// Records a dated check of an instrument: a fact that stands beside every earlier one.

import { z } from 'zod'
import { malformedField } from '../../refusals.ts'
import { type CalibrationRow, findInstrument, type KeptInstrument } from '../../store/queries/instruments.ts'
import { appendFact } from '../../store/record.ts'
import { CALIBRATION_BASES, CALIBRATION_RESULTS } from '../../vocabulary.ts'
import { defineCommand } from '../command.ts'
import { id, moment, ownId, text } from '../fields.ts'
import { notFuture } from '../provenance.ts'
import { figure, figureSi, figuresTyped } from './instrument-figures.ts'

const errorPercent = z
  .number('Enter a number.')
  .gt(-100, 'At -100 % it would show nothing at all.')
  .max(1000, 'That is no calibration but a broken instrument.')
  .meta({ description: '(shown − true)/true in percent; +9: it shows more than there is.' })

export const recordCalibration = defineCommand({
  name: 'record-calibration',
  summary: 'Record a calibration or own check of an instrument.',
  capability: 'keep-instruments',
  input: z.strictObject({
    id: ownId,
    instrumentId: id,
    at: moment.optional().meta({ description: 'When it was checked. Default: now. Not the future.' }),
    result: z.enum(CALIBRATION_RESULTS, { error: `Use one of ${CALIBRATION_RESULTS.join(', ')}.` }),
    basis: z.enum(CALIBRATION_BASES, { error: `Use one of ${CALIBRATION_BASES.join(', ')}.` }),
    points: z
      .array(
        z.strictObject({
          nominal: figure,
          asFoundErrorPercent: errorPercent,
          asLeftErrorPercent: errorPercent.optional(),
        }),
      )
      .min(1, 'Enter at least one point, or leave the points out.')
      .max(50)
      .optional(),
    asFoundErrorPercent: errorPercent
      .optional()
      .meta({ description: 'Short form of one point, taken to hold over the whole scale.' }),
    asLeftErrorPercent: errorPercent.optional(),
    uncertainty: figure.optional().meta({ description: 'Of the calibration, k = 2.' }),
    reference: text(200)
      .optional()
      .meta({ description: 'Certificate number, or what it was checked against.' }),
  }),
  async handle(scope, input, context): Promise<{ instrument: KeptInstrument; calibration: CalibrationRow }> {
    const instrument = await findInstrument(scope, input.instrumentId)
    if (input.points && input.asFoundErrorPercent !== undefined)
      throw malformedField('asFoundErrorPercent', 'Give points, or one error for the whole scale, not both.')
    if (input.asLeftErrorPercent !== undefined && input.asFoundErrorPercent === undefined)
      throw malformedField('asFoundErrorPercent', 'Say what was found before what was left.')
    const points = (input.points ?? []).map((point, index) => ({
      nominal: figureSi(instrument.kind, `points.${index}.nominal`, point.nominal),
      asFoundErrorPercent: point.asFoundErrorPercent,
      asLeftErrorPercent: point.asLeftErrorPercent ?? null,
    }))
    if (input.asFoundErrorPercent !== undefined)
      points.push({
        // One point speaks for the whole scale wherever it is put; full scale is the place that needs no choice.
        nominal: instrument.fullScale ?? 1,
        asFoundErrorPercent: input.asFoundErrorPercent,
        asLeftErrorPercent: input.asLeftErrorPercent ?? null,
      })
    const calibration: CalibrationRow = {
      companyId: scope.companyId,
      id: input.id ?? context.newId(),
      instrumentId: instrument.id,
      at: notFuture('at', input.at ?? context.now, context.now),
      result: input.result,
      basis: input.basis,
      points,
      uncertainty:
        input.uncertainty === undefined
          ? null
          : figureSi(instrument.kind, 'uncertainty', input.uncertainty, 'zero'),
      reference: input.reference ?? null,
      recordedBy: context.actor.memberId,
      recordedAt: context.now,
      typed: figuresTyped({
        ...Object.fromEntries(
          (input.points ?? []).map((point, index) => [`points.${index}.nominal`, point.nominal]),
        ),
        uncertainty: input.uncertainty,
      }),
    }
    const seal = await appendFact(scope, 'calibrations', calibration)
    context.record({
      chainId: scope.companyId,
      kind: 'calibration-recorded',
      subjectId: instrument.id,
      facts: [seal],
    })
    return { instrument: await findInstrument(scope, instrument.id), calibration }
  },
})
