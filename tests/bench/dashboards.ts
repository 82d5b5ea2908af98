// How fast are what comes back and a joint's history with a million joints, and how much slower than with ten thousand?
// Usage: npx tsx tests/bench/dashboards.ts [joints] [postgres://… of an empty database]

import { mkdirSync, mkdtempSync, rmSync, statSync } from 'node:fs'
import { join } from 'node:path'
import type { FastifyInstance } from 'fastify'
import { sealerOf } from '../../server/access/sealer.ts'
import { SESSION_COOKIE, sessionsOf } from '../../server/access/sessions.ts'
import { buildApp } from '../../server/app.ts'
import { signerOf } from '../../server/certificate/signing-key.ts'
import { readConfig } from '../../server/config.ts'
import { ROOT } from '../../server/root.ts'
import { localFiles } from '../../server/store/files.ts'
import { migrate } from '../../server/store/migrate.ts'
import { openStore } from '../../server/store/open.ts'
import { rebuildRollups } from '../../server/store/rollups.ts'
import { TEST_KEY, TEST_SECRET } from '../support/cast.ts'
import { type WrittenCompany, writeCompany } from './histories.ts'

/** As many companies as that makes: each is as large, so that only the database grows. */
const JOINTS_OF_A_COMPANY = 10_000
const ROUNDS = 60

export async function dashboards(
  say: (line?: string) => void,
  joints: number,
  postgres?: string | undefined,
): Promise<void> {
  mkdirSync(join(ROOT, 'data'), { recursive: true })
  const folder = mkdtempSync(join(ROOT, 'data', 'bench-dashboards-'))
  const file = join(folder, 'jointkeep.db')
  const url = postgres ?? `sqlite:${file}`
  const store = await openStore(url)
  try {
    await migrate(store)
    let at = Date.now()
    const machinery = {
      store,
      files: localFiles(folder),
      clock: () => at,
      setClock: (moment: number) => {
        at = moment
      },
      signer: signerOf(TEST_KEY),
      sealer: sealerOf(TEST_SECRET),
      settings: { signup: 'closed' as const, publicUrl: 'http://127.0.0.1' },
    }
    const now = Date.now()
    const companies = Math.max(1, Math.round(joints / JOINTS_OF_A_COMPANY))
    const of = Math.min(joints, JOINTS_OF_A_COMPANY)
    const written: WrittenCompany[] = []
    const write = async (number: number) => {
      written.push(await writeCompany(machinery, { number, joints: of, now }))
    }
    await write(0)
    const config = readConfig({ JOINTKEEP_FILES: folder, DATABASE_URL: url, JOINTKEEP_LOG: 'silent' })
    const sessions = sessionsOf(store, () => now, false)
    const { server } = await buildApp({ config, machinery, sessions })
    await server.ready()
    const ask = (company: WrittenCompany) => asker(server, sessions, company)

    say()
    say(
      `what comes back, on ${postgres ? 'PostgreSQL' : 'SQLite'}, ${ROUNDS} questions each, p50 and p95 in ms`,
    )
    const few = await measure(await Promise.all([ask(written[0] as WrittenCompany)]))
    for (let number = 1; number < companies; number += 1) await write(number)
    if (postgres) await store.execute('analyze')
    const sum = (count: (one: WrittenCompany) => number) =>
      written.reduce((total, one) => total + count(one), 0)
    const [facts, sums, callbacks] = (['facts', 'sums', 'callbacks'] as const).map((part) =>
      sum(({ seconds }) => seconds[part]),
    )
    say(
      `written   ${sum((one) => one.joints)} joints and ${sum((one) => one.callbacks)} callbacks of ${companies} companies, ${sum((one) => one.rows)} rows: facts ${facts?.toFixed(0)} s (${(sum((one) => one.rows) / (facts || 1)).toFixed(0)} rows/s), sums ${sums?.toFixed(0)} s, callbacks by command ${callbacks?.toFixed(0)} s`,
    )
    if (!postgres) say(`size      ${(statSync(file).size / 1e6).toFixed(0)} MB`)
    // One from each part of the database, none of them just written.
    const some = [0, 1, 2, 3, 4, 5].flatMap((part) => written[Math.floor((part / 6) * companies)] ?? [])
    const many = await measure(await Promise.all(some.map(ask)))
    for (const [name, times] of Object.entries(many)) {
      const before = few[name] ?? []
      say(
        `  ${name.padEnd(34)} ${words(times)}   with one company of ${of} joints ${words(before)}: ${(p(times, 0.95) / p(before, 0.95)).toFixed(2)} times as long`,
      )
    }
    say('  (aims: dashboards p95 100 ms and 1.5 times as long at most, a joint’s history p95 50 ms)')
    const rebuilt = await rebuildRollups(store, some[1]?.actor.companyId ?? '', now)
    say(
      `rebuilt   one company: ${rebuilt.lives} makings, ${rebuilt.sums} sums, ${rebuilt.differed} of them wrong`,
    )
    await server.close()
  } finally {
    await store.close()
    rmSync(folder, { recursive: true, force: true })
  }
}

type Asker = (round: number) => Promise<Record<string, number>>

async function asker(
  server: FastifyInstance,
  sessions: ReturnType<typeof sessionsOf>,
  { actor, jointIds }: WrittenCompany,
): Promise<Asker> {
  const cookie = `${SESSION_COOKIE}=${await sessions.start(actor.personId, actor.companyId)}`
  const time = async (url: string) => {
    const from = performance.now()
    const answer = await server.inject({ url, headers: { cookie } })
    if (answer.statusCode !== 200)
      throw new Error(`${url} was answered ${answer.statusCode}: ${answer.body.slice(0, 200)}`)
    return performance.now() - from
  }
  const by = ['position', 'flaringTool', 'technician', 'model', 'month', 'wrench']
  return async (round) => {
    const one = by[round % by.length] ?? 'position'
    const jointId = jointIds[(round * 7) % jointIds.length] ?? ''
    return {
      'dashboard, page': await time(`/reliability?by=${one}`),
      'dashboard, days chosen': await time(`/reliability?by=${one}&from=2022-03-15&to=2025-10-20`),
      'dashboard, API': await time(`/api/v1/reliability?by=${one}`),
      'all together, API': await time('/api/v1/reliability/overview'),
      'pair (counted joint by joint)': await time('/api/v1/reliability?by=flaringTool&also=position'),
      'joints of all, page': await time('/reliability/joints?by=position'),
      'joint, page': await time(`/joints/${jointId}`),
      'joint history, API': await time(`/api/v1/joints/${jointId}/history`),
    }
  }
}

async function measure(askers: readonly Asker[]): Promise<Record<string, number[]>> {
  const times: Record<string, number[]> = {}
  // The first of each warms what any service has warm.
  for (const ask of askers) await ask(0)
  for (let round = 0; round < ROUNDS; round += 1)
    for (const [name, time] of Object.entries((await askers[round % askers.length]?.(round)) ?? {}))
      times[name] = [...(times[name] ?? []), time]
  return times
}

const p = (times: readonly number[], share: number) =>
  times.toSorted((a, b) => a - b)[Math.min(times.length - 1, Math.floor(times.length * share))] ?? Number.NaN
const words = (times: readonly number[]) =>
  `${p(times, 0.5).toFixed(1).padStart(6)} ${p(times, 0.95).toFixed(1).padStart(6)}`

if (process.argv[1]?.endsWith('dashboards.ts'))
  await dashboards(
    (line = '') => process.stdout.write(`${line}\n`),
    Number(process.argv[2] ?? 1_000_000),
    process.argv[3],
  )
