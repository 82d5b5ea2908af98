// How does a browser under test have passkeys? By an authenticator that it carries inside, or by one in software.

import type { BrowserContext, Page } from 'playwright-core'
import { SoftPasskey } from './passkey.ts'

/** The build of Chromium 140 for tests falls over when it is asked to make a passkey; later ones were seen to do it. */
const FALLS_OVER = 140

/** Its owner is there, and lets it read their finger. Call it before the first page is opened. */
export async function carryAuthenticator(context: BrowserContext, page: Page, origin: string): Promise<void> {
  const major = Number.parseInt(context.browser()?.version() ?? '', 10)
  if (major <= FALLS_OVER) return standInFor(page, origin)
  const devtools = await context.newCDPSession(page)
  await devtools.send('WebAuthn.enable')
  await devtools.send('WebAuthn.addVirtualAuthenticator', {
    options: {
      protocol: 'ctap2',
      transport: 'internal',
      hasResidentKey: true,
      hasUserVerification: true,
      isUserVerified: true,
      automaticPresenceSimulation: true,
    },
  })
}

/** What the page asks goes to a passkey in software, which knows one owner; all else is as in the browser. */
async function standInFor(page: Page, origin: string): Promise<void> {
  let kept: { passkey: SoftPasskey; owner: string } | null = null
  await page.exposeFunction('makePasskey', (challenge: string, owner: string) => {
    kept = { passkey: new SoftPasskey(), owner }
    return kept.passkey.made({ challenge, origin })
  })
  await page.exposeFunction('askPasskey', (challenge: string) =>
    kept ? kept.passkey.answers({ challenge, origin, userHandle: kept.owner }) : null,
  )
  await page.addInitScript(IN_THE_PAGE)
}

const IN_THE_PAGE = `
  const text = (bytes) => btoa(String.fromCharCode(...new Uint8Array(bytes)))
    .replaceAll('+', '-').replaceAll('/', '_').replaceAll('=', '')
  const bytes = (text) => Uint8Array.from(atob(text.replaceAll('-', '+').replaceAll('_', '/')), (c) => c.charCodeAt(0)).buffer
  const asBrowser = ({ id, response: { transports, ...parts } }) => ({
    id,
    response: {
      ...Object.fromEntries(Object.entries(parts).map(([name, value]) => [name, bytes(value)])),
      getTransports: () => transports,
    },
  })
  navigator.credentials.create = async ({ publicKey }) =>
    asBrowser(await makePasskey(text(publicKey.challenge), text(publicKey.user.id)))
  navigator.credentials.get = async ({ publicKey }) => {
    const answer = await askPasskey(text(publicKey.challenge))
    if (answer === null) throw new DOMException('None here.', 'NotAllowedError')
    return asBrowser(answer)
  }
`
