// How does every change happen? permit → parse → transaction → handle → entry → answer, here and nowhere else.

import { and, eq, sql } from 'drizzle-orm'
import { z } from 'zod'
import type { Actor } from '../access/actor.ts'
import { type Capability, may } from '../access/capabilities.ts'
import type { Sealer } from '../access/sealer.ts'
import type { Signer } from '../certificate/signer.ts'
import { newId, sha256 } from '../ids.ts'
import { conflict, forbidden, malformed, Refusal, signedOut } from '../refusals.ts'
import type { Files } from '../store/files.ts'
import { prepared } from '../store/prepared.ts'
import { appendEntry, canonical, type EntryDraft } from '../store/record.ts'
import { type Scope, type Session, type Store, scopeOf } from '../store/store.ts'
import type { Language } from '../vocabulary.ts'
import { languageNow, say } from '../words/say.ts'
import { keepRegister } from './release/keep-register.ts'

/** What commands are run with; the same for the service, the seed and the tests. */
export interface Machinery {
  store: Store
  /** Where the bytes of photos are. */
  files: Files
  /** Milliseconds since 1970. */
  clock(): number
  signer: Signer
  /** What must be read again is kept under its key. */
  sealer: Sealer
  settings: {
    signup: 'first' | 'open' | 'closed'
    publicUrl: string
    /** As the operator wrote them; none where it is left out. */
    ownNetworks?: string
  }
}

export interface Context {
  actor: Actor
  now: number
  deviceAt: number | null
  /** When it was entered, by this clock: now, or before it waited on a phone without signal. Work without a time of its own was done then. */
  enteredAt: number
  machinery: Machinery
  newId(): string
  /** Adds an entry to a chain when the handler is done; answers the id it will have. */
  record(draft: EntryDraft): string
}

export interface Command<Schema extends z.ZodType = z.ZodType, Result = unknown> {
  /** Verb-object, kebab-case. */
  name: string
  /** One sentence for the reference page. */
  summary: string
  capability: Capability
  input: Schema
  /**
   * What must not hold up the writer: hashing a password, resizing a picture. Runs before the transaction, and not at
   * all for a write that was answered before.
   */
  before?(input: z.output<Schema>, outside: { machinery: Machinery; actor: Actor }): Promise<z.output<Schema>>
  handle(scope: Scope, input: z.output<Schema>, context: Context): Promise<Result>
}

export const defineCommand = <Schema extends z.ZodType, Result>(command: Command<Schema, Result>) => command

/** A change that nobody needs to be signed in for: sign-up, sign-in, accepting an invitation. */
export interface PublicCommand<Schema extends z.ZodType = z.ZodType, Result = unknown> {
  name: string
  summary: string
  input: Schema
  before?(input: z.output<Schema>, machinery: Machinery, asking: Asking): Promise<z.output<Schema>>
  handle(session: Session, input: z.output<Schema>, context: PublicContext): Promise<Result>
}

/** Who this browser is signed in as, be it with no company chosen, and what is known of it. */
export interface Asking {
  personId: string | null
  visit: Visit
}

/** What is known of the browser that asks. */
export interface Visit {
  /** A hash of the cookie's secret, as the table of sessions has it; null without a session. */
  sessionId: string | null
  /** The company whose own provider opened the session. */
  boundTo: string | null
}

export interface PublicContext extends Asking {
  now: number
  machinery: Machinery
  newId(): string
}

export const definePublicCommand = <Schema extends z.ZodType, Result>(
  command: PublicCommand<Schema, Result>,
) => command

export interface Call {
  actor: Actor | null
  /** The `Idempotency-Key` header, for calls that create no named thing. */
  idempotencyKey?: string | undefined
  /** What the phone's own clock said. */
  deviceAt?: number | undefined
  /** When it was entered, where it waited on a phone before it was sent; never later than now. */
  enteredAt?: number | undefined
}

export interface Done<Result> {
  result: Result
  /** True when the same write was answered before and this is that answer again. */
  repeated: boolean
}

export async function runCommand<Schema extends z.ZodType, Result>(
  machinery: Machinery,
  command: Command<Schema, Result>,
  raw: unknown,
  call: Call,
): Promise<Done<Result>> {
  const { actor } = call
  if (!actor) throw signedOut()
  if (!may(actor, command.capability)) throw forbidden()
  if (!actor.scopes.includes('write')) throw forbidden(say.fields.thisTokenMayOnly, 'token-read-only')
  let input = parse(command.input, raw)
  const key = keyOf(raw, call)
  const contentHash = key ? sha256(canonical({ command: command.name, raw })) : ''
  if (command.before) {
    const reader = scopeOf(machinery.store.reader(), actor.companyId)
    const first = key ? await firstAnswer(reader, key) : undefined
    if (!first) input = await command.before(input, { machinery, actor })
  }
  const attempt = () => machinery.store.transaction(transact)
  if (!key) return attempt()
  // Two of the same at once: whatever the second was refused for, the first has done it, and its answer is there now.
  return attempt().catch(async (problem) => {
    if (!(problem instanceof Refusal) || problem.code === 'id-reused') throw problem
    if (!(await firstAnswer(scopeOf(machinery.store.reader(), actor.companyId), key))) throw problem
    return attempt()
  })

  async function transact(session: Session): Promise<Done<Result>> {
    if (!actor) throw signedOut()
    const scope = scopeOf(session, actor.companyId)
    if (key) {
      const first = await firstAnswer(scope, key)
      if (first) {
        if (first.contentHash !== contentHash) throw idReused(raw)
        return { result: first.answer as Result, repeated: true }
      }
    }
    const now = machinery.clock()
    const deviceAt = call.deviceAt ?? null
    const drafts: EntryDraft[] = []
    const result = await command.handle(scope, input, {
      actor,
      now,
      deviceAt,
      enteredAt: Math.min(call.enteredAt ?? now, now),
      machinery,
      newId,
      record: (draft) => {
        const entryId = newId()
        drafts.push({ ...draft, id: entryId })
        return entryId
      },
    })
    if (key) await keepAnswer(scope, key, { command: command.name, contentHash, answer: result, now })
    const judging = { now, newId, memberId: actor.memberId }
    drafts.push(...(await keepRegister(scope, drafts, judging)))
    for (const draft of drafts) await appendEntry(scope, draft, { now, deviceAt, memberId: actor.memberId })
    return { result, repeated: false }
  }
}

export async function runPublicCommand<Schema extends z.ZodType, Result>(
  machinery: Machinery,
  command: PublicCommand<Schema, Result>,
  raw: unknown,
  personId: string | null = null,
  visit: Visit = { sessionId: null, boundTo: null },
): Promise<Result> {
  const attempt = async () => {
    let input = parse(command.input, raw)
    if (command.before) input = await command.before(input, machinery, { personId, visit })
    return machinery.store.transaction((session) =>
      command.handle(session, input, { now: machinery.clock(), machinery, personId, visit, newId }),
    )
  }
  // Two of the same at once, as above: the one that lost looks again, with what there is by then.
  return attempt().catch((problem) => {
    if (problem instanceof Refusal && problem.code === 'already-there') return attempt()
    throw problem
  })
}

/** What zod says, as field errors with the path of each field. */
export function parse<Schema extends z.ZodType>(schema: Schema, raw: unknown): z.output<Schema> {
  const parsed = schema.safeParse(raw ?? {}, { error: inPlainWords })
  if (parsed.success) return parsed.data
  throw malformed(
    parsed.error.issues.map((issue) => ({
      path: (issue.code === 'unrecognized_keys'
        ? [...issue.path, ...issue.keys.slice(0, 1)]
        : issue.path
      ).join('.'),
      message: issue.message,
    })),
  )
}

/** Where a field says nothing of its own: an empty one is by far the most frequent mistake. */
export const inPlainWords: z.core.$ZodErrorMap = (issue) =>
  issue.code === 'invalid_type' && issue.input === undefined
    ? say.fields.thisIsNeeded
    : OTHERWISE[languageNow()]?.(issue)

/** What zod says by itself where nothing else is said; in English it needs no telling. */
const OTHERWISE: Partial<Record<Language, z.core.$ZodErrorMap>> = { es: z.locales.es().localeError }

function keyOf(raw: unknown, call: Call): string | null {
  const id = (raw as { id?: unknown } | null)?.id
  if (typeof id === 'string') return `id:${id}`
  return call.idempotencyKey ? `key:${call.idempotencyKey}` : null
}

function idReused(raw: unknown) {
  const byId = typeof (raw as { id?: unknown } | null)?.id === 'string'
  return conflict(
    'id-reused',
    say.fields.thisWasSentBefore,
    byId ? [{ path: 'id', message: say.fields.alreadyUsedForSomething }] : [],
  )
}

async function firstAnswer(scope: Scope, key: string) {
  const [row] = await prepared<{ contentHash: string; answer: unknown }>(scope, 'first_answer', ({ db, t }) =>
    db
      .select({ contentHash: t.idempotencyKeys.contentHash, answer: t.idempotencyKeys.answer })
      .from(t.idempotencyKeys)
      .where(
        and(
          eq(t.idempotencyKeys.companyId, sql.placeholder('companyId')),
          eq(t.idempotencyKeys.key, sql.placeholder('key')),
        ),
      ),
  ).execute({ companyId: scope.companyId, key })
  return row
}

async function keepAnswer(
  scope: Scope,
  key: string,
  kept: { command: string; contentHash: string; answer: unknown; now: number },
) {
  await prepared(scope, 'keep_answer', ({ db, t }) =>
    db.insert(t.idempotencyKeys).values({
      companyId: sql.placeholder('companyId'),
      key: sql.placeholder('key'),
      command: sql.placeholder('command'),
      contentHash: sql.placeholder('contentHash'),
      answer: sql.placeholder('answer'),
      at: sql.placeholder('at'),
    }),
  ).execute({
    companyId: scope.companyId,
    key,
    command: kept.command,
    contentHash: kept.contentHash,
    answer: kept.answer ?? {},
    at: kept.now,
  })
}
