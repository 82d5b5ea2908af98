// How do many files travel as one? A tar archive (POSIX ustar), written as a stream and read back from a file.

import { closeSync, openSync, readSync, statSync } from 'node:fs'
import { say } from '../words/say.ts'

const BLOCK = 512
/** What eleven octal digits hold. */
const LARGEST = 0o77777777777

/**
 * The header that goes before a file's bytes. Owner, times and rights are the same for every file, so that the same
 * content makes the same archive.
 */
export function tarHeader(name: string, size: number): Buffer {
  if (Buffer.byteLength(name) > 100) throw new Error(`The name ${name} is too long for the archive.`)
  if (size > LARGEST) throw new Error(`${name} is too large for the archive.`)
  const header = Buffer.alloc(BLOCK)
  const octal = (value: number, at: number, length: number) =>
    header.write(`${value.toString(8).padStart(length - 1, '0')}\0`, at, 'latin1')
  header.write(name, 0)
  octal(0o644, 100, 8)
  octal(0, 108, 8)
  octal(0, 116, 8)
  octal(size, 124, 12)
  octal(0, 136, 12)
  header.write('        ', 148, 'latin1')
  header.write('0', 156, 'latin1')
  header.write('ustar\x0000', 257, 'latin1')
  header.write(`${sumOf(header).toString(8).padStart(6, '0')}\0 `, 148, 'latin1')
  return header
}

/** What fills a file's last block. */
export const tarPadding = (size: number): Buffer => Buffer.alloc((BLOCK - (size % BLOCK)) % BLOCK)
/** Two empty blocks say that nothing follows. */
export const TAR_END: Buffer = Buffer.alloc(2 * BLOCK)

const sumOf = (header: Buffer) => {
  let sum = 0
  // The place of the sum itself counts as blanks.
  for (const [at, byte] of header.entries()) sum += at >= 148 && at < 156 ? 0x20 : byte
  return sum
}

/** Not an archive of ours, or not a whole one; its words are for whoever sent it. */
export class BrokenArchive extends Error {}

export interface TarEntry {
  name: string
  size: number
  /** Where its bytes begin. */
  at: number
}

/** An archive on disk. Reads at once, not later: it is read inside a transaction, which may wait for nothing but the store. */
export class TarFile {
  readonly entries: ReadonlyMap<string, TarEntry>
  readonly size: number
  readonly #file: number

  constructor(path: string) {
    this.size = statSync(path).size
    this.#file = openSync(path, 'r')
    try {
      this.entries = this.#walk()
    } catch (problem) {
      closeSync(this.#file)
      throw problem
    }
  }

  close(): void {
    closeSync(this.#file)
  }

  #walk(): Map<string, TarEntry> {
    const found = new Map<string, TarEntry>()
    for (let at = 0; ; ) {
      const header = this.#bytes(at, BLOCK)
      if (header.length < BLOCK) throw new BrokenArchive(say.moving.breaksOff)
      if (header.every((byte) => byte === 0)) return found
      const text = (from: number, length: number) =>
        header.toString('utf8', from, from + length).replace(/\0.*$/s, '')
      if (text(257, 5) !== 'ustar' || Number.parseInt(text(148, 7), 8) !== sumOf(header))
        throw new BrokenArchive(at === 0 ? say.moving.noArchive : say.moving.damaged(text(0, 100)))
      const name = text(0, 100)
      const size = Number.parseInt(text(124, 12), 8)
      if (!Number.isSafeInteger(size) || size < 0 || text(156, 1) !== '0' || found.has(name))
        throw new BrokenArchive(say.moving.notInManifest(name))
      if (at + BLOCK + size > this.size) throw new BrokenArchive(say.moving.breaksOff)
      found.set(name, { name, size, at: at + BLOCK })
      at += BLOCK + size + tarPadding(size).length
    }
  }

  #bytes(at: number, length: number): Buffer {
    const bytes = Buffer.alloc(length)
    let read = 0
    while (read < length) {
      const more = readSync(this.#file, bytes, read, length - read, at + read)
      if (more === 0) break
      read += more
    }
    return bytes.subarray(0, read)
  }

  read(name: string): Buffer {
    const entry = this.entries.get(name)
    if (!entry) throw new BrokenArchive(say.moving.damaged(name))
    return this.#bytes(entry.at, entry.size)
  }
}
