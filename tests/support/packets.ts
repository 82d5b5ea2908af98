// What does a claim packet hold, as another program unpacks it, and does it hold together?

import { createHash, createPublicKey, verify } from 'node:crypto'
import { unzipSync } from 'fflate'
import { readPdf } from './pdf.ts'

export interface Unpacked {
  files: Map<string, Buffer>
  text(path: string): string
  // biome-ignore lint/suspicious/noExplicitAny: read as any other program would read it
  manifest: any
}

export function unpack(zip: Buffer): Unpacked {
  const files = new Map(
    Object.entries(unzipSync(new Uint8Array(zip))).map(([path, bytes]) => [path, Buffer.from(bytes)]),
  )
  const text = (path: string) => files.get(path)?.toString('utf8') ?? ''
  return { files, text, manifest: JSON.parse(text('manifest.json')) }
}

const sha256 = (bytes: Buffer | string) => createHash('sha256').update(bytes).digest('hex')

/** Everything that does not agree, each in words: hashes, sizes, lists, the signature, the chain. */
export function faultsOf({ files, text, manifest }: Unpacked): string[] {
  const faults: string[] = []
  const listed = new Set<string>(['manifest.json', 'manifest.signature.json'])
  for (const { path, bytes, sha256: hash } of manifest.files) {
    listed.add(path)
    const file = files.get(path)
    if (!file) faults.push(`${path} is missing`)
    else if (file.byteLength !== bytes || sha256(file) !== hash) faults.push(`${path} is another one`)
  }
  for (const path of files.keys()) if (!listed.has(path)) faults.push(`${path} is in no list`)
  const sums = text('SHA256SUMS.txt').trimEnd().split('\n')
  for (const line of sums) {
    const [hash, path = ''] = line.split('  ')
    if (sha256(files.get(path) ?? '') !== hash) faults.push(`${path} is not what its sum says`)
  }
  if (sums.length !== files.size - 3) faults.push('the list of sums leaves something out')

  const signature = JSON.parse(text('manifest.signature.json'))
  const header = JSON.parse(Buffer.from(signature.protected, 'base64url').toString())
  const { keys } = JSON.parse(text('keys.json'))
  const key = keys.find(({ kid }: { kid: string }) => kid === header.kid)
  if (Buffer.from(signature.payload, 'base64url').toString() !== text('manifest.json'))
    faults.push('the signature is over another manifest')
  const signed = Buffer.from(`${signature.protected}.${signature.payload}`)
  if (
    !verify(
      null,
      signed,
      createPublicKey({ key, format: 'jwk' }),
      Buffer.from(signature.signature, 'base64url'),
    )
  )
    faults.push('the signature does not hold')

  let previous = '0'.repeat(64)
  for (const line of text('chain.jsonl').trimEnd().split('\n')) {
    const entry = JSON.parse(line)
    if (entry.previousHash !== previous) faults.push(`entry ${entry.number} does not follow`)
    if (entry.content !== null && sha256(entry.previousHash + entry.content) !== entry.hash)
      faults.push(`entry ${entry.number} was changed`)
    previous = entry.hash
  }
  if (manifest.chain.head.hash !== previous) faults.push('the chain ends elsewhere')
  return faults
}

/** Whatever can be read in a packet, file by file: names, text, the text and the properties of PDFs, what was signed. */
export async function everythingIn({ files }: Unpacked): Promise<Map<string, string>> {
  const read = new Map<string, string>()
  for (const [path, bytes] of files) {
    const parts = [path, bytes.toString('latin1'), bytes.toString('utf8')]
    if (path.endsWith('.pdf')) {
      const pdf = await readPdf(bytes)
      parts.push(...pdf.text, JSON.stringify([...pdf.properties]), JSON.stringify(pdf.tags))
      for (const attached of Object.values(pdf.attachments))
        parts.push(Buffer.from(JSON.parse(attached.toString()).payload, 'base64url').toString())
      await pdf.close()
    }
    if (path.startsWith('certificates/') && path.endsWith('.json'))
      parts.push(Buffer.from(JSON.parse(bytes.toString()).payload, 'base64url').toString())
    if (path === 'manifest.signature.json')
      parts.push(Buffer.from(JSON.parse(bytes.toString()).payload, 'base64url').toString())
    read.set(path, parts.join('\n').normalize('NFC').toLowerCase())
  }
  return read
}
