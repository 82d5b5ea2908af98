// Which text do these bytes hold? UTF-8, UTF-16 or an old 8-bit alphabet; or none, and why not.

import { say } from '../words/say.ts'

/** Why a file is no log that can be read; said to whoever sent it. */
export class UnreadableLog extends Error {}

/** A gauge that writes every second fills this in a working day. */
export const LARGEST_LOG = 2 * 1024 * 1024

export function textOf(bytes: Uint8Array): string {
  if (bytes.byteLength === 0) throw new UnreadableLog(say.gaugeLogs.thereIsNothingIn)
  if (bytes.byteLength > LARGEST_LOG) throw tooLarge()
  if (startsWith(bytes, 0x50, 0x4b, 0x03, 0x04) || startsWith(bytes, 0xd0, 0xcf, 0x11, 0xe0))
    throw new UnreadableLog(say.gaugeLogs.thisIsASpreadsheet)
  const text = decoded(bytes)
  // A tab, line ends and a form feed belong to text; the other characters below the blank don't.
  // biome-ignore lint/suspicious/noControlCharactersInRegex: these are what is looked for
  if (/[\x00-\x08\x0b\x0e-\x1a\x1c-\x1f]/.test(text)) throw new UnreadableLog(say.gaugeLogs.thisIsNoText)
  if (text.trim() === '') throw new UnreadableLog(say.gaugeLogs.thereIsNothingBut)
  return text
}

export const tooLarge = () => new UnreadableLog(say.gaugeLogs.logsOfUpTo(LARGEST_LOG / 1024 / 1024))

const startsWith = (bytes: Uint8Array, ...codes: number[]) =>
  codes.every((code, index) => bytes[index] === code)

function decoded(bytes: Uint8Array): string {
  if (startsWith(bytes, 0xff, 0xfe)) return new TextDecoder('utf-16le').decode(bytes)
  if (startsWith(bytes, 0xfe, 0xff)) return new TextDecoder('utf-16be').decode(bytes)
  // UTF-16 without its mark: figures and marks of a log have a zero for their other half.
  const sample = bytes.subarray(0, 2000)
  const zeros = (odd: 0 | 1) => sample.filter((code, index) => index % 2 === odd && code === 0).length
  if (zeros(1) > sample.length * 0.4 && zeros(0) === 0) return new TextDecoder('utf-16le').decode(bytes)
  if (zeros(0) > sample.length * 0.4 && zeros(1) === 0) return new TextDecoder('utf-16be').decode(bytes)
  try {
    return new TextDecoder('utf-8', { fatal: true }).decode(bytes)
  } catch {
    // Nearly every older program that writes "°C" writes it in this one.
    return new TextDecoder('windows-1252').decode(bytes)
  }
}
