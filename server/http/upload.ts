// How is a form with a file read? Field by field, never more than is taken, and nothing of it touches the disk.

import type { FastifyRequest } from 'fastify'
import { LARGEST_CERTIFICATE } from '../commands/instruments/certificate-file.ts'
import { LARGEST_UPLOAD, tooLarge, Upload } from '../commands/photos/picture.ts'
import { LARGEST_LOG, tooLarge as logTooLarge } from '../gauge-logs/text.ts'
import { malformedField, Refusal } from '../refusals.ts'
import { hashOf } from '../store/files.ts'
import { say } from '../words/say.ts'
import type { Fields } from './form.ts'

export interface Sent {
  fields: Fields
  /** The file, under the name of its field; empty when none was chosen. */
  files: Record<string, Upload>
  /** Why it could not be read whole; the fields that came before it are there. */
  refused?: Refusal
}

/** How large a file may be, by the field it comes in, and what is said of a larger one. */
const ROOM: Record<string, { bytes: number; refusal: () => Refusal }> = {
  picture: { bytes: LARGEST_UPLOAD, refusal: tooLarge },
  certificate: { bytes: LARGEST_CERTIFICATE, refusal: () => certificateTooLarge() },
  table: { bytes: LARGEST_LOG, refusal: () => tableTooLarge() },
  log: {
    bytes: LARGEST_LOG,
    refusal: () => {
      const { message } = logTooLarge()
      return new TooLarge('malformed', 'too-large', message, { errors: [{ path: 'log', message }] })
    },
  },
}

const tableTooLarge = () => {
  const message = say.moving.tooLarge
  return new TooLarge('malformed', 'too-large', message, { errors: [{ path: 'table', message }] })
}

const certificateTooLarge = () => {
  const message = say.instrumentCare.tooLarge
  return new TooLarge('malformed', 'too-large', message, { errors: [{ path: 'certificate', message }] })
}

class TooLarge extends Refusal {
  override get status(): number {
    return 413
  }
}

/** Room for the fields beside the file. */
const BESIDE = 64 * 1024

/** Null when the request is no such form, or none is taken here. */
export async function readUpload(request: FastifyRequest, name: string | undefined): Promise<Sent | null> {
  if (name === undefined || !request.isMultipart()) return null
  const sent: Sent = { fields: {}, files: {} }
  const room = ROOM[name]
  if (!room) throw new Error(`Nobody said how large a ${name} may be.`)
  if (Number(request.headers['content-length'] ?? 0) > room.bytes + BESIDE) {
    // Taken and let go, so that who sends it comes to read the answer.
    request.raw.resume()
    return { ...sent, refused: room.refusal() }
  }
  try {
    const limits = { fileSize: room.bytes, files: 4, fields: 60, fieldSize: 2000, fieldNameSize: 100 }
    for await (const part of request.parts({ limits })) {
      if (part.type === 'field') {
        if (part.valueTruncated) sent.refused ??= malformedField(part.fieldname, say.photos.thisIsTooLong)
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
      ? room.refusal()
      : malformedField(name, say.photos.thisCouldNotBe)
  }
  return sent
}
