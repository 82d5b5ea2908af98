// How does somebody check a certificate without us? One page that is a file of its own, with our public keys inside.

import { createHash } from 'node:crypto'
import { readFileSync } from 'node:fs'
import { join } from 'node:path'
import { offlineCheckPage } from '../../views/certificates/offline-check.tsx'
import { offlineWords } from '../certificate/offline-words.ts'
import type { PublicKey } from '../certificate/signer.ts'
import { ROOT } from '../root.ts'
import { languageNow } from '../words/say.ts'

const asset = (name: string) => readFileSync(join(ROOT, 'views', 'assets', name), 'utf8')

let parts: { style: string; scripts: string[]; policy: string } | null = null

/** Read once: they change only with the program. */
function partsOfPage() {
  if (parts) return parts
  const style = asset('jointkeep.css')
  const scripts = [asset('pdf-copy.js'), asset('offline-check.js')]
  for (const text of [style, ...scripts])
    if (/<\/(script|style)/i.test(text))
      throw new Error('A part of the page would end the element it stands in.')
  const hashed = (text: string) => `'sha256-${createHash('sha256').update(text).digest('base64')}'`
  // Its own script and style, letter by letter, and nothing from anywhere: it could not send what it is given if it wanted to.
  const policy = [
    "default-src 'none'",
    `script-src ${scripts.map(hashed).join(' ')}`,
    `style-src ${hashed(style)}`,
    'img-src data:',
    "base-uri 'none'",
    "form-action 'none'",
  ].join('; ')
  parts = { style, scripts, policy }
  return parts
}

export interface OfflineCheck {
  content: string
  /** As a header, where it is looked at in place. */
  policy: string
}

export function offlineCheck({
  keys,
  publicUrl,
  now,
}: {
  keys: readonly PublicKey[]
  publicUrl: string
  now: number
}): OfflineCheck {
  const { style, scripts, policy } = partsOfPage()
  const words = offlineWords()
  return {
    policy: `${policy}; frame-ancestors 'none'`,
    content: offlineCheckPage({
      language: languageNow(),
      words,
      madeBy: words.madeBy
        .replace('{day}', new Date(now).toISOString().slice(0, 10))
        .replace('{server}', publicUrl),
      data: { words: JSON.stringify(words), keys: JSON.stringify({ keys }) },
      style,
      scripts,
      policy,
    }),
  }
}
