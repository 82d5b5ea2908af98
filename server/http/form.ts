// How does a plain form become the same input that a program would send? Dotted names become nested fields.

import { parseNumber } from '../trade/units.ts'

export type Fields = Record<string, string>

/**
 * `reading.value=38,4&reading.unit=N.m` becomes `{ reading: { value: 38.4, unit: 'N.m' } }`. Empty fields are
 * left out; a quantity whose value is empty is left out whole. Numbers may have a decimal comma or point; what
 * is no number stays text, so that the command says so beside its field. `yes`/`no` of a name that ends in `?`
 * become true and false, a number field's name ends in `#`, a moment's in `@` (taken as local time in `zone`).
 */
export function expand(fields: Fields): Record<string, unknown> {
  const input: Record<string, unknown> = {}
  for (const [name, raw] of Object.entries(fields)) {
    // A blank at the edge of a password belongs to it, as it does for a program that signs in.
    const value = name === 'password' ? raw : raw.trim()
    if (value === '' || name.startsWith('_')) continue
    if (name.endsWith('.unit') && (fields[name.replace(/unit$/, 'value')] ?? '').trim() === '') continue
    const [path, read] = reading(name)
    set(input, path.split('.'), read(value, fields))
  }
  return input
}

type Read = (value: string, fields: Fields) => unknown

function reading(name: string): [string, Read] {
  if (name.endsWith('.value')) return [name, (value) => parseNumber(value) ?? value]
  if (name.endsWith('#')) return [name.slice(0, -1), (value) => parseNumber(value) ?? value]
  if (name.endsWith('?'))
    return [name.slice(0, -1), (value) => value === 'yes' || value === 'true' || value === 'on']
  if (name.endsWith('@')) return [name.slice(0, -1), localMoment]
  return [name, (value) => value]
}

/** `2026-03-04T15:10` with the reader's offset in minutes (as JavaScript counts it), else UTC. */
function localMoment(value: string, fields: Fields): string {
  const match = /^(\d{4}-\d{2}-\d{2})[T ](\d{2}:\d{2}(?::\d{2})?)$/.exec(value)
  if (!match) return value
  const offset = Number(fields._offset ?? 0)
  const at = Date.parse(`${match[1]}T${match[2]}Z`) + (Number.isFinite(offset) ? offset : 0) * 60_000
  return Number.isNaN(at) ? value : new Date(at).toISOString()
}

function set(target: Record<string, unknown>, path: string[], value: unknown) {
  const [first, ...rest] = path
  if (first === undefined || first === '__proto__') return
  if (rest.length === 0) {
    target[first] = value
    return
  }
  const inner = target[first]
  const next = typeof inner === 'object' && inner !== null ? (inner as Record<string, unknown>) : {}
  target[first] = next
  set(next, rest, value)
}
