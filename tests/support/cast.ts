// The fixed cast of every test: company A with one of each role, company B with one technician; a fixed clock.

import { mkdtempSync, rmSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import type { FastifyInstance } from 'fastify'
import type { z } from 'zod'
import type { Actor } from '../../server/access/actor.ts'
import { sealerOf } from '../../server/access/sealer.ts'
import { sessionsOf } from '../../server/access/sessions.ts'
import { TOKEN_PREFIX } from '../../server/access/tokens.ts'
import type { App } from '../../server/app.ts'
import { signerOf } from '../../server/certificate/signing-key.ts'
import type { Command, Done, Machinery } from '../../server/commands/command.ts'
import { runCommand } from '../../server/commands/command.ts'
import { readConfig } from '../../server/config.ts'
import type { Deps } from '../../server/http/deps.ts'
import { newId, newSecret, sha256 } from '../../server/ids.ts'
import { BUILT_IN_POLICY } from '../../server/rules/policy.ts'
import { localFiles } from '../../server/store/files.ts'
import { appendEntry, appendFact, startChain } from '../../server/store/record.ts'
import { scopeOf } from '../../server/store/store.ts'
import type { Role } from '../../server/vocabulary.ts'
import { freshStore, type StoreKind, type TestStore } from './stores.ts'

/** Wednesday 4 March 2026, 15:00 UTC. */
export const NOON = Date.UTC(2026, 2, 4, 15, 0, 0)
export const MINUTE = 60_000
export const HOUR = 60 * MINUTE
export const DAY = 24 * HOUR

/** The published example key of RFC 8037, appendix A: known to all, good for tests alone. */
export const TEST_KEY = {
  kty: 'OKP',
  crv: 'Ed25519',
  d: 'nWGxne_9WmC6hEr0kuwsxERJxWl7MmkZcDusAxyuf2A',
  x: '11qYAYKxCrfVS_7TyWQHOg7hcvPapiMlrwIaaPcHURo',
}

/** What secrets are kept under in tests. */
export const TEST_SECRET = new Uint8Array(32).fill(7)

export interface Clock {
  now: number
  pass(milliseconds: number): void
}

export interface Player extends Actor {
  crewId: string
  /** For `Authorization: Bearer …`. */
  token: string
  /** For the `Cookie` header. */
  cookie: string
}

export interface Cast {
  store: TestStore
  machinery: Machinery
  deps: Deps
  clock: Clock
  /** Company A. */
  tess: Player
  sam: Player
  wren: Player
  olga: Player
  /** Company B. */
  zoe: Player
  /** Runs a command as somebody and answers its result. */
  run<Schema extends z.ZodType, Result>(
    player: Actor,
    command: Command<Schema, Result>,
    raw: z.input<Schema>,
  ): Promise<Result>
  done<Schema extends z.ZodType, Result>(
    player: Actor,
    command: Command<Schema, Result>,
    raw: unknown,
  ): Promise<Done<Result>>
  /** The service over this store, ready for requests. */
  app(): Promise<App>
  server(): Promise<FastifyInstance>
  remove(): Promise<void>
}

export async function aCast(kind: StoreKind = 'sqlite'): Promise<Cast> {
  const store = await freshStore(kind)
  const clock: Clock = {
    now: NOON,
    pass(milliseconds) {
      this.now += milliseconds
    },
  }
  const folder = mkdtempSync(join(tmpdir(), 'jointkeep-files-'))
  const config = readConfig({
    JOINTKEEP_FILES: folder,
    DATABASE_URL: store.file ? `sqlite:${store.file}` : 'postgres://localhost/test',
    JOINTKEEP_LOG: 'silent',
    JOINTKEEP_PUBLIC_URL: 'http://jointkeep.test',
  })
  const machinery: Machinery = {
    store: store.store,
    files: localFiles(folder),
    clock: () => clock.now,
    signer: signerOf(TEST_KEY),
    sealer: sealerOf(TEST_SECRET),
    settings: { signup: 'open', publicUrl: config.publicUrl },
  }
  const sessions = sessionsOf(store.store, () => clock.now, false)
  const deps: Deps = { config, machinery, sessions }

  const players = await store.store.transaction(async (session) => {
    const companyA = newId()
    const companyB = newId()
    const { db, t } = session
    const add = async (companyId: string, companyName: string, name: string, role: Role): Promise<Player> => {
      const personId = newId()
      const memberId = newId()
      const crewId = newId()
      const secret = `${TOKEN_PREFIX}${newSecret()}`
      await db.insert(t.people).values({
        id: personId,
        name,
        email: `${name}@${companyName}.example`,
        emailLower: `${name}@${companyName}.example`.toLowerCase(),
        passwordHash: 'none',
        createdAt: NOON,
      })
      await db
        .insert(t.members)
        .values({ companyId, id: memberId, personId, role, active: true, createdAt: NOON })
      await db.insert(t.crew).values({
        companyId,
        id: crewId,
        name,
        memberId,
        credentials: [],
        salt: 'salt',
        active: true,
        createdAt: NOON,
      })
      await db.insert(t.tokens).values({
        companyId,
        id: newId(),
        memberId,
        name: 'test',
        scopes: ['read', 'write'],
        tokenHash: sha256(secret),
        createdAt: NOON,
        expiresAt: NOON + 3650 * DAY,
        revokedAt: null,
      })
      return {
        personId,
        memberId,
        crewId,
        companyId,
        companyName,
        name,
        role,
        scopes: ['read', 'write'],
        via: 'session',
        token: secret,
        cookie: '',
      }
    }
    const found = async (companyId: string, name: string) => {
      await db.insert(t.companies).values({ id: companyId, name, createdAt: NOON })
      await startChain(scopeOf(session, companyId), companyId, 'company')
    }
    const setPolicy = async (owner: Player) => {
      const scope = scopeOf(session, owner.companyId)
      const policy = await appendFact(scope, 'policies', {
        companyId: owner.companyId,
        id: newId(),
        version: 1,
        criteria: { ...BUILT_IN_POLICY, evidence: { photos: [] } },
        reason: null,
        changedBy: owner.memberId,
        createdAt: NOON,
      })
      await appendEntry(
        scope,
        { chainId: owner.companyId, kind: 'company-founded', subjectId: owner.companyId, facts: [policy] },
        { now: NOON, deviceAt: null, memberId: owner.memberId },
      )
    }
    await found(companyA, 'North Ridge Air')
    await found(companyB, 'Ninefold Mechanical')
    const tess = await add(companyA, 'North Ridge Air', 'Tess', 'technician')
    const sam = await add(companyA, 'North Ridge Air', 'Sam', 'manager')
    const wren = await add(companyA, 'North Ridge Air', 'Wren', 'warranty')
    const olga = await add(companyA, 'North Ridge Air', 'Olga', 'owner')
    const zoe = await add(companyB, 'Ninefold Mechanical', 'Zoe', 'technician')
    await setPolicy(olga)
    await setPolicy(zoe)
    return { tess, sam, wren, olga, zoe }
  })
  for (const player of Object.values(players)) {
    const secret = await sessions.start(player.personId, player.companyId)
    player.cookie = `jointkeep_session=${secret}`
  }

  let app: App | undefined
  const done: Cast['done'] = (player, command, raw) => runCommand(machinery, command, raw, { actor: player })
  const ready = async () => {
    // Imported on first use: a test of commands needs no pages.
    app ??= await (await import('../../server/app.ts')).buildApp(deps)
    await app.server.ready()
    return app
  }
  return {
    store,
    machinery,
    deps,
    clock,
    ...players,
    done,
    run: async (player, command, raw) => (await done(player, command, raw)).result,
    app: ready,
    server: async () => (await ready()).server,
    async remove() {
      await app?.server.close()
      await store.remove()
      rmSync(folder, { recursive: true, force: true })
    },
  }
}

export const ORIGIN = 'http://jointkeep.test'

/** Headers of a signed-in browser. */
export const asBrowser = (player: Player) => ({ cookie: player.cookie, origin: ORIGIN })
/** Headers of a program with a token. */
export const asProgram = (player: Player) => ({ authorization: `Bearer ${player.token}` })
