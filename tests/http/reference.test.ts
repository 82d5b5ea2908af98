import { readdirSync, readFileSync } from 'node:fs'
import { join } from 'node:path'
import { parse } from 'node-html-parser'
import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import { z } from 'zod'
import {
  isDescribed,
  type OpenApi,
  type Operation,
  openApiOf,
  type Schema,
} from '../../server/http/openapi.ts'
import { PROBLEM_CODES } from '../../server/http/problem-codes.ts'
import type { RouteRecord } from '../../server/http/resource.ts'
import { ROOT } from '../../server/root.ts'
import { aCast, type Cast } from '../support/cast.ts'

let cast: Cast
let routes: RouteRecord[]
let document: OpenApi
let operations: { path: string; method: string; operation: Operation }[]

beforeAll(async () => {
  cast = await aCast()
  const app = await cast.app()
  routes = app.routes
  const answer = await app.server.inject('/api/v1/openapi.json')
  expect(answer.statusCode).toBe(200)
  document = answer.json()
  operations = Object.entries(document.paths).flatMap(([path, methods]) =>
    Object.entries(methods).map(([method, operation]) => ({ path, method, operation })),
  )
})
afterAll(() => cast.remove())

/** Everything in the document, with the place where it stands. */
function* parts(value: unknown, place = ''): Generator<[string, Record<string, unknown>]> {
  if (typeof value !== 'object' || value === null) return
  if (!Array.isArray(value)) yield [place, value as Record<string, unknown>]
  for (const [name, item] of Object.entries(value)) yield* parts(item, `${place}/${name}`)
}

describe('the OpenAPI document', () => {
  it('says what it is', () => {
    expect(document.openapi).toBe('3.1.0')
    expect(document.info).toMatchObject({
      title: 'Jointkeep',
      version: expect.stringMatching(/^\d+\.\d+\.\d+/),
    })
    expect(document.servers).toEqual([{ url: 'http://jointkeep.test' }])
  })

  it('has every JSON route once, and no other', () => {
    const mounted = routes
      .filter(isDescribed)
      .map((route) => `${route.method.toLowerCase()} ${route.url.replace(/:(\w+)/g, '{$1}')}`)
    expect(mounted.length).toBeGreaterThan(50)
    expect(new Set(mounted).size).toBe(mounted.length)
    expect(operations.map(({ path, method }) => `${method} ${path}`).sort()).toEqual(mounted.sort())
  })

  it('gives each operation an id of its own, a summary and a tag that is listed', () => {
    const ids = operations.map(({ operation }) => operation.operationId)
    expect(new Set(ids).size).toBe(ids.length)
    const tags = new Set(document.tags.map((tag) => tag.name))
    for (const { operation, path } of operations) {
      expect(operation.operationId, path).toMatch(/^[a-z][A-Za-z0-9]*$/)
      expect(operation.summary, path).not.toBe('')
      expect(operation.tags, path).toHaveLength(1)
      for (const tag of operation.tags) expect(tags, path).toContain(tag)
    }
  })

  it('refers to nothing that is not there, and leaves no reference to another document', () => {
    let references = 0
    for (const [place, part] of parts(document)) {
      if (typeof part.$ref !== 'string') continue
      references += 1
      expect(part.$ref, place).toMatch(/^#\/components\//)
      const target = part.$ref
        .slice(2)
        .split('/')
        .reduce<unknown>((at, name) => (at as Record<string, unknown> | undefined)?.[name], document)
      expect(target, `${place} ${part.$ref}`).toBeDefined()
    }
    expect(references).toBeGreaterThan(100)
    expect(JSON.stringify(document)).not.toMatch(/"\$defs"|"\$schema"/)
  })

  it('declares each parameter of a path, once, and asks for none of them again in the body', () => {
    for (const { path, operation } of operations) {
      const named = [...path.matchAll(/\{(\w+)\}/g)].map((match) => match[1])
      const declared = (operation.parameters ?? []).filter((parameter) => parameter.in === 'path')
      expect(declared.map((parameter) => parameter.name).sort(), path).toEqual([...named].sort())
      expect(declared.every((parameter) => parameter.required)).toBe(true)
      for (const property of bodyProperties(operation)) expect(named, path).not.toContain(property)
    }
  })

  function bodyProperties(operation: Operation): string[] {
    const name = operation.requestBody?.content['application/json']?.schema.$ref?.split('/').at(-1)
    const schema = name === undefined ? undefined : document.components.schemas[name]
    const collect = (part: Schema | undefined): string[] =>
      part === undefined
        ? []
        : [
            ...Object.keys(part.properties ?? {}),
            ...[...(part.anyOf ?? []), ...(part.oneOf ?? []), ...(part.allOf ?? [])].flatMap(collect),
          ]
    return collect(schema)
  }

  it('has schemas in which what is required is also described', () => {
    for (const [place, part] of parts(document.components.schemas)) {
      if (!Array.isArray(part.required) || typeof part.properties !== 'object') continue
      for (const name of part.required) expect(Object.keys(part.properties ?? {}), place).toContain(name)
    }
  })

  it('says who may call: nobody in particular where a route is public, else the roles', () => {
    const schemes = Object.keys(document.components.securitySchemes)
    for (const route of routes.filter(isDescribed)) {
      const path = route.url.replace(/:(\w+)/g, '{$1}')
      const operation = document.paths[path]?.[route.method.toLowerCase()]
      if (route.capability === null) expect(operation?.security, path).toEqual([])
      else expect(operation?.security.flatMap(Object.keys).sort(), path).toEqual([...schemes].sort())
      expect(operation?.['x-roles'] === undefined, path).toBe(route.capability === null)
    }
  })

  it('answers each operation with its own status, and refusals as problems', () => {
    for (const route of routes.filter(isDescribed)) {
      const path = route.url.replace(/:(\w+)/g, '{$1}')
      const responses = document.paths[path]?.[route.method.toLowerCase()]?.responses ?? {}
      expect(Object.keys(responses), path).toContain(String(route.status))
      for (const [status, response] of Object.entries(responses))
        if (Number(status) >= 400) expect(response, path).toEqual({ $ref: '#/components/responses/Problem' })
    }
  })

  it('takes schemas from what validates: units, limits, lists that may stand bare', () => {
    const made = openApiOf(
      [
        {
          method: 'POST',
          url: '/api/v1/things/:thingId/readings',
          face: 'json',
          name: 'record-readings',
          summary: 's',
          capability: 'record-work',
          input: z.strictObject({
            thingId: z.string(),
            readings: z.array(z.strictObject({ value: z.number().min(3), unit: z.enum(['a', 'b']) })).max(9),
            note: z.string().optional(),
          }),
          query: null,
          status: 201,
          wraps: 'readings',
        },
        {
          method: 'POST',
          url: '/api/v1/other/:otherId/readings',
          face: 'json',
          name: 'record-readings',
          summary: 's',
          capability: null,
          input: z.strictObject({ otherId: z.string() }),
          query: null,
          status: 200,
          wraps: null,
        },
      ],
      { version: '1.0.0', publicUrl: 'http://x.example' },
    )
    const operation = made.paths['/api/v1/things/{thingId}/readings']?.post
    expect(operation?.operationId).toBe('recordReadings')
    expect(operation?.requestBody?.required).toBe(true)
    expect(made.components.schemas.RecordReadingsInput?.anyOf).toMatchObject([
      {
        type: 'array',
        maxItems: 9,
        items: { properties: { value: { type: 'number', minimum: 3 }, unit: { enum: ['a', 'b'] } } },
      },
      { type: 'object', required: ['readings'], additionalProperties: false },
    ])
    const other = made.paths['/api/v1/other/{otherId}/readings']?.post
    expect(other?.operationId).toBe('recordReadingsPostOtherOtherIdReadings')
    expect(other?.requestBody).toBeUndefined()
  })

  it('is the same each time it is asked for', async () => {
    const again = await (await cast.server()).inject('/api/v1/openapi.json')
    expect(again.json()).toEqual(document)
  })
})

describe('the reference page', () => {
  it('has every operation, without a script of its own or anybody else’s', async () => {
    const answer = await (await cast.server()).inject('/api/v1/docs')
    expect(answer.statusCode).toBe(200)
    const page = parse(answer.body)
    for (const { operation } of operations)
      expect(page.querySelector(`details#${operation.operationId}`), operation.operationId).not.toBeNull()
    for (const script of page.querySelectorAll('script')) {
      expect(script.getAttribute('src')).toMatch(/^\/assets\//)
      expect(script.textContent.trim()).toBe('')
    }
    expect(answer.body).not.toContain('style=')
  })

  it('shows a quantity with its units', async () => {
    const page = parse((await (await cast.server()).inject('/api/v1/docs')).body)
    expect(page.querySelector('#recordTorque')?.textContent).toMatch(/quantity in N\.m, ft\.lbf/)
  })
})

describe('the codes of refusals', () => {
  it('each have a place on the page', async () => {
    const page = parse((await (await cast.server()).inject('/problems')).body)
    for (const { code } of PROBLEM_CODES) expect(page.querySelector(`#${code}`), code).not.toBeNull()
    expect(new Set(PROBLEM_CODES.map(({ code }) => code)).size).toBe(PROBLEM_CODES.length)
  })

  it('are all explained, whichever file gives them', () => {
    const explained = new Set(PROBLEM_CODES.map(({ code }) => code))
    const given = new Map<string, string>()
    const patterns = [
      /\b(?:conflict|refusedByRule|tooMany)\(\s*'([a-z-]+)'/g,
      /new Refusal\(\s*'[a-z-]+',\s*'([a-z-]+)'/g,
      /\bforbidden\((?:[^()]|\([^()]*\))*?,\s*'([a-z-]+)',?\s*\)/g,
      /\bunusual\(\d+,\s*'([a-z-]+)'/g,
    ]
    for (const file of readdirSync(join(ROOT, 'server'), { recursive: true, encoding: 'utf8' })) {
      if (!file.endsWith('.ts')) continue
      const source = readFileSync(join(ROOT, 'server', file), 'utf8')
      for (const pattern of patterns)
        for (const match of source.matchAll(pattern)) given.set(match[1] ?? '', file)
    }
    expect(given.size).toBeGreaterThan(20)
    expect([...given].filter(([code]) => !explained.has(code))).toEqual([])
  })
})
