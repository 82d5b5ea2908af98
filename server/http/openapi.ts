// How does the interface describe itself? OpenAPI 3.1, made from the very schemas that check what comes in.

import { z } from 'zod'
import { CAPABILITIES } from '../access/capabilities.ts'
import { type MessageType, messageSchema, WEBHOOK_DATA } from '../webhooks/events.ts'
import { API, type RouteRecord } from './resource.ts'

/** JSON Schema 2020-12, as far as it is taken apart here. */
export interface Schema {
  type?: string | string[]
  properties?: Record<string, Schema>
  required?: string[]
  items?: Schema
  anyOf?: Schema[]
  oneOf?: Schema[]
  allOf?: Schema[]
  $defs?: Record<string, Schema>
  $ref?: string
  $schema?: string
  description?: string
  [keyword: string]: unknown
}

interface Parameter {
  name: string
  in: 'path' | 'query' | 'header'
  required: boolean
  description?: string
  schema: Schema
}

export interface Operation {
  operationId: string
  summary: string
  tags: string[]
  security: Record<string, string[]>[]
  'x-roles'?: readonly string[]
  parameters?: Parameter[]
  requestBody?: { required: boolean; content: Record<string, { schema: Schema }> }
  responses: Record<string, unknown>
}

export interface WebhookOperation {
  operationId: string
  summary: string
  parameters: Parameter[]
  requestBody: { required: true; content: { 'application/json': { schema: Schema } } }
  responses: Record<string, { description: string }>
}

export interface OpenApi {
  openapi: string
  info: Record<string, unknown>
  servers: { url: string }[]
  tags: { name: string }[]
  paths: Record<string, Record<string, Operation>>
  /** What is posted to others, by event. */
  webhooks: Record<string, { post: WebhookOperation }>
  components: {
    securitySchemes: Record<string, unknown>
    schemas: Record<string, Schema>
    responses: Record<string, unknown>
    parameters: Record<string, Parameter>
  }
}

export function openApiOf(
  routes: readonly RouteRecord[],
  { version, publicUrl }: { version: string; publicUrl: string },
): OpenApi {
  const document: OpenApi = {
    openapi: '3.1.0',
    info: {
      title: 'Jointkeep',
      version,
      description:
        'The record of refrigerant joints, from cut tube to sealed certificate. Moments are ISO 8601 in UTC; quantities are { value, unit }; ids are UUIDv7 and may be chosen by who creates. Unknown fields are refused.',
      license: { name: 'Apache License 2.0', identifier: 'Apache-2.0' },
    },
    servers: [{ url: publicUrl }],
    tags: [],
    paths: {},
    webhooks: {},
    components: {
      securitySchemes: {
        session: {
          type: 'apiKey',
          in: 'cookie',
          name: 'jointkeep_session',
          description: 'A signed-in browser. Each write needs the Origin header of this server.',
        },
        token: {
          type: 'http',
          scheme: 'bearer',
          description: 'Of one member of one company, with the scopes read or write, and an expiry.',
        },
      },
      schemas: { ...SHARED },
      responses: {
        Problem: {
          description: 'A refusal (RFC 9457). Nothing was written.',
          content: { 'application/problem+json': { schema: ref('schemas', 'Problem') } },
        },
      },
      parameters: {
        IdempotencyKey: {
          name: 'Idempotency-Key',
          in: 'header',
          required: false,
          description:
            'The same key with the same content answers the first result again; with other content 409. Not needed where the body has an id of your choice.',
          schema: { type: 'string', minLength: 1, maxLength: 200 },
        },
        DeviceTime: {
          name: 'Device-Time',
          in: 'header',
          required: false,
          description: 'What the clock of the sending device said; kept beside the time of the server.',
          schema: { type: 'string', format: 'date-time' },
        },
      },
    },
  }
  const taken = new Set<string>()
  for (const route of routes) {
    if (!isDescribed(route)) continue
    const operation = operationOf(route, taken, document)
    const path = route.url.replace(/:(\w+)/g, '{$1}')
    document.paths[path] = { ...document.paths[path], [route.method.toLowerCase()]: operation }
  }
  for (const type of Object.keys(WEBHOOK_DATA) as MessageType[])
    document.webhooks[type] = { post: webhookOf(type, document) }
  const tags = new Set(Object.values(document.paths).flatMap((path) => Object.values(path)[0]?.tags ?? []))
  document.tags = [...tags].sort().map((name) => ({ name }))
  return document
}

/** The JSON face, and what has its place outside it by a standard. */
export const isDescribed = (route: RouteRecord): boolean =>
  route.face === 'json' || route.url.startsWith('/.well-known/')

const ref = (kind: 'schemas' | 'responses' | 'parameters', name: string): Schema => ({
  $ref: `#/components/${kind}/${name}`,
})

const SHARED: Record<string, Schema> = {
  Problem: {
    type: 'object',
    required: ['type', 'title', 'status', 'detail', 'code'],
    properties: {
      type: { type: 'string', description: 'Where the code is explained.' },
      title: { type: 'string' },
      status: { type: 'integer' },
      detail: { type: 'string', description: 'What is wrong and what to do, for people.' },
      code: { type: 'string', description: 'Stable; what a program may decide by.' },
      errors: {
        type: 'array',
        items: {
          type: 'object',
          required: ['path', 'message'],
          properties: { path: { type: 'string' }, message: { type: 'string' } },
        },
      },
      findings: { type: 'array', items: { $ref: '#/components/schemas/Finding' } },
    },
  },
  Finding: {
    type: 'object',
    required: ['requirement', 'title', 'subject', 'outcome', 'reason'],
    properties: {
      requirement: { type: 'string' },
      title: { type: 'string' },
      source: { type: 'string' },
      subject: {
        type: 'object',
        properties: { kind: { type: 'string' }, id: { type: 'string' }, name: { type: 'string' } },
      },
      outcome: { enum: ['met', 'open', 'failed', 'requested', 'conceded', 'not-applicable'] },
      decisionRule: { type: ['string', 'null'] },
      numbers: { type: 'array', items: { type: 'object' } },
      evidence: { type: 'array', items: { type: 'string' } },
      reason: { type: 'string' },
      nextAction: { type: ['string', 'null'] },
      concedable: { type: 'boolean' },
    },
  },
  Page: {
    type: 'object',
    required: ['items', 'nextCursor'],
    properties: {
      items: { type: 'array', items: { type: 'object' } },
      nextCursor: { type: ['string', 'null'], description: 'For `cursor`, to go on; null at the end.' },
    },
  },
  Thing: { type: 'object', description: 'The thing as it now stands.' },
}

function operationOf(route: RouteRecord, taken: Set<string>, document: OpenApi): Operation {
  const operationId = freeId(route, taken)
  const names = [...route.url.matchAll(/:(\w+)/g)].map((match) => match[1] ?? '')
  const input = route.input ? schemaOf(route.input, operationId, document) : null
  const pathParameters = names.map(
    (name): Parameter => ({
      name,
      in: 'path',
      required: true,
      schema: propertyOf(input, name) ?? { type: 'string' },
    }),
  )
  const parameters: (Parameter | Schema)[] = [...pathParameters]
  if (route.query) parameters.push(...queryParameters(schemaOf(route.query, `${operationId}Query`, document)))
  if (route.method !== 'GET' && route.capability !== null)
    parameters.push(ref('parameters', 'IdempotencyKey'), ref('parameters', 'DeviceTime'))
  const body = input && route.method !== 'GET' ? bodyOf(input, names, route.wraps) : null
  if (body) document.components.schemas[inputName(operationId)] = body.schema
  return {
    operationId,
    summary: route.summary,
    tags: [tagOf(route.url)],
    security: route.capability === null ? [] : [{ session: [] }, { token: [] }],
    ...(route.capability === null ? {} : { 'x-roles': CAPABILITIES[route.capability] }),
    ...(parameters.length > 0 ? { parameters: parameters as Parameter[] } : {}),
    ...(body
      ? {
          requestBody: {
            required: body.required,
            content: Object.fromEntries(
              contentTypes(route, body.schema).map((type) => [
                type,
                { schema: ref('schemas', inputName(operationId)) },
              ]),
            ),
          },
        }
      : {}),
    responses: responsesOf(route, names.length > 0),
  }
}

/** Of the Standard Webhooks specification 1.0.0. */
const WEBHOOK_HEADERS: [string, string][] = [
  ['webhook-id', 'The same to every address and at every try: a message that came before can be told by it.'],
  ['webhook-timestamp', 'When this try was made, in seconds since 1970.'],
  [
    'webhook-signature',
    'One or more of `v1,` and HMAC-SHA256 in base64 over id, timestamp and body, joined by full stops; parted by spaces.',
  ],
]

function webhookOf(type: MessageType, document: OpenApi): WebhookOperation {
  const name = camel(`webhook-${type.replaceAll(/[._]/g, '-')}`)
  const schema = schemaOf(messageSchema(type), name, document)
  document.components.schemas[pascal(name)] = schema
  return {
    operationId: name,
    summary: WEBHOOK_DATA[type].description ?? type,
    parameters: WEBHOOK_HEADERS.map(([header, description]) => ({
      name: header,
      in: 'header',
      required: true,
      description,
      schema: { type: 'string' },
    })),
    requestBody: {
      required: true,
      content: { 'application/json': { schema: ref('schemas', pascal(name)) } },
    },
    responses: {
      '2XX': { description: 'It arrived.' },
      410: { description: 'Nothing more is to be sent to this address: it is switched off.' },
      default: { description: 'It is tried again, for about three days.' },
    },
  }
}

/** A file comes in a form; where it can be left out, JSON does too. */
const contentTypes = ({ upload }: RouteRecord, body: Schema): string[] => [
  ...(upload === undefined || !body.required?.includes(upload) ? ['application/json'] : []),
  ...(upload === undefined ? [] : ['multipart/form-data']),
]

const pascal = (name: string) =>
  name.replace(/(^|-)(\w)/g, (_all, _dash, letter: string) => letter.toUpperCase())
const camel = (name: string) => name.replace(/-(\w)/g, (_all, letter: string) => letter.toUpperCase())
const inputName = (operationId: string) => `${pascal(operationId)}Input`
const tagOf = (url: string) => url.replace(API, '').split('/')[1] ?? 'service'

/** The name of the command; where one is mounted twice, the path tells them apart. */
function freeId(route: RouteRecord, taken: Set<string>): string {
  const name = camel(route.name)
  const byPath = camel(
    `${route.name}-${route.method.toLowerCase()}${route.url.replace(API, '').replace(/[^A-Za-z0-9]+/g, '-')}`,
  )
  const id = taken.has(name) ? byPath : name
  taken.add(id)
  return id
}

function schemaOf(type: z.ZodType, name: string, document: OpenApi): Schema {
  const schema = z.toJSONSchema(type, {
    io: 'input',
    target: 'draft-2020-12',
    unrepresentable: 'any',
  }) as Schema
  const { $schema: _dialect, $defs, ...bare } = schema
  if (!$defs) return bare
  // Definitions move to where the whole document finds them.
  const moved = (part: string) => `#/components/schemas/${pascal(name)}${pascal(part.replace(/\W+/g, '-'))}`
  const move = (value: unknown): unknown => {
    if (Array.isArray(value)) return value.map(move)
    if (typeof value !== 'object' || value === null) return value
    return Object.fromEntries(
      Object.entries(value).map(([key, item]) => [
        key,
        key === '$ref' && typeof item === 'string' && item.startsWith('#/$defs/')
          ? moved(item.slice('#/$defs/'.length))
          : move(item),
      ]),
    )
  }
  for (const [part, definition] of Object.entries($defs))
    document.components.schemas[moved(part).slice('#/components/schemas/'.length)] = move(
      definition,
    ) as Schema
  return move(bare) as Schema
}

/** Branches of a choice are looked into as well. */
function propertyOf(schema: Schema | null, name: string): Schema | null {
  if (!schema) return null
  const here = schema.properties?.[name]
  if (here) return here
  for (const branch of [...(schema.anyOf ?? []), ...(schema.oneOf ?? []), ...(schema.allOf ?? [])]) {
    const found = propertyOf(branch, name)
    if (found) return found
  }
  return null
}

/** What the path says already is not asked for again in the body. */
function without(schema: Schema, names: readonly string[]): Schema {
  const left: Schema = { ...schema }
  if (schema.properties) {
    left.properties = Object.fromEntries(
      Object.entries(schema.properties).filter(([name]) => !names.includes(name)),
    )
    const required = (schema.required ?? []).filter((name) => !names.includes(name))
    if (required.length > 0) left.required = required
    else delete left.required
  }
  for (const choice of ['anyOf', 'oneOf', 'allOf'] as const)
    if (schema[choice]) left[choice] = schema[choice].map((branch) => without(branch, names))
  return left
}

function bodyOf(
  input: Schema,
  names: readonly string[],
  wraps: string | null,
): { schema: Schema; required: boolean } | null {
  const schema = without(input, names)
  const isEmpty = schema.properties !== undefined && Object.keys(schema.properties).length === 0
  if (isEmpty && !schema.anyOf && !schema.oneOf) return null
  const wrapped = wraps === null ? undefined : schema.properties?.[wraps]
  if (wrapped) return { schema: { anyOf: [wrapped, schema] }, required: true }
  return { schema, required: (schema.required ?? []).length > 0 || schema.properties === undefined }
}

function queryParameters(schema: Schema): Parameter[] {
  return Object.entries(schema.properties ?? {}).map(([name, property]) => ({
    name,
    in: 'query',
    required: schema.required?.includes(name) ?? false,
    schema: property,
  }))
}

function responsesOf(route: RouteRecord, hasId: boolean): Record<string, unknown> {
  const refusals = new Set<number>([503])
  if (route.input || route.query || hasId) refusals.add(400)
  if (route.capability !== null) for (const status of [401, 403]) refusals.add(status)
  else refusals.add(429)
  if (hasId) refusals.add(404)
  if (route.method !== 'GET') for (const status of [409, 413, 415, 422]) refusals.add(status)
  const isList = Boolean(
    route.query &&
      propertyOf(z.toJSONSchema(route.query, { io: 'input', unrepresentable: 'any' }) as Schema, 'cursor'),
  )
  const done = {
    description: isList ? 'One page of the list.' : route.status === 201 ? 'It was made.' : 'Done.',
    content: route.produces
      ? { [route.produces]: { schema: { type: 'string', contentMediaType: route.produces } } }
      : { 'application/json': { schema: ref('schemas', isList ? 'Page' : 'Thing') } },
  }
  const repeated = { ...done, description: 'The same was sent before; this is its first answer.' }
  return {
    [route.status]: done,
    ...(route.status === 201 && route.capability !== null ? { 200: repeated } : {}),
    ...Object.fromEntries([...refusals].sort().map((status) => [status, ref('responses', 'Problem')])),
  }
}
