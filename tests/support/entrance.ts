// The shortest way through the door: a company registered over HTTP, cookies, and forms as a browser posts them.

import type { FastifyInstance, LightMyRequestResponse } from 'fastify'
import { ORIGIN } from './cast.ts'

export const PASSWORD = 'a long pass phrase'
export const TERN = { name: 'Tern Cooling', ownerName: 'Ida', email: 'ida@tern.example', password: PASSWORD }

/** A form posted by a browser from our own pages. */
export const postForm = (
  server: FastifyInstance,
  url: string,
  fields: Record<string, string>,
  headers: Record<string, string> = {},
): Promise<LightMyRequestResponse> =>
  server.inject({
    method: 'POST',
    url,
    headers: { origin: ORIGIN, 'content-type': 'application/x-www-form-urlencoded', ...headers },
    payload: new URLSearchParams(fields).toString(),
  })

/** The session cookie that an answer sets, as the browser sends it back; empty when it takes it away. */
export function cookieOf(answer: LightMyRequestResponse): string {
  const cookie = answer.cookies.find((one) => one.name === 'jointkeep_session')
  return cookie ? `jointkeep_session=${cookie.value}` : ''
}

export const register = (server: FastifyInstance, raw: object = TERN) =>
  server.inject({ method: 'POST', url: '/api/v1/companies', payload: raw })

export const signIn = (server: FastifyInstance, email: string, password = PASSWORD) =>
  server.inject({ method: 'POST', url: '/api/v1/session', payload: { email, password } })

export const withCookie = (cookie: string) => ({ cookie, origin: ORIGIN })
