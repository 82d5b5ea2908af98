// In which ways can a valid body be wrong? Made from its schema and one valid example.

import { z } from 'zod'

type Json = unknown
interface Schema {
  type?: string
  properties?: Record<string, Schema>
  required?: string[]
  items?: Schema
  anyOf?: Schema[]
  oneOf?: Schema[]
  allOf?: Schema[]
  enum?: Json[]
  const?: Json
  format?: string
  pattern?: string
  minimum?: number
  additionalProperties?: Schema | boolean
}

export interface Mutation {
  what: string
  /** Where the answer must point, or into. */
  path: string
  input: Record<string, unknown>
}

/** The past is where work lies; these say when something was done. */
const DONE_AT = new Set(['performedAt', 'at', 'installedAt', 'removedAt', 'retiredAt'])
/** What may lie below zero: heights, and pressures and temperatures on scales that go below it. */
const SIGNED = /(rise|offset|elevation|temperature|gauge|pressure|air|ambient|angle|error)/i

/** `inAddress`: fields that stand in the address, where everything is a text and nothing can be left out. */
export function mutationsOf(
  schema: z.ZodType,
  example: Record<string, unknown>,
  inAddress: ReadonlySet<string>,
): Mutation[] {
  const json = z.toJSONSchema(schema, { io: 'input', unrepresentable: 'any' }) as Schema
  const mutations: Mutation[] = []
  walk(json, example, [])
  return mutations

  function put(path: string[], change: (parent: Record<string, unknown>, name: string) => void) {
    const copy = copyOf(example)
    const name = path.at(-1) ?? ''
    let parent = copy
    for (const step of path.slice(0, -1)) parent = parent[step] as Record<string, unknown>
    change(parent, name)
    return copy
  }

  function add(what: string, path: string[], value: unknown, at = path) {
    mutations.push({
      what: `${path.join('.')}: ${what}`,
      path: at.join('.'),
      input: put(path, (parent, name) => {
        parent[name] = value
      }),
    })
  }

  function walk(given: Schema, value: Json, path: string[]) {
    const node = chosen(given, value)
    const name = path.at(-1) ?? ''
    if (path.length > 0) {
      if (!allows(given, 'null')) add('null', path, null)
      if (typeof value === 'string') wrongText(node, value, path, name)
      else if (typeof value === 'number') wrongNumber(path, name)
      else if (typeof value === 'boolean') {
        add('a number instead of yes or no', path, 7)
        add('a text instead of yes or no', path, 'maybe')
      } else {
        if (!allows(given, 'string')) add('a text instead of it', path, 'something')
        if (!allows(given, 'number')) add('a number instead of it', path, 7)
      }
    }
    if (Array.isArray(value)) {
      if (path.length > 0) add('an object instead of a list', path, { no: 'list' })
      const [first] = value
      if (first !== undefined && node.items) walk(node.items, first, [...path, '0'])
      return
    }
    if (typeof value !== 'object' || value === null) return
    const object = value as Record<string, Json>
    if (path.length > 0) add('a list instead of an object', path, [1])
    if (node.additionalProperties === false) add('a field nobody knows', [...path, 'surprise'], 1)
    for (const [field, inner] of Object.entries(object)) {
      const property = node.properties?.[field]
      if (!property) continue
      if (path.length === 0 && inAddress.has(field)) {
        wrongId(String(inner), [field])
        continue
      }
      if (node.required?.includes(field))
        mutations.push({
          what: `${[...path, field].join('.')}: left out`,
          path: [...path, field].join('.'),
          input: put([...path, field], (parent, last) => {
            delete parent[last]
          }),
        })
      walk(property, inner, [...path, field])
    }
  }

  function wrongText(node: Schema, value: string, path: string[], name: string) {
    add('a number instead of a text', path, 12_345)
    add('a list instead of a text', path, [value])
    add('empty', path, '')
    // A password is hashed and never kept: any character will do.
    if (name !== 'password') add('the character zero in it', path, `${value.slice(0, 1)}\0${value.slice(1)}`)
    add('100 000 characters', path, 'x'.repeat(100_000))
    if (node.enum) add('a word that is not in the list', path, 'no-such-thing')
    if (name === 'unit') {
      add('a unit of something else', path, value === 'kg' || value === 'g' ? 'N.m' : 'oz')
      add('a unit in other letters', path, value.toUpperCase() === value ? `${value}x` : value.toUpperCase())
    }
    if (node.format === 'date-time' || DONE_AT.has(name)) {
      add('no moment', path, 'yesterday')
      add('a moment without a zone', path, '2026-03-04T12:00:00')
      add('a day that is not there', path, '2026-02-31T12:00:00Z')
      if (DONE_AT.has(name)) add('the future', path, '2199-01-01T00:00:00.000Z')
    }
    if (node.format === 'uuid') wrongId(value, path)
  }

  function wrongId(value: string, path: string[]) {
    add('no id', path, 'not-an-id')
    add('an id of another kind', path, '6ba7b810-9dad-11d1-80b4-00c04fd430c8')
    add('an id with something behind it', path, `${value}'; --`)
    add('an id in capitals', path, value.toUpperCase())
  }

  function wrongNumber(path: string[], name: string) {
    add('a text instead of a number', path, 'twelve')
    add('a number as text', path, '12')
    add('not a number', path, 'NaN')
    add('infinite, as text', path, 'Infinity')
    // JSON has no such numbers; a text beyond the range becomes infinite when it is read.
    add('infinite', path, Number.POSITIVE_INFINITY)
    add('absurdly large', path, 1e30)
    add('absurdly negative', path, -1e30)
    if (!SIGNED.test(name === 'value' ? path.join('.') : name)) add('negative', path, -1)
  }
}

/** Lists and plain objects anew; what is neither, such as a file, stays what it is. */
function copyOf<Value>(value: Value): Value {
  if (Array.isArray(value)) return value.map(copyOf) as Value
  if (typeof value !== 'object' || value === null || Object.getPrototypeOf(value) !== Object.prototype)
    return value
  return Object.fromEntries(Object.entries(value).map(([name, inner]) => [name, copyOf(inner)])) as Value
}

function allows(schema: Schema, type: string): boolean {
  const options = [...(schema.anyOf ?? []), ...(schema.oneOf ?? [])]
  return schema.type === type || options.some((option) => allows(option, type))
}

/** Of several shapes the one that the value has. */
function chosen(schema: Schema, value: Json): Schema {
  const options = [...(schema.anyOf ?? []), ...(schema.oneOf ?? [])]
  if (options.length > 0) {
    const match = options.find((option) => fits(option, value)) ?? options[0] ?? {}
    return chosen(match, value)
  }
  return schema.allOf ? Object.assign({}, schema, ...schema.allOf) : schema
}

function fits(schema: Schema, value: Json): boolean {
  if (schema.const !== undefined) return schema.const === value
  if (Array.isArray(value)) return schema.type === 'array'
  if (typeof value === 'object' && value !== null) {
    if (schema.type !== 'object') return false
    return Object.entries(schema.properties ?? {}).every(
      ([name, property]) =>
        property.const === undefined || property.const === (value as Record<string, unknown>)[name],
    )
  }
  return schema.type === typeof value || (schema.type === 'integer' && typeof value === 'number')
}

/** A body as it goes over the wire: infinite numbers as a literal that reads as one. */
export const onTheWire = (body: unknown): string =>
  JSON.stringify(body, (_, value) =>
    value === Number.POSITIVE_INFINITY ? '__infinite__' : value,
  ).replaceAll('"__infinite__"', '1e999')

/** Where two examples of the same request name different things: the ids that another company's stand for. */
export function foreignIds(
  ours: Record<string, unknown>,
  theirs: Record<string, unknown>,
  ownIds: (path: string[]) => boolean,
): Mutation[] {
  const found: Mutation[] = []
  const visit = (mine: unknown, other: unknown, path: string[]) => {
    if (typeof mine === 'string' && typeof other === 'string') {
      if (mine !== other && /^[0-9a-f]{8}-[0-9a-f-]{27}$/.test(mine) && !ownIds(path)) {
        const input = copyOf(ours)
        let parent = input
        for (const step of path.slice(0, -1)) parent = parent[step] as Record<string, unknown>
        parent[path.at(-1) ?? ''] = other
        found.push({ what: `${path.join('.')}: another company's`, path: path.join('.'), input })
      }
      return
    }
    if (typeof mine !== 'object' || mine === null || typeof other !== 'object' || other === null) return
    for (const [name, inner] of Object.entries(mine))
      visit(inner, (other as Record<string, unknown>)[name], [...path, name])
  }
  visit(ours, theirs, [])
  return found
}
