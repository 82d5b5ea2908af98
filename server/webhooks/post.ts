// How is one message posted? To an address that was checked, without following anybody anywhere, in fifteen seconds.

import { request as httpRequest, type IncomingMessage } from 'node:http'
import { request as httpsRequest } from 'node:https'
import { faultOf, type OwnNetworks } from '../outgoing/addresses.ts'
import { type BookOfNames, checkedAddresses, pinnedTo } from '../outgoing/checked-addresses.ts'

export const TIMEOUT_MS = 15_000
/** What is kept of an answer, to see what the receiver said. */
const ANSWER_LENGTH = 300
/** More than this of an answer is not even read. */
const ANSWER_BYTES = 4096

/** Why there was no answer, as the log keeps it. */
export type PostProblem =
  | 'timed-out'
  | 'name-unknown'
  | 'address-refused'
  | 'not-trusted'
  | 'not-reached'
  | 'secret-unreadable'

export interface Posted {
  /** Null where nothing was answered; then `problem` says why. */
  status: number | null
  problem: PostProblem | null
  answer: string | null
  /** What the receiver asked for by Retry-After. */
  retryAfterMs: number | null
}

export interface ToPost {
  url: string
  headers: Record<string, string>
  body: string
}

export interface HowToPost {
  own: OwnNetworks
  signal: AbortSignal
  now(): number
  /** Another book of names, for tests. */
  resolve?: BookOfNames | undefined
  timeoutMs?: number
}

/** Whoever stops the service stops this with it; that is no failure of the receiver. */
export class Interrupted extends Error {}

export async function post(message: ToPost, how: HowToPost): Promise<Posted> {
  const timeout = AbortSignal.timeout(how.timeoutMs ?? TIMEOUT_MS)
  const signal = AbortSignal.any([timeout, how.signal])
  try {
    return await attempt(message, how, signal)
  } catch (problem) {
    if (how.signal.aborted) throw new Interrupted()
    return failed(timeout.aborted ? 'timed-out' : problemOf(problem))
  }
}

async function attempt({ url: written, headers, body }: ToPost, how: HowToPost, signal: AbortSignal) {
  if (faultOf(written, how.own) !== null) return failed('address-refused')
  const url = new URL(written)
  const found = await checkedAddresses(url, how, signal)
  if (found === null) return failed('address-refused')
  const bytes = Buffer.from(body, 'utf8')
  return new Promise<Posted>((resolve, reject) => {
    const request = (url.protocol === 'https:' ? httpsRequest : httpRequest)(url, {
      method: 'POST',
      headers: { ...headers, 'content-length': bytes.length, 'user-agent': 'Jointkeep', accept: '*/*' },
      // A connection of its own each time, to the addresses just checked: asked again, the name could say another one.
      agent: false,
      lookup: pinnedTo(found),
      signal,
    })
    request.on('error', reject)
    request.on('response', (response) => {
      const { statusCode: status = 0 } = response
      const retryAfterMs = retryAfterOf(response.headers['retry-after'], how.now())
      // The status decides; an answer whose end does not come in time changes nothing about it.
      void beginningOf(response).then((answer) => {
        request.destroy()
        resolve({ status, problem: null, answer, retryAfterMs })
      })
    })
    request.end(bytes)
  })
}

function beginningOf(response: IncomingMessage): Promise<string | null> {
  return new Promise((resolve) => {
    const parts: Buffer[] = []
    let length = 0
    const done = () => resolve(readable(Buffer.concat(parts)))
    response.on('data', (part: Buffer) => {
      parts.push(part)
      length += part.length
      if (length >= ANSWER_BYTES) done()
    })
    for (const event of ['end', 'close', 'error']) response.on(event, done)
  })
}

/** As text that can be kept and shown: what is no character is left out. */
function readable(bytes: Buffer): string | null {
  const text = bytes
    .toString('utf8')
    .replaceAll(/[\p{Cc}\p{Cf}\p{Co}\p{Cn}\ufffd]+/gu, ' ')
    .trim()
  return text === '' ? null : [...text].slice(0, ANSWER_LENGTH).join('')
}

/** RFC 9110, 10.2.3: seconds, or a date. */
function retryAfterOf(header: string | undefined, now: number): number | null {
  if (header === undefined) return null
  const ms = /^\d{1,9}$/.test(header) ? Number(header) * 1000 : Date.parse(header) - now
  return Number.isFinite(ms) && ms > 0 ? ms : null
}

const failed = (problem: PostProblem): Posted => ({ status: null, problem, answer: null, retryAfterMs: null })

function problemOf(problem: unknown): PostProblem {
  const code = String((problem as { code?: unknown }).code ?? '')
  if (/^(ENOTFOUND|EAI_|ENODATA)/.test(code)) return 'name-unknown'
  if (/CERT|TLS|SSL|SELF_SIGNED|UNABLE_TO|HOSTNAME_MISMATCH/.test(code)) return 'not-trusted'
  return 'not-reached'
}
