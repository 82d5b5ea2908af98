// What did the database refuse, in our words?

import { busy, conflict, missing, Refusal } from '../refusals.ts'

interface DriverFailure {
  code?: string
  message?: string
  constraint?: string
  cause?: unknown
}

/** Driver errors become refusals; what is not a driver error passes unchanged. */
export function asRefusal(problem: unknown): Error {
  if (problem instanceof Refusal) return problem
  const failure = innermost(problem)
  const code = failure.code ?? ''
  const text = `${failure.constraint ?? ''} ${failure.message ?? ''}`
  if (code === 'SQLITE_CONSTRAINT_UNIQUE' || code === 'SQLITE_CONSTRAINT_PRIMARYKEY' || code === '23505')
    return conflict('already-there', `That is already there (${constraintOf(text)}).`)
  if (code === 'SQLITE_CONSTRAINT_FOREIGNKEY' || code === '23503') return missing('Something this refers to')
  if (
    code === 'SQLITE_BUSY' ||
    code === 'SQLITE_FULL' ||
    code === '40001' ||
    code === '40P01' ||
    code === '53100'
  )
    return busy()
  return problem instanceof Error ? problem : new Error(String(problem))
}

/** Did a unique key refuse it? */
export function isUniqueFailure(problem: unknown): boolean {
  const { code } = innermost(problem)
  return code === 'SQLITE_CONSTRAINT_UNIQUE' || code === 'SQLITE_CONSTRAINT_PRIMARYKEY' || code === '23505'
}

/** drizzle wraps what the driver threw. */
function innermost(problem: unknown): DriverFailure {
  let at = problem as DriverFailure
  while (at?.cause !== undefined && at.cause !== null) at = at.cause as DriverFailure
  return at ?? {}
}

function constraintOf(text: string): string {
  const sqlite = /UNIQUE constraint failed: (.*)/.exec(text)
  return (sqlite?.[1] ?? text.trim().split(' ')[0] ?? '').replaceAll(/\w+\.company_id, /g, '').trim()
}
