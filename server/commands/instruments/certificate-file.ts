// Which files are kept as the certificate of a calibration? By their first bytes; and where they go.

import { z } from 'zod'
import { malformedField } from '../../refusals.ts'
import type { CertificateMediaType } from '../../vocabulary.ts'
import { say } from '../../words/say.ts'
import type { Machinery } from '../command.ts'
import { Upload } from '../photos/picture.ts'

/** A scan of a few pages; a certificate that is larger was scanned too finely. */
export const LARGEST_CERTIFICATE = 10 * 1024 * 1024

/** Its bytes are in the files: a file that no row names is no harm, a row without its file would be. */
export interface KeptCertificate {
  sha256: string
  mediaType: CertificateMediaType
  bytes: number
}

export const certificateUpload = z
  .custom<Upload | KeptCertificate>((value) => value instanceof Upload, {
    error: () => say.instrumentCare.sendTheCertificateAs,
  })
  .meta({ type: 'string', format: 'binary', description: 'PDF, JPEG or PNG, up to 10 MB.' })

const BEGINNINGS: readonly [CertificateMediaType, readonly number[]][] = [
  ['application/pdf', [0x25, 0x50, 0x44, 0x46, 0x2d]],
  ['image/jpeg', [0xff, 0xd8, 0xff]],
  ['image/png', [0x89, 0x50, 0x4e, 0x47, 0x0d, 0x0a, 0x1a, 0x0a]],
]

/** Never by its name or by what the sender says that it is. */
export const certificateKind = (bytes: Uint8Array): CertificateMediaType | null =>
  BEGINNINGS.find(([, beginning]) => beginning.every((byte, index) => bytes[index] === byte))?.[0] ?? null

/** What can be refused is refused before, so that a refused file is not kept. */
export async function keepCertificate(
  { files }: Machinery,
  companyId: string,
  given: Upload | KeptCertificate,
): Promise<KeptCertificate> {
  if (!(given instanceof Upload)) return given
  const mediaType = certificateKind(given.bytes)
  if (mediaType === null) throw malformedField('certificate', say.instrumentCare.thatIsNoPdf)
  return {
    sha256: await files.put(companyId, given.bytes),
    mediaType,
    bytes: given.bytes.byteLength,
  }
}
