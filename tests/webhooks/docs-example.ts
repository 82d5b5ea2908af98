// How does the example in our documentation verify a message? Its code, as it stands there.

import { readFileSync } from 'node:fs'
import { join } from 'node:path'
import { ROOT } from '../../server/root.ts'

export type Verified = (
  headers: Record<string, unknown>,
  rawBody: string,
  secret: string,
  now: number,
) => boolean

export async function exampleOfTheDocs(): Promise<Verified> {
  const code = /```js\n([\s\S]*?)```/.exec(readFileSync(join(ROOT, 'docs/webhooks.md'), 'utf8'))?.[1] ?? ''
  const module = await import(/* @vite-ignore */ `data:text/javascript,${encodeURIComponent(code)}`)
  return module.verified
}
