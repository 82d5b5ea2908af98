// Which addresses does a name lead to at this moment, and may each of them be connected to?

import { lookup } from 'node:dns/promises'
import { isIP, type LookupFunction } from 'node:net'
import { hostOf, mayConnect, type OwnNetworks } from './addresses.ts'

export interface Address {
  address: string
  family: number
}

/** Who is asked what a name means. */
export type BookOfNames = (host: string) => Promise<Address[]>

const inBook: BookOfNames = (host) => lookup(host, { all: true })

/** The addresses that a URL's host has now; null where one of them may not be connected to. */
export async function checkedAddresses(
  url: URL,
  { own, resolve = inBook }: { own: OwnNetworks; resolve?: BookOfNames | undefined },
  signal: AbortSignal,
): Promise<Address[] | null> {
  const host = hostOf(url)
  const family = isIP(host)
  const found =
    family === 0 ? await Promise.race([resolve(host), whenAborted(signal)]) : [{ address: host, family }]
  // One address among them that is not public may be the one that was put there on purpose.
  return found.length > 0 && found.every(({ address }) => mayConnect(url, address, own)) ? found : null
}

/** Connects to what was checked: asked again, the name could say another address. */
export const pinnedTo =
  (found: readonly Address[]): LookupFunction =>
  (_host, options, answer) => {
    const [first] = found
    if (options.all) answer(null, [...found])
    else answer(null, first?.address ?? '', first?.family)
  }

const whenAborted = (signal: AbortSignal): Promise<never> =>
  new Promise((_, reject) => {
    if (signal.aborted) reject(signal.reason)
    signal.addEventListener('abort', () => reject(signal.reason), { once: true })
  })
