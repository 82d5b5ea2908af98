// How is a form with a file read? Field by field, never more than is taken, and nothing of it touches the disk.

import type { FastifyRequest } from 'fastify'
import { LARGEST_UPLOAD, tooLarge, Upload } from '../commands/photos/picture.ts'
import { malformedField, type Refusal } from '../refusals.ts'
import { hashOf } from '../store/files.ts'
import type { Fields } from './form.ts'

export interface Sent {
  fields: Fields
  /** The file, under the name of its field; empty when none was chosen. */
  files: Record<string, Upload>
  /** Why it could not be read whole; the fields that came before it are there. */
  refused?: Refusal
}

/** Room for the fields beside the file. */
const BESIDE = 64 * 1024

/** Null when the request is no such form, or none is taken here. */
export async function readUpload(request: FastifyRequest, name: string | undefined): Promise<Sent | null> {
  if (name === undefined || !request.isMultipart()) return null
  const sent: Sent = { fields: {}, files: {} }
  if (Number(request.headers['content-length'] ?? 0) > LARGEST_UPLOAD + BESIDE) {
    // Taken and let go, so that who sends it comes to read the answer.
    request.raw.resume()
    return { ...sent, refused: tooLarge() }
  }
  try {
    const limits = { fileSize: LARGEST_UPLOAD, files: 4, fields: 20, fieldSize: 2000, fieldNameSize: 100 }
    for await (const part of request.parts({ limits })) {
      if (part.type === 'field') {
        if (part.valueTruncated) sent.refused ??= malformedField(part.fieldname, 'This is too long.')
        sent.fields[part.fieldname] = String(part.value)
      } else if (part.fieldname !== name || sent.files[name]) part.file.resume()
      else {
        const bytes = await part.toBuffer()
        // A file field that was left empty is sent all the same.
        if (bytes.byteLength > 0 || part.filename) sent.files[name] = new Upload(bytes, hashOf(bytes))
      }
    }
  } catch (problem) {
    request.raw.resume()
    sent.refused = /LIMIT|TOO_LARGE/.test(String((problem as { code?: string }).code))
      ? tooLarge()
      : malformedField(
          name,
          'This could not be read whole; it may have been cut off on the way. Send it again.',
        )
  }
  return sent
}
