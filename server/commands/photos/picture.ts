// What becomes of a picture that is sent? It is read, turned upright, made small enough, and stripped of all it tells besides.

import type { FieldError } from '../../refusals.ts'
import { Refusal } from '../../refusals.ts'
import { say } from '../../words/say.ts'

/** As a phone or a browser sends it; larger is no photo of a gauge. */
export const LARGEST_UPLOAD = 12 * 1024 * 1024
/** Longest side of what is kept: the figures of a gauge can be read, and a job's photos stay a few megabytes. */
export const LONGEST_SIDE = 2400
export const THUMBNAIL_SIDE = 320
/** More points than any phone's usual picture: a file that unfolds to more is not opened. */
const MOST_POINTS = 50_000_000

/** The bytes of a picture on their way in; in a request's digest they stand by their hash. */
export class Upload {
  readonly bytes: Uint8Array
  readonly #hash: string
  constructor(bytes: Uint8Array, hash: string) {
    this.bytes = bytes
    this.#hash = hash
  }
  toJSON(): string {
    return this.#hash
  }
}

export interface Prepared {
  picture: Uint8Array
  thumbnail: Uint8Array
  width: number
  height: number
  /** From the picture itself, where it says so with a zone; milliseconds since 1970. */
  takenAt: number | null
}

type Kind = 'jpeg' | 'png' | 'webp'

/** By the first bytes, never by the name or by what the sender says it is. */
export function kindOf(bytes: Uint8Array): Kind | 'heic' | null {
  const starts = (at: number, ...codes: number[]) => codes.every((code, index) => bytes[at + index] === code)
  if (starts(0, 0xff, 0xd8, 0xff)) return 'jpeg'
  if (starts(0, 0x89, 0x50, 0x4e, 0x47, 0x0d, 0x0a, 0x1a, 0x0a)) return 'png'
  const word = (at: number) => Buffer.from(bytes.subarray(at, at + 4)).toString('latin1')
  if (word(0) === 'RIFF' && word(8) === 'WEBP') return 'webp'
  if (word(4) === 'ftyp' && /^(hei[cfmsx]|hev[cmsx]|mif1|msf1)$/.test(word(8))) return 'heic'
  return null
}

/** Refuses what is no picture, is cut off, or is too large when unfolded; nothing is kept here. */
export async function preparePicture(bytes: Uint8Array, now: number): Promise<Prepared> {
  if (bytes.byteLength === 0) throw unfit(400, 'malformed', say.photos.thereIsNothingIn)
  if (bytes.byteLength > LARGEST_UPLOAD) throw tooLarge()
  const kind = kindOf(bytes)
  if (kind === 'heic') throw unfit(415, 'unsupported-media-type', say.photos.thisIsAHeic)
  if (kind === null) throw unfit(415, 'unsupported-media-type', say.photos.sendAPhotoAs)
  return oneOfFew(async () => {
    const { default: sharp } = await import('sharp')
    sharp.cache(false)
    sharp.concurrency(1)
    const options = { limitInputPixels: MOST_POINTS, failOn: 'error', sequentialRead: true } as const
    let step: 'look' | 'read' = 'look'
    try {
      const { width, height, exif } = await sharp(bytes, { ...options, limitInputPixels: false }).metadata()
      if (width * height > MOST_POINTS)
        throw unfit(413, 'too-large', say.photos.thisPictureIsMillion(width, height, MOST_POINTS / 1_000_000))
      step = 'read'
      // No metadata is carried over unless it is asked for: place, owner and make of the phone are gone with it.
      const kept = await sharp(bytes, options)
        .autoOrient()
        .resize({ width: LONGEST_SIDE, height: LONGEST_SIDE, fit: 'inside', withoutEnlargement: true })
        .flatten({ background: '#ffffff' })
        .jpeg({ quality: 82 })
        .toBuffer({ resolveWithObject: true })
      const thumbnail = await sharp(kept.data)
        .resize({ width: THUMBNAIL_SIDE, height: THUMBNAIL_SIDE, fit: 'inside', withoutEnlargement: true })
        .jpeg({ quality: 72 })
        .toBuffer()
      return {
        picture: kept.data,
        thumbnail,
        width: kept.info.width,
        height: kept.info.height,
        takenAt: await takenAtOf(exif, now),
      }
    } catch (problem) {
      if (problem instanceof Refusal) throw problem
      throw unfit(
        400,
        'malformed',
        step === 'look' ? say.photos.thisPictureCannotBe : say.photos.thisPictureCannotBeRead,
      )
    }
  })
}

/** A moment only where the zone is known: by its offset, or by the satellites' own clock, which runs in UTC. */
async function takenAtOf(exif: Buffer | undefined, now: number): Promise<number | null> {
  if (!exif) return null
  try {
    const { default: read } = await import('exif-reader')
    const { Photo: photo, GPSInfo: gps } = read(exif)
    // The reader takes the camera's own time for UTC; the offset beside it says what it was.
    const local = photo?.DateTimeOriginal ?? photo?.DateTimeDigitized
    const zone = /^([+-])(\d{2}):(\d{2})/.exec(
      String(photo?.OffsetTimeOriginal ?? photo?.OffsetTimeDigitized ?? photo?.OffsetTime ?? ''),
    )
    if (local instanceof Date && zone) {
      const minutes = (Number(zone[2]) * 60 + Number(zone[3])) * (zone[1] === '-' ? -1 : 1)
      return possible(local.getTime() - minutes * 60_000, now)
    }
    const day = /^(\d{4}):(\d{2}):(\d{2})/.exec(String(gps?.GPSDateStamp ?? ''))
    const time: unknown = gps?.GPSTimeStamp
    if (day && Array.isArray(time) && time.length === 3) {
      const [hours, minutes, seconds] = time.map(Number) as [number, number, number]
      const midnight = Date.UTC(Number(day[1]), Number(day[2]) - 1, Number(day[3]))
      return possible(midnight + ((hours * 60 + minutes) * 60 + seconds) * 1000, now)
    }
    return null
  } catch {
    // What can't be read is not known; the picture is no worse for it.
    return null
  }
}

/** A camera whose clock is off says nothing. */
const possible = (at: number, now: number): number | null =>
  Number.isFinite(at) && at > Date.UTC(1990, 0, 1) && at <= now ? Math.round(at) : null

/** The transport's own statuses, with the field that they are about. */
class Unfit extends Refusal {
  readonly pictureStatus: number
  constructor(status: number, code: string, detail: string, errors: FieldError[]) {
    super('malformed', code, detail, { errors })
    this.pictureStatus = status
  }
  override get status(): number {
    return this.pictureStatus
  }
}

function unfit(status: number, code: string, detail: string): Refusal {
  return new Unfit(status, code, detail, [{ path: 'picture', message: detail }])
}

export const tooLarge = (): Refusal =>
  unfit(413, 'too-large', say.photos.photosOfUpTo(LARGEST_UPLOAD / 1024 / 1024))

/** Two at a time: a crew that comes into the network at once is not to fill the memory. */
const AT_ONCE = 2
let busyNow = 0
const waiting: (() => void)[] = []

async function oneOfFew<Result>(work: () => Promise<Result>): Promise<Result> {
  if (busyNow >= AT_ONCE) await new Promise<void>((go) => waiting.push(go))
  busyNow += 1
  try {
    return await work()
  } finally {
    busyNow -= 1
    waiting.shift()?.()
  }
}
