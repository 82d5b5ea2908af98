// Records a dated check of an instrument: a fact that stands beside every earlier one.

import { z } from 'zod'
import { malformedField } from '../../refusals.ts'
import { type CalibrationRow, findInstrument, type KeptInstrument } from '../../store/queries/instruments.ts'
import { appendFact } from '../../store/record.ts'
import { scopeOf } from '../../store/store.ts'
import { CALIBRATION_BASES, CALIBRATION_RESULTS } from '../../vocabulary.ts'
import { say } from '../../words/say.ts'
import { defineCommand } from '../command.ts'
import { id, moment, ownId, text } from '../fields.ts'
import { Upload } from '../photos/picture.ts'
import { notFuture } from '../provenance.ts'
import { appendCertificate } from './attach-certificate.ts'
import { certificateUpload, keepCertificate } from './certificate-file.ts'
import { figure, figureSi, figuresTyped } from './instrument-figures.ts'

const errorPercent = z
  .number({ error: () => say.instruments.enterANumber })
  .gt(-100, { error: () => say.instruments.at100ItWould })
  .max(1000, { error: () => say.instruments.thatIsNoCalibration })
  .meta({ description: '(shown − true)/true in percent; +9: it shows more than there is.' })

export const recordCalibration = defineCommand({
  name: 'record-calibration',
  summary: 'Record a calibration or own check of an instrument.',
  capability: 'keep-instruments',
  input: z.strictObject({
    id: ownId,
    instrumentId: id,
    at: moment.optional().meta({ description: 'When it was checked. Default: now. Not the future.' }),
    result: z.enum(CALIBRATION_RESULTS, {
      error: () => say.instruments.useOneOf(CALIBRATION_RESULTS.join(', ')),
    }),
    basis: z.enum(CALIBRATION_BASES, { error: () => say.instruments.useOneOf(CALIBRATION_BASES.join(', ')) }),
    points: z
      .array(
        z.strictObject({
          nominal: figure,
          asFoundErrorPercent: errorPercent,
          asLeftErrorPercent: errorPercent.optional(),
        }),
      )
      .min(1, { error: () => say.instruments.enterAtLeastOne })
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
    certificate: certificateUpload.optional(),
  }),
  async before(given, { machinery, actor }) {
    if (given.certificate === undefined) return given
    await findInstrument(scopeOf(machinery.store.reader(), actor.companyId), given.instrumentId)
    return { ...given, certificate: await keepCertificate(machinery, actor.companyId, given.certificate) }
  },
  async handle(scope, input, context): Promise<{ instrument: KeptInstrument; calibration: CalibrationRow }> {
    const instrument = await findInstrument(scope, input.instrumentId)
    if (input.points && input.asFoundErrorPercent !== undefined)
      throw malformedField('asFoundErrorPercent', say.instruments.givePointsOrOne)
    if (input.asLeftErrorPercent !== undefined && input.asFoundErrorPercent === undefined)
      throw malformedField('asFoundErrorPercent', say.instruments.sayWhatWasFound)
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
    const { certificate } = input
    if (certificate instanceof Upload) throw new Error('The certificate was not kept.')
    if (certificate !== undefined)
      await appendCertificate(scope, context, {
        id: context.newId(),
        calibrationId: calibration.id,
        instrumentId: instrument.id,
        certificate,
      })
    return { instrument: await findInstrument(scope, instrument.id), calibration }
  },
})
