// How is a mounted route asked, given its record and one example of what it takes?

import type { FastifyInstance, InjectOptions, LightMyRequestResponse } from 'fastify'
import { Upload } from '../../server/commands/photos/picture.ts'
import type { RouteRecord } from '../../server/http/resource.ts'
import { asBrowser, asProgram, ORIGIN, type Player } from '../support/cast.ts'
import { aForm, type Form } from '../support/pictures.ts'
import { COMMAND_EXAMPLES, type Example, PARAMETERS, QUESTION_EXAMPLES } from './examples.ts'
import type { World } from './world.ts'

export type Way = 'session' | 'token'

export const nameOf = (route: RouteRecord) => `${route.method} ${route.url} (${route.name})`
export const paramsOf = (route: RouteRecord): string[] =>
  [...route.url.matchAll(/:(\w+)/g)].map(([, name]) => name ?? '')

/** One valid request for the route; an error that names the route when there is none. */
export function exampleFor(route: RouteRecord, world: World, now: number): Example {
  const told =
    route.method === 'GET' ? undefined : (COMMAND_EXAMPLES[route.name] ?? QUESTION_EXAMPLES[route.name])
  if (route.method !== 'GET' && !told)
    throw new Error(`${nameOf(route)} has no example in tests/shape/examples.ts.`)
  const example = told?.(world, now) ?? { by: null, input: {} }
  const input = { ...example.input }
  for (const name of paramsOf(route)) {
    if (input[name] !== undefined) continue
    const value = PARAMETERS[name]?.(world)
    if (value === undefined)
      throw new Error(`${nameOf(route)}: tests/shape/examples.ts does not say what :${name} names.`)
    input[name] = value
  }
  return { ...example, input }
}

export interface Asking {
  url: string
  method: RouteRecord['method']
  body: Record<string, unknown> | undefined
}

/** Parameters go into the address, the rest into the body. */
export function askingOf(route: RouteRecord, input: Record<string, unknown>): Asking {
  const body = { ...input }
  const url = route.url.replaceAll(/:(\w+)/g, (_, name: string) => {
    const value = String(body[name])
    delete body[name]
    return encodeURIComponent(value)
  })
  return { url, method: route.method, body: route.method === 'GET' ? undefined : body }
}

export function ask(
  server: FastifyInstance,
  route: RouteRecord,
  input: Record<string, unknown>,
  player: Player | null,
  way: Way = 'session',
): Promise<LightMyRequestResponse> {
  const { url, method, body } = askingOf(route, input)
  const headers =
    player === null
      ? route.face === 'page' && method !== 'GET'
        ? { origin: ORIGIN }
        : {}
      : way === 'session'
        ? asBrowser(player)
        : asProgram(player)
  const request: InjectOptions = { method, url, headers, remoteAddress: someAddress() }
  if (body === undefined) return server.inject(request)
  const form = asForm(body)
  if (form) return server.inject({ ...request, ...form, headers: { ...headers, ...form.headers } })
  if (route.face === 'json') return server.inject({ ...request, payload: body })
  return server.inject({
    ...request,
    headers: { ...headers, 'content-type': 'application/x-www-form-urlencoded' },
    payload: new URLSearchParams(fieldsOf(body)).toString(),
  })
}

/** A request with a file in it goes as a form with a file; null for any other. */
export function asForm(body: Record<string, unknown>): Form | null {
  const file = Object.entries(body).find(([, value]) => value instanceof Upload)
  if (!file) return null
  const { [file[0]]: upload, ...fields } = body
  const texts = Object.entries(fields).map(([name, value]) => [name, textIn(value)])
  return aForm(Object.fromEntries(texts), { name: file[0], bytes: (upload as Upload).bytes })
}

/** In a form everything is a text; what is none is written as JSON, which no field takes for what it is. */
const textIn = (value: unknown): string => (typeof value === 'string' ? value : JSON.stringify(value))

/** A form's fields: dotted names, with the mark that says what a plain text is to be read as. */
function fieldsOf(value: unknown, path = ''): Record<string, string> {
  if (typeof value !== 'object' || value === null) {
    if (path.endsWith('.value')) return { [path]: String(value) }
    if (typeof value === 'number') return { [`${path}#`]: String(value) }
    if (typeof value === 'boolean') return { [`${path}?`]: value ? 'yes' : 'no' }
    return { [path]: String(value) }
  }
  return Object.assign(
    {},
    ...Object.entries(value).map(([name, inner]) => fieldsOf(inner, path === '' ? name : `${path}.${name}`)),
  )
}

/** Tries are limited by address; these requests come from as many places as there are requests. */
let asked = 0
function someAddress(): string {
  asked += 1
  return `10.${(asked >> 16) & 255}.${(asked >> 8) & 255}.${asked & 255}`
}
