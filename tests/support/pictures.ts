// Pictures for tests: made on the spot, with or without what a phone writes into them, and put into a form.

import sharp from 'sharp'
import { Upload } from '../../server/commands/photos/picture.ts'
import { hashOf } from '../../server/store/files.ts'

export interface Wanted {
  width?: number
  height?: number
  /** Sets two pictures apart. */
  shade?: string
}

const blank = ({ width = 640, height = 480, shade = '#7a5230' }: Wanted) =>
  sharp({ create: { width, height, channels: 3, background: shade } })

export const aJpeg = (wanted: Wanted = {}): Promise<Buffer> => blank(wanted).jpeg().toBuffer()
export const aPng = (wanted: Wanted = {}): Promise<Buffer> => blank(wanted).png().toBuffer()
export const aWebp = (wanted: Wanted = {}): Promise<Buffer> => blank(wanted).webp().toBuffer()

/** As a phone takes it, lying on its side: with a place, a make, and the moment with its zone. */
export const aPhonesJpeg = (exif: Record<string, Record<string, string>> = {}): Promise<Buffer> =>
  blank({ width: 800, height: 600 })
    .withExif({
      IFD0: { Make: 'Invented', Model: 'Pocket 7', Copyright: 'Tess of Brackwater', ...exif.IFD0 },
      IFD2: {
        DateTimeOriginal: '2026:03:04 15:20:30',
        OffsetTimeOriginal: '+02:00',
        ...exif.IFD2,
      },
      IFD3: {
        GPSLatitudeRef: 'N',
        GPSLatitude: '51/1 30/1 0/1',
        GPSLongitudeRef: 'W',
        GPSLongitude: '0/1 7/1 0/1',
        ...exif.IFD3,
      },
    })
    .withMetadata({ orientation: 6 })
    .jpeg()
    .toBuffer()

export const anUpload = (bytes: Uint8Array): Upload => new Upload(bytes, hashOf(bytes))

export interface Form {
  headers: { 'content-type': string }
  payload: Buffer
}

/** The fields, then the file, as a browser sends them. */
export function aForm(
  fields: Record<string, string>,
  file?: { name?: string; fileName?: string; bytes: Uint8Array; type?: string },
): Form {
  const boundary = '----a-boundary-of-the-tests'
  const parts: Buffer[] = Object.entries(fields).map(([name, value]) =>
    Buffer.from(`--${boundary}\r\ncontent-disposition: form-data; name="${name}"\r\n\r\n${value}\r\n`),
  )
  if (file) {
    const { name = 'picture', fileName = 'photo.jpg', type = 'image/jpeg', bytes } = file
    parts.push(
      Buffer.from(
        `--${boundary}\r\ncontent-disposition: form-data; name="${name}"; filename="${fileName}"\r\ncontent-type: ${type}\r\n\r\n`,
      ),
      Buffer.from(bytes),
      Buffer.from('\r\n'),
    )
  }
  parts.push(Buffer.from(`--${boundary}--\r\n`))
  return {
    headers: { 'content-type': `multipart/form-data; boundary=${boundary}` },
    payload: Buffer.concat(parts),
  }
}
