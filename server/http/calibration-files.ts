// The certificates of calibrations: kept as they came, and handed out to be kept, never shown in place.

import { attachCertificate } from '../commands/instruments/attach-certificate.ts'
import { missing } from '../refusals.ts'
import {
  type CalibrationFileRow,
  findCalibration,
  findCalibrationFile,
} from '../store/queries/calibration-files.ts'
import { findInstrument } from '../store/queries/instruments.ts'
import type { CertificateMediaType } from '../vocabulary.ts'
import { say } from '../words/say.ts'
import { instrumentPage } from './instruments.ts'
import { instant } from './json.ts'
import type { Ask, FileAnswer, Resource } from './resource.ts'

const ENDINGS: Record<CertificateMediaType, string> = {
  'application/pdf': 'pdf',
  'image/jpeg': 'jpg',
  'image/png': 'png',
}

export function calibrationFilesResource(resource: Resource): void {
  resource.write({
    path: '/calibrations/:calibrationId/certificates',
    command: attachCertificate,
    status: 201,
    upload: 'certificate',
    json: ({ file }) => calibrationFileJson(file),
    page: {
      goTo: ({ instrumentId }) => `/instruments/${instrumentId}`,
      again: async (form, _refusal, ask) => {
        const { instrumentId } = await findCalibration(ask.scope, ask.params.calibrationId ?? '')
        return instrumentPage(ask, await findInstrument(ask.scope, instrumentId), {
          of: ask.params.calibrationId ?? '',
          form,
        })
      },
    },
  })

  resource.read({
    path: '/calibration-files/:calibrationFileId',
    name: 'read-calibration-file',
    summary: 'The certificate of a calibration, as it came: a PDF, JPEG or PNG.',
    load: ({ scope, params }) => findCalibrationFile(scope, params.calibrationFileId ?? ''),
    file: { mediaType: 'application/octet-stream', make: fileOf },
  })
}

export const calibrationFileJson = (file: CalibrationFileRow) => ({
  id: file.id,
  calibrationId: file.calibrationId,
  mediaType: file.mediaType,
  bytes: file.bytes,
  sha256: file.sha256,
  recordedBy: file.recordedBy,
  recordedAt: instant(file.recordedAt),
})

/** Somebody else's file: it is kept by who asks for it, and where it is opened all the same it may do nothing. */
async function fileOf(file: CalibrationFileRow, { deps, actor, scope }: Ask): Promise<FileAnswer> {
  const content = await deps.machinery.files.get(actor.companyId, file.sha256)
  if (!content) throw missing(say.instrumentCare.theFileOfThis)
  const calibration = await findCalibration(scope, file.calibrationId)
  return {
    content,
    mediaType: file.mediaType,
    fileName: `certificate-${instant(calibration.at).slice(0, 10)}-${file.id.slice(-6)}.${ENDINGS[file.mediaType]}`,
    policy: "default-src 'none'; sandbox",
  }
}
