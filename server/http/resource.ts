// How does one resource carry both faces? Reads and commands are mounted as a page and as JSON, side by side.

import type { Readable } from 'node:stream'
import type { FastifyInstance, FastifyReply, FastifyRequest } from 'fastify'
import type { VNode } from 'preact'
import { z } from 'zod'
import { renderPage } from '../../views/layout.tsx'
import type { FormState } from '../../views/parts/field.tsx'
import { RefusedPage } from '../../views/refused.tsx'
import type { Actor } from '../access/actor.ts'
import { type Capability, may } from '../access/capabilities.ts'
import {
  type Command,
  type PublicCommand,
  parse,
  runCommand,
  runPublicCommand,
  type Visit,
} from '../commands/command.ts'
import { sha256 } from '../ids.ts'
import { forbidden, malformedField, Refusal, signedOut } from '../refusals.ts'
import { type Scope, scopeOf } from '../store/store.ts'
import { OutsideValidity } from '../trade/validity.ts'
import { say } from '../words/say.ts'
import type { Deps } from './deps.ts'
import { expand, type Fields } from './form.ts'
import { type Identity, identify } from './identify.ts'
import { refusalOf, sendProblem, titleOf } from './problem.ts'
import { shellOf } from './shell.ts'
import { readUpload } from './upload.ts'
import { zoneOf } from './zone.ts'

export const API = '/api/v1'

/** What a handler of a signed-in member's request gets. */
export interface Ask {
  deps: Deps
  actor: Actor
  scope: Scope
  params: Record<string, string>
  query: Record<string, string>
  now: number
}

/** The same before anybody is known to be a member. */
export interface PublicAsk {
  deps: Deps
  identity: Identity
  params: Record<string, string>
  query: Record<string, string>
  now: number
  request: FastifyRequest
  reply: FastifyReply
}

/** One mounted route, for the reference, and for the tests that walk them all. */
export interface RouteRecord {
  method: 'GET' | 'POST' | 'PUT' | 'PATCH' | 'DELETE'
  url: string
  face: 'page' | 'json'
  /** The command, or what is read. */
  name: string
  summary: string
  /** Null where nobody needs to be signed in. */
  capability: Capability | null
  input: z.ZodType | null
  query: z.ZodType | null
  status: number
  /** Where the body is a bare array: the name that the command knows it by. */
  wraps: string | null
  /** The media type of what comes back, where it is not JSON. */
  produces?: string
  /** The field that is a file, sent as multipart/form-data. */
  upload?: string
}

/** Something to keep rather than to look at. */
export interface FileAnswer {
  content: string | Buffer | Readable
  /** Of a stream, where it is known: then whoever waits sees how far it is. */
  bytes?: number
  /** As it is called when it is kept; left out, it is shown in place. */
  fileName?: string
  /** Where it is another one than the route says, by what is in it. */
  mediaType?: string
  /** What a page that is a file of its own may do, instead of what pages of the service may. */
  policy?: string
  /** What never changes may stay in the reader's own cache: what it is known by, and for how many seconds. */
  keep?: { tag: string; seconds: number }
}

export interface ReadOptions<Data> {
  /** Under both faces the same: `/jobs/:jobId`. */
  path: string
  name: string
  summary: string
  capability?: Capability
  query?: z.ZodType
  load(ask: Ask): Promise<Data>
  json?(data: Data, ask: Ask): unknown
  /** A page, or an address to go to instead. */
  page?(data: Data, ask: Ask): VNode | string | Promise<VNode | string>
  /** A file instead, under both faces the same; where there is JSON too, as the page. */
  file?: {
    mediaType: string
    /** Where browsers fetch it, when a page stands at the path itself. */
    path?: string
    /** That it is made goes on record: nobody makes it by asking for its head alone. */
    noted?: true
    make(data: Data, ask: Ask): FileAnswer | Promise<FileAnswer>
  }
}

export interface WriteOptions<Schema extends z.ZodType, Result> {
  method?: 'POST' | 'PUT' | 'PATCH' | 'DELETE'
  path: string
  command: Command<Schema, Result>
  /** 201 where something comes to be. */
  status?: 200 | 201
  /** Where the body may be a bare array: the name that the command knows it by. */
  wraps?: string
  /** The field that is a file; the request is then multipart/form-data. */
  upload?: string
  json?: false | ((result: Result, ask: Ask) => unknown)
  page?: {
    /** Where forms post to, when it is not the path itself (forms know only GET and POST). */
    path?: string
    /** What the fields mean, when dotted names do not say it all. */
    input?(fields: Fields, ask: Ask): unknown
    /** Where to go when it is done; or the page itself, for what is shown only once. */
    goTo(result: Result, ask: Ask): string | VNode
    /** The page with the form, filled in as it was, when it is refused. */
    again?(form: FormState, refusal: Refusal, ask: Ask): Promise<VNode>
  }
}

export interface PublicReadOptions<Data> {
  path: string
  name: string
  summary: string
  load(ask: PublicAsk): Promise<Data>
  json?(data: Data, ask: PublicAsk): unknown
  /** A page, or an address to go to instead. */
  page?(data: Data, ask: PublicAsk): VNode | string | Promise<VNode | string>
  /** Of the page, where it is not 200. */
  status?(data: Data): number
  /** A file at the path itself, for what has its place by a standard. */
  file?: { mediaType: string; make(data: Data, ask: PublicAsk): FileAnswer | Promise<FileAnswer> }
  /** Route options of the rate limiter. */
  rateLimit?: { max: number; timeWindow: string }
}

/** Something worked out from what is sent, for members: no record is touched, so nothing is kept of it. */
export interface ComputeOptions<Schema extends z.ZodType, Answer> {
  path: string
  name: string
  summary: string
  capability?: Capability
  input: Schema
  /** What the arithmetic refuses (`OutsideValidity`) is answered as malformed. */
  compute(input: z.output<Schema>, ask: Ask): Answer | Promise<Answer>
  json(answer: Answer, ask: Ask): unknown
  page?: {
    /** Where it stands as a page, when it is not the path itself. */
    path?: string
    /** What the fields mean, when dotted names do not say it all. */
    input?(fields: Fields, ask: Ask): unknown
    /** The form; with an answer once there is one. */
    show(form: FormState, answer: Answer | null, ask: Ask, refusal?: Refusal): VNode | Promise<VNode>
  }
}

/** A question too long for an address: asked by POST, and nothing is written. */
export interface PublicQuestionOptions<Schema extends z.ZodType, Data> {
  path: string
  name: string
  summary: string
  input: Schema
  rateLimit?: { max: number; timeWindow: string }
  load(input: z.output<Schema>, ask: PublicAsk): Promise<Data>
  json(data: Data, ask: PublicAsk): unknown
  page?: {
    answer(data: Data, ask: PublicAsk): VNode | Promise<VNode>
    again(form: FormState, refusal: Refusal, ask: PublicAsk): VNode | Promise<VNode>
  }
}

/** What is answered when it is not done yet: there is a step in between. */
export interface Instead {
  status: number
  json: unknown
  page: VNode
}

export interface PublicWriteOptions<Schema extends z.ZodType, Result> {
  path: string
  method?: 'POST' | 'PATCH' | 'DELETE'
  command: PublicCommand<Schema, Result>
  status?: 200 | 201
  /** Route options of the rate limiter. */
  rateLimit?: { max: number; timeWindow: string }
  /** Cookies are set here, after the command and before the answer. */
  after?(result: Result, ask: PublicAsk): Promise<Instead | undefined>
  json?: false | ((result: Result, ask: PublicAsk) => unknown)
  page?: {
    path?: string
    /** Where to go when it is done; or the page itself, for what is shown only once. */
    goTo(result: Result, ask: PublicAsk): string | VNode
    again(form: FormState, refusal: Refusal, ask: PublicAsk): Promise<VNode>
  }
}

export interface Resource {
  read<Data>(options: ReadOptions<Data>): void
  write<Schema extends z.ZodType, Result>(options: WriteOptions<Schema, Result>): void
  compute<Schema extends z.ZodType, Answer>(options: ComputeOptions<Schema, Answer>): void
  publicRead<Data>(options: PublicReadOptions<Data>): void
  publicWrite<Schema extends z.ZodType, Result>(options: PublicWriteOptions<Schema, Result>): void
  publicQuestion<Schema extends z.ZodType, Data>(options: PublicQuestionOptions<Schema, Data>): void
}

export function resource(app: FastifyInstance, deps: Deps, routes: RouteRecord[]): Resource {
  return {
    read(options) {
      const record = {
        method: 'GET' as const,
        name: options.name,
        summary: options.summary,
        capability: options.capability ?? ('read' as const),
        input: null,
        query: options.query ?? null,
        status: 200,
        wraps: null,
      }
      const load = async (request: FastifyRequest) => {
        const ask = await askOf(deps, request, record.capability)
        if (!ask.actor.scopes.includes('read'))
          throw forbidden(say.refusals.thisTokenMayOnly, 'token-write-only')
        if (options.query) ask.query = parse(options.query, ask.query) as Record<string, string>
        return { ask, data: await options.load(ask) }
      }
      const { json, page } = options
      if (json) {
        routes.push({ ...record, url: API + options.path, face: 'json' })
        app.get(API + options.path, async (request) => {
          const { ask, data } = await load(request)
          return json(data, ask)
        })
      }
      if (page) {
        routes.push({ ...record, url: options.path, face: 'page' })
        app.get(options.path, (request, reply) =>
          asPage(deps, request, reply, async () => {
            const { ask, data } = await load(request)
            const answer = await page(data, ask)
            return typeof answer === 'string' ? reply.redirect(answer, 303) : sendPage(reply, 200, answer)
          }),
        )
      }
      const { file } = options
      if (file) {
        const send = async (request: FastifyRequest, reply: FastifyReply) => {
          const { ask, data } = await load(request)
          const answer = await file.make(data, ask)
          return sendFile(reply, answer.mediaType ?? file.mediaType, answer)
        }
        if (!json) {
          routes.push({ ...record, url: API + options.path, face: 'json', produces: file.mediaType })
          app.get(API + options.path, { exposeHeadRoute: file.noted !== true }, send)
        }
        const url = file.path ?? options.path
        routes.push({ ...record, url, face: 'page', produces: file.mediaType })
        app.get(url, { exposeHeadRoute: file.noted !== true }, (request, reply) =>
          asPage(deps, request, reply, () => send(request, reply)),
        )
      }
    },

    write(options) {
      const { command, page } = options
      const method = options.method ?? 'POST'
      const status = options.status ?? 200
      const record = {
        name: command.name,
        summary: command.summary,
        capability: command.capability,
        input: command.input,
        query: null,
        wraps: options.wraps ?? null,
        ...(options.upload === undefined ? {} : { upload: options.upload }),
      }
      const config = options.upload === undefined ? {} : { takesFile: true }
      if (options.json !== false) {
        const toJson = options.json
        routes.push({ ...record, method, url: API + options.path, face: 'json', status })
        app.route({
          method,
          url: API + options.path,
          config,
          handler: async (request, reply) => {
            const ask = await askOf(deps, request, command.capability)
            const sent = await readUpload(request, options.upload)
            if (sent?.refused) throw sent.refused
            const raw = sent
              ? { ...sent.fields, ...sent.files, ...ask.params }
              : rawInput(request, options.wraps)
            const done = await runCommand(deps.machinery, command, raw, {
              actor: ask.actor,
              idempotencyKey: idempotencyKey(request),
              deviceAt: deviceAt(request, sent?.fields),
              enteredAt: enteredAt(request),
            })
            reply.code(done.repeated ? 200 : status)
            return toJson ? toJson(done.result, ask) : (done.result ?? {})
          },
        })
      }
      if (page) {
        const url = page.path ?? options.path
        routes.push({ ...record, method: 'POST', url, face: 'page', status: 303 })
        app.post(url, { config }, (request, reply) =>
          asPage(deps, request, reply, async () => {
            const ask = await askOf(deps, request, command.capability)
            const sent = await readUpload(request, options.upload)
            const fields = sent?.fields ?? fieldsOf(request)
            const raw = {
              ...asObject(page.input?.(fields, ask) ?? expand(fields)),
              ...sent?.files,
              ...ask.params,
            }
            try {
              if (sent?.refused) throw sent.refused
              const done = await runCommand(deps.machinery, command, raw, {
                actor: ask.actor,
                // For forms that create no named thing: the same page sent twice is one write.
                idempotencyKey: fields._key || undefined,
                deviceAt: deviceAt(request, fields),
                enteredAt: enteredAt(request),
              })
              const answer = page.goTo(done.result, ask)
              if (typeof answer === 'string' && asksForJson(request))
                return reply.code(done.repeated ? 200 : status).send({ location: answer })
              return typeof answer === 'string' ? reply.redirect(answer, 303) : sendPage(reply, 200, answer)
            } catch (problem) {
              const refusal = refusalOf(problem)
              if (!page.again || refusal.status >= 500 || refusal.kind === 'missing') throw problem
              if (asksForJson(request)) throw problem
              return sendPage(reply, refusal.status, await page.again(formOf(fields, refusal), refusal, ask))
            }
          }),
        )
      }
    },

    compute(options) {
      const { page } = options
      const record = {
        name: options.name,
        summary: options.summary,
        capability: options.capability ?? ('use-own' as const),
        query: null,
        status: 200,
        wraps: null,
      }
      const work = async (raw: unknown, ask: Ask) => {
        const input = parse(options.input, raw)
        try {
          return await options.compute(input, ask)
        } catch (problem) {
          if (problem instanceof OutsideValidity) throw malformedField('', `${capital(problem.message)}.`)
          throw problem
        }
      }
      routes.push({ ...record, method: 'POST', input: options.input, url: API + options.path, face: 'json' })
      app.post(API + options.path, async (request) => {
        const ask = await askOf(deps, request, record.capability)
        return options.json(await work(rawInput(request), ask), ask)
      })
      if (page) {
        const url = page.path ?? options.path
        // Asked by GET, so that an address carries its figures and can be sent to somebody else.
        const answer = (request: FastifyRequest, reply: FastifyReply) =>
          asPage(deps, request, reply, async () => {
            const ask = await askOf(deps, request, record.capability)
            const fields: Fields = ask.query
            if (Object.keys(fields).length === 0)
              return sendPage(reply, 200, await page.show(EMPTY_FORM, null, ask))
            const form = { values: fields, errors: [] }
            try {
              const raw = (await page.input?.(fields, ask)) ?? expand(fields)
              return sendPage(reply, 200, await page.show(form, await work(raw, ask), ask))
            } catch (problem) {
              const refusal = refusalOf(problem)
              if (refusal.status >= 500) throw problem
              const again = await page.show(formOf(fields, refusal), null, ask, refusal)
              return sendPage(reply, refusal.status, again)
            }
          })
        routes.push({ ...record, method: 'GET', input: null, url, face: 'page' })
        app.get(url, (request, reply) => answer(request, reply))
      }
    },

    publicRead(options) {
      const record = {
        method: 'GET' as const,
        name: options.name,
        summary: options.summary,
        capability: null,
        input: null,
        query: null,
        status: 200,
        wraps: null,
      }
      const { json, page, file } = options
      const config = options.rateLimit ? { rateLimit: options.rateLimit } : {}
      if (json) {
        routes.push({ ...record, url: API + options.path, face: 'json' })
        app.get(API + options.path, { config }, async (request, reply) => {
          const ask = await publicAskOf(deps, request, reply)
          return json(await options.load(ask), ask)
        })
      }
      if (page) {
        routes.push({ ...record, url: options.path, face: 'page' })
        app.get(options.path, { config }, (request, reply) =>
          asPage(deps, request, reply, async () => {
            const ask = await publicAskOf(deps, request, reply)
            const data = await options.load(ask)
            const answer = await page(data, ask)
            if (typeof answer === 'string') return reply.redirect(answer, 303)
            return sendPage(reply, options.status?.(data) ?? 200, answer)
          }),
        )
      }
      if (file) {
        routes.push({ ...record, url: options.path, face: 'page', produces: file.mediaType })
        app.get(options.path, { config }, async (request, reply) => {
          const ask = await publicAskOf(deps, request, reply)
          return sendFile(reply, file.mediaType, await file.make(await options.load(ask), ask))
        })
      }
    },

    publicWrite(options) {
      const { command, page } = options
      const method = options.method ?? 'POST'
      const status = options.status ?? 200
      const record = {
        name: command.name,
        summary: command.summary,
        capability: null,
        input: command.input,
        query: null,
        wraps: null,
      }
      const config = options.rateLimit ? { rateLimit: options.rateLimit } : {}
      if (options.json !== false) {
        const toJson = options.json
        routes.push({ ...record, method, url: API + options.path, face: 'json', status })
        app.route({
          method,
          url: API + options.path,
          config,
          handler: async (request, reply) => {
            const ask = await publicAskOf(deps, request, reply)
            const result = await runPublicCommand(
              deps.machinery,
              command,
              rawInput(request),
              browserOf(ask),
              visitOf(ask),
            )
            const instead = await options.after?.(result, ask)
            reply.code(instead?.status ?? status)
            if (instead) return instead.json
            return toJson ? toJson(result, ask) : (result ?? {})
          },
        })
      }
      if (page) {
        const url = page.path ?? options.path
        routes.push({ ...record, method: 'POST', url, face: 'page', status: 303 })
        app.post(url, { config }, (request, reply) =>
          asPage(deps, request, reply, async () => {
            const ask = await publicAskOf(deps, request, reply)
            const fields = fieldsOf(request)
            try {
              const raw = { ...expand(fields), ...ask.params }
              const result = await runPublicCommand(
                deps.machinery,
                command,
                raw,
                browserOf(ask),
                visitOf(ask),
              )
              const instead = await options.after?.(result, ask)
              const answer = instead?.page ?? page.goTo(result, ask)
              return typeof answer === 'string' ? reply.redirect(answer, 303) : sendPage(reply, 200, answer)
            } catch (problem) {
              const refusal = refusalOf(problem)
              if (refusal.status >= 500) throw problem
              return sendPage(reply, refusal.status, await page.again(formOf(fields, refusal), refusal, ask))
            }
          }),
        )
      }
    },

    publicQuestion(options) {
      const { page } = options
      const record = {
        method: 'POST' as const,
        name: options.name,
        summary: options.summary,
        capability: null,
        input: options.input,
        query: null,
        status: 200,
        wraps: null,
      }
      const config = options.rateLimit ? { rateLimit: options.rateLimit } : {}
      routes.push({ ...record, url: API + options.path, face: 'json' })
      app.post(API + options.path, { config }, async (request, reply) => {
        const ask = await publicAskOf(deps, request, reply)
        return options.json(await options.load(parse(options.input, rawInput(request)), ask), ask)
      })
      if (page) {
        routes.push({ ...record, url: options.path, face: 'page' })
        app.post(options.path, { config }, (request, reply) =>
          asPage(deps, request, reply, async () => {
            const ask = await publicAskOf(deps, request, reply)
            const fields = fieldsOf(request)
            try {
              const data = await options.load(parse(options.input, { ...expand(fields), ...ask.params }), ask)
              return sendPage(reply, 200, await page.answer(data, ask))
            } catch (problem) {
              const refusal = refusalOf(problem)
              if (refusal.status >= 500) throw problem
              return sendPage(reply, refusal.status, await page.again(formOf(fields, refusal), refusal, ask))
            }
          }),
        )
      }
    },
  }
}

const EMPTY_FORM: FormState = { values: {}, errors: [] }
const capital = (words: string) => words.charAt(0).toUpperCase() + words.slice(1)

async function askOf(deps: Deps, request: FastifyRequest, capability: Capability): Promise<Ask> {
  const { actor, held } = await identify(deps, request)
  if (held) throw secondStepWanted()
  if (!actor) throw signedOut()
  const { 'as-member': asMember } = request.headers
  if (asMember !== undefined && asMember !== actor.memberId) throw anothersEntry()
  if (!may(actor, capability)) throw forbidden()
  return {
    deps,
    actor,
    scope: scopeOf(deps.machinery.store.reader(), actor.companyId),
    params: paramsOf(request),
    query: queryOf(request),
    now: deps.machinery.clock(),
  }
}

async function publicAskOf(deps: Deps, request: FastifyRequest, reply: FastifyReply): Promise<PublicAsk> {
  return {
    deps,
    identity: await identify(deps, request),
    params: paramsOf(request),
    query: queryOf(request),
    now: deps.machinery.clock(),
    request,
    reply,
  }
}

/** Who a browser is signed in as; a token speaks for its member in one company alone. */
const browserOf = ({ identity }: PublicAsk) => (identity.sessionSecret === null ? null : identity.personId)

const visitOf = ({ identity: { sessionSecret, boundTo } }: PublicAsk): Visit => ({
  sessionId: sessionSecret === null ? null : sha256(sessionSecret),
  boundTo,
})

const paramsOf = (request: FastifyRequest) => ({ ...(request.params as Record<string, string>) })

function queryOf(request: FastifyRequest): Record<string, string> {
  const query: Record<string, string> = {}
  for (const [name, value] of Object.entries(request.query as Record<string, unknown>)) {
    const last = Array.isArray(value) ? value.at(-1) : value
    if (typeof last === 'string') query[name] = last
  }
  return query
}

function rawInput(request: FastifyRequest, wraps?: string): Record<string, unknown> {
  const { body } = request
  if (wraps && Array.isArray(body)) return { [wraps]: body, ...paramsOf(request) }
  if (body !== undefined && body !== null && (typeof body !== 'object' || Array.isArray(body)))
    throw malformedField('', say.refusals.sendAJsonObject)
  return { ...asObject(body), ...paramsOf(request) }
}

const asObject = (value: unknown): Record<string, unknown> =>
  typeof value === 'object' && value !== null && !Array.isArray(value)
    ? (value as Record<string, unknown>)
    : {}

/** Urlencoded fields; of a repeated name the last counts. */
function fieldsOf(request: FastifyRequest): Fields {
  const fields: Fields = {}
  for (const [name, value] of Object.entries(asObject(request.body))) {
    const last = Array.isArray(value) ? value.at(-1) : value
    fields[name] = String(last ?? '')
  }
  return fields
}

/** Errors by the name the field has in the form, which may carry a mark that the path has not. */
export function formOf(fields: Fields, refusal: Refusal): FormState {
  const names = new Map(Object.keys(fields).map((name) => [name.replace(/[#?@]$/, ''), name]))
  return {
    values: fields,
    errors: refusal.errors.map((error) => ({
      path: names.get(error.path) ?? error.path,
      message: error.message,
    })),
  }
}

function idempotencyKey(request: FastifyRequest): string | undefined {
  const key = request.headers['idempotency-key']
  if (key === undefined) return undefined
  const text = String(key)
  if (text === '' || text.length > 200) throw malformedField('Idempotency-Key', say.refusals.between1And200)
  return text
}

/** The phone's own clock, in milliseconds, from the `Device-Time` header or the form's hidden field. */
function deviceAt(request: FastifyRequest, fields: Fields = {}): number | undefined {
  const sent =
    request.headers['device-time'] ??
    fields._deviceAt ??
    (asObject(request.body)._deviceAt as string | undefined)
  if (sent === undefined || sent === '') return undefined
  const at = Date.parse(String(sent))
  return Number.isNaN(at) ? undefined : at
}

/** When what is sent now was entered on the phone, which knows how far its clock stands from ours. */
function enteredAt(request: FastifyRequest): number | undefined {
  const at = Date.parse(String(request.headers['entered-at'] ?? ''))
  return Number.isNaN(at) ? undefined : at
}

/** A form sent by the phone's own worker, which draws nothing: it is told where the page would have gone. */
const asksForJson = (request: FastifyRequest): boolean =>
  request.method !== 'GET' && request.headers.accept === 'application/json'

/** Like signed out, so that a phone keeps what it has until the step was given. */
const secondStepWanted = () => new Refusal('signed-out', 'second-step-wanted', say.secondStep.wanted)

/** The session that came along is not of the person who entered this: it is theirs to send. */
const anothersEntry = () => new Refusal('signed-out', 'other-member', say.refusals.thisWasEnteredBy)

/** A page's refusals are pages too; who is signed out is asked to sign in and comes back. */
async function asPage(
  deps: Deps,
  request: FastifyRequest,
  reply: FastifyReply,
  work: () => Promise<FastifyReply>,
): Promise<FastifyReply> {
  try {
    return await work()
  } catch (problem) {
    const refusal = refusalOf(problem)
    if (asksForJson(request)) return answerProblem(request, reply, problem)
    if (refusal.status >= 500) request.log.error(problem)
    if (refusal.code === 'second-step-wanted' && request.headers['as-member'] === undefined)
      return reply.redirect('/me/second-step', 303)
    // What was typed is kept by the phone's worker, which must not take a page to sign in on for a success.
    if (refusal.kind === 'signed-out' && request.headers['as-member'] === undefined) {
      const next = request.method === 'GET' ? `?next=${encodeURIComponent(request.url)}` : ''
      return reply.redirect(`/sign-in${next}`, 303)
    }
    return sendRefusedPage(deps, request, reply, refusal)
  }
}

export async function sendRefusedPage(
  deps: Deps,
  request: FastifyRequest,
  reply: FastifyReply,
  refusal: Refusal,
): Promise<FastifyReply> {
  const { actor } = await identify(deps, request).catch(() => ({ actor: null }))
  return sendPage(
    reply,
    refusal.status,
    RefusedPage({
      shell: actor ? shellOf(actor, '') : {},
      title: titleOf(refusal),
      detail: refusal.message,
      errors: refusal.errors,
      findings: refusal.findings,
    }),
  )
}

export function sendPage(reply: FastifyReply, status: number, page: VNode): FastifyReply {
  return reply
    .code(status)
    .header('cache-control', 'no-store')
    .type('text/html; charset=utf-8')
    .send(renderPage(page, zoneOf(reply.request)))
}

function sendFile(
  reply: FastifyReply,
  mediaType: string,
  { content, fileName, keep, policy, bytes }: FileAnswer,
): FastifyReply {
  if (policy !== undefined) reply.header('content-security-policy', policy)
  if (bytes !== undefined) reply.header('content-length', bytes)
  if (fileName !== undefined) reply.header('content-disposition', `attachment; filename="${fileName}"`)
  if (!keep) return reply.header('cache-control', 'no-store').type(mediaType).send(content)
  // In nobody's cache but the reader's own.
  return (
    reply
      .header('cache-control', `private, max-age=${keep.seconds}`)
      .header('etag', `"${keep.tag}"`)
      .header('content-disposition', 'inline')
      // Opened by itself, a browser draws a page of its own around a picture: it may do that, and nothing more.
      .header(
        'content-security-policy',
        "default-src 'none'; img-src 'self'; style-src 'unsafe-inline'; sandbox",
      )
      .type(mediaType)
      .send(content)
  )
}

/** A refusal as its caller wants it: a problem for a program, thrown on for the page wrapper. */
export function answerProblem(request: FastifyRequest, reply: FastifyReply, problem: unknown) {
  const refusal = refusalOf(problem)
  if (refusal.status >= 500) request.log.error(problem)
  return sendProblem(reply, refusal)
}

/** `?limit=` and `&cursor=` of every list. */
export const listQuery = z.object({
  limit: z.coerce
    .number({ error: () => say.refusals.between1And2002 })
    .int()
    .min(1, { error: () => say.refusals.between1And2002 })
    .max(200, { error: () => say.refusals.between1And2002 })
    .default(50),
  cursor: z.string().max(200).optional(),
})
export type ListQuery = z.output<typeof listQuery>

/** Of a list that is worked out whole before it is shown: the cursor counts what came before. */
export const placeCursor = z
  .string()
  .regex(/^\d{1,6}$/, { error: () => say.refusals.useTheCursorThat })
  .optional()

export function pageOf<T>(all: readonly T[], { cursor, limit }: ListQuery) {
  const from = Number(cursor ?? 0)
  const to = from + limit
  return { items: all.slice(from, to), nextCursor: to < all.length ? String(to) : null }
}
