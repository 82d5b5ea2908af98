// How do many files become one zip that is sent while it is made? Nothing is pressed together, so its size is known before.

import { Readable } from 'node:stream'
import { ZipFile } from 'yazl'

export interface ZipPart {
  path: string
  bytes: number
  /** Asked for when its turn comes: of many photos only one is in memory. */
  content(): Promise<Buffer> | Buffer
}

/** The earliest that a zip can say; by this machine's clock, since that is how it is written down. */
const SAME_FOR_ALL = new Date(1980, 0, 1)
const OPTIONS = { mtime: SAME_FOR_ALL, mode: 0o100644, compress: false, forceDosTimestamp: true }

/** The same parts make the same bytes: their times, rights and order are always the same. */
export async function zipOf(parts: readonly ZipPart[]): Promise<{ content: Readable; bytes: number }> {
  const zip = new ZipFile()
  const out = zip.outputStream as Readable
  zip.on('error', (problem) => out.destroy(problem instanceof Error ? problem : new Error(String(problem))))
  for (const part of parts)
    zip.addReadStreamLazy(part.path, { ...OPTIONS, size: part.bytes }, (ready) => {
      // One chunk: a buffer by itself would be sent byte by byte.
      Promise.resolve(part.content()).then(
        (content) => ready(null, Readable.from([content])),
        (problem) => ready(problem, Readable.from([])),
      )
    })
  const sized = new Promise<number>((resolve) => {
    // The library tells the size to this one, which its types do not say.
    const tell = (bytes: number) => resolve(bytes)
    zip.end({ forceZip64Format: false, comment: '' }, tell as () => void)
  })
  return { content: out, bytes: await sized }
}
