// What does the file say that explains a claim packet to whoever unpacks it?

import { moment } from '../../rules/wording.ts'
import { say } from '../../words/say.ts'
import type { PacketFile } from './packet.ts'
import { stateWords } from './report.ts'

const WIDTH = 96

export function readme(about: {
  system: string
  company: string
  madeAt: number
  madeBy: string
  files: readonly PacketFile[]
  notIn: readonly string[]
}): string {
  const states: Record<string, string> = stateWords()
  const photos = about.files.filter(({ path }) => path.startsWith('photos/'))
  const others = about.files.filter((file) => !photos.includes(file))
  const lines = [
    say.claims.readmeTitle(about.system, about.company),
    say.claims.readmeMade(moment(about.madeAt), about.madeBy),
    say.claims.readmeSays,
    '',
    say.claims.readmeFiles,
    ...others.flatMap(({ path, says, state }) =>
      told(path, state === undefined ? says : `${says} (${states[state] ?? state})`),
    ),
    ...(photos.length > 0 ? told(`photos/ (${photos.length})`, say.claims.filePhotos) : []),
    ...told('SHA256SUMS.txt', say.claims.fileSums),
    ...told('manifest.json', say.claims.fileManifest),
    ...told('manifest.signature.json', say.claims.fileSignature),
    '',
    say.claims.readmeCheck,
    ...[
      say.claims.readmeHashes,
      say.claims.readmeSignature,
      ...(others.some(({ state }) => state !== undefined) ? [say.claims.readmeCertificates] : []),
      say.claims.readmeChain,
      say.claims.readmeKeys,
    ].flatMap((text) => [...wrapped(text, '- ', '  ')]),
    '',
    say.claims.whatIsNotIn.toUpperCase(),
    ...about.notIn.flatMap((text) => wrapped(text, '- ', '  ')),
  ]
  // As the most widespread editors want it.
  return `${lines.join('\r\n')}\r\n`
}

const told = (path: string, says: string) => [path, ...wrapped(says, '    ', '    ')]

function wrapped(text: string, first: string, others: string): string[] {
  const lines: string[] = []
  let line = first
  let isEmpty = true
  for (const word of text.split(' ')) {
    if (!isEmpty && line.length + 1 + word.length > WIDTH) {
      lines.push(line)
      line = others
      isEmpty = true
    }
    line += isEmpty ? word : ` ${word}`
    isEmpty = false
  }
  return [...lines, line]
}
