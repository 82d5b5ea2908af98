// How is a provider asked? At addresses that were checked, without following anybody, for a short answer within ten seconds.

import { request as httpRequest } from 'node:http'
import { request as httpsRequest } from 'node:https'
import type { CustomFetch } from 'openid-client'
import { faultOf, type OwnNetworks } from '../outgoing/addresses.ts'
import { checkedAddresses, pinnedTo } from '../outgoing/checked-addresses.ts'

export const TIMEOUT_S = 10
/** Keys and claims are a few kilobytes. */
const MOST_BYTES = 512 * 1024

/** The address may not be asked: it is not public, or not what a provider stands at. */
export class AddressRefused extends Error {}

/** As the platform's own, for the library that speaks to providers. */
export function checkedFetch(own: OwnNetworks): CustomFetch {
  return async (written, { method, headers, body, signal: given }) => {
    const url = new URL(written)
    if (faultOf(written, own) !== null) throw new AddressRefused()
    const timeout = AbortSignal.timeout(TIMEOUT_S * 1000)
    const signal = given ? AbortSignal.any([timeout, given]) : timeout
    const found = await checkedAddresses(url, { own }, signal)
    if (found === null) throw new AddressRefused()
    const bytes = body === undefined || body === null ? null : Buffer.from(String(body), 'utf8')
    return new Promise<Response>((resolve, reject) => {
      const request = (url.protocol === 'https:' ? httpsRequest : httpRequest)(url, {
        method,
        headers: { ...headers, ...(bytes ? { 'content-length': String(bytes.length) } : {}) },
        agent: false,
        lookup: pinnedTo(found),
        signal,
      })
      request.on('error', reject)
      request.on('response', (answer) => {
        const parts: Buffer[] = []
        let length = 0
        answer.on('data', (part: Buffer) => {
          length += part.length
          if (length > MOST_BYTES) request.destroy(new Error('The answer is too long.'))
          else parts.push(part)
        })
        answer.on('error', reject)
        answer.on('end', () => {
          const sent = new Headers()
          for (const [name, value] of Object.entries(answer.headers))
            if (typeof value === 'string') sent.set(name, value)
          const status = answer.statusCode ?? 502
          const isEmpty = status === 204 || status === 304
          resolve(new Response(isEmpty ? null : Buffer.concat(parts), { status, headers: sent }))
        })
      })
      request.end(bytes)
    })
  }
}
