// How is a hot query built once? Prepared per connection, kept for as long as the connection lives.

import type { Session } from './store.ts'

interface Prepared<Row> {
  execute(values: Record<string, unknown>): Promise<Row[]>
}

const kept = new WeakMap<object, Map<string, Prepared<unknown>>>()

/**
 * A query whose SQL is made once per connection; building it anew costs several times what running it does.
 * The name must be unique: PostgreSQL keeps the statement under it.
 */
export function prepared<Row>(
  session: Session,
  name: string,
  // biome-ignore lint/suspicious/noExplicitAny: drizzle's builders share no nameable type across shapes
  build: (session: Session) => any,
): Prepared<Row> {
  let known = kept.get(session.db)
  if (!known) {
    known = new Map()
    kept.set(session.db, known)
  }
  let query = known.get(name) as Prepared<Row> | undefined
  if (!query) {
    query = build(session).prepare(name) as Prepared<Row>
    known.set(name, query)
  }
  return query
}
