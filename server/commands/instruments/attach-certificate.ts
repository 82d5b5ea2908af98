// Keeps the certificate of a calibration beside it. A second file stands beside the first; none takes another's place.

import { z } from 'zod'
import { conflict } from '../../refusals.ts'
import {
  type CalibrationFileRow,
  findCalibration,
  isFileOfCalibration,
} from '../../store/queries/calibration-files.ts'
import { appendFact } from '../../store/record.ts'
import { type Scope, scopeOf } from '../../store/store.ts'
import { say } from '../../words/say.ts'
import { type Context, defineCommand } from '../command.ts'
import { id, ownId } from '../fields.ts'
import { Upload } from '../photos/picture.ts'
import { certificateUpload, type KeptCertificate, keepCertificate } from './certificate-file.ts'

export const attachCertificate = defineCommand({
  name: 'attach-certificate',
  summary: 'Keep the certificate of a calibration, as it came.',
  capability: 'keep-instruments',
  input: z.strictObject({ id: ownId, calibrationId: id, certificate: certificateUpload }),
  async before(given, { machinery, actor }) {
    await findCalibration(scopeOf(machinery.store.reader(), actor.companyId), given.calibrationId)
    return { ...given, certificate: await keepCertificate(machinery, actor.companyId, given.certificate) }
  },
  async handle(scope, given, context): Promise<{ instrumentId: string; file: CalibrationFileRow }> {
    const { certificate } = given
    if (certificate instanceof Upload) throw new Error('The certificate was not kept.')
    const { instrumentId } = await findCalibration(scope, given.calibrationId)
    if (await isFileOfCalibration(scope, given.calibrationId, certificate.sha256))
      throw conflict('certificate-there', say.instrumentCare.thisFileIsThere)
    const file = await appendCertificate(scope, context, {
      id: given.id ?? context.newId(),
      calibrationId: given.calibrationId,
      instrumentId,
      certificate,
    })
    return { instrumentId, file }
  },
})

/** The row, and the entry that carries the hash of its bytes. */
export async function appendCertificate(
  scope: Scope,
  context: Context,
  given: { id: string; calibrationId: string; instrumentId: string; certificate: KeptCertificate },
): Promise<CalibrationFileRow> {
  const file: CalibrationFileRow = {
    companyId: scope.companyId,
    id: given.id,
    calibrationId: given.calibrationId,
    ...given.certificate,
    recordedBy: context.actor.memberId,
    recordedAt: context.now,
  }
  context.record({
    chainId: scope.companyId,
    kind: 'certificate-attached',
    subjectId: given.instrumentId,
    facts: [await appendFact(scope, 'calibrationFiles', file)],
    body: { calibration: file.calibrationId, sha256: file.sha256 },
  })
  return file
}
