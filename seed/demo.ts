// How is the demo started? Its database is made when there is none; then the service runs on it, on this machine.

import { existsSync, linkSync, mkdirSync, mkdtempSync, rmSync } from 'node:fs'
import { join } from 'node:path'
import { loadSigner } from '../server/certificate/signing-key.ts'
import { type Config, readConfig } from '../server/config.ts'
import { closeOnSignal, serve } from '../server/main.ts'
import { ROOT } from '../server/root.ts'
import { localFiles } from '../server/store/files.ts'
import { migrate } from '../server/store/migrate.ts'
import { openStore } from '../server/store/open.ts'
import { DEMO_PASSWORD, NINEFOLD, SALTMARSH } from './people.ts'
import { tellScenario } from './scenario.ts'

const SEED = 20

/** The settings of the demo: where it keeps its data is fixed, where it listens is not. */
export function demoConfig(folder: string): Config {
  return {
    ...readConfig(),
    databaseUrl: `sqlite:${join(folder, 'jointkeep.db')}`,
    files: join(folder, 'files'),
    signingKey: join(folder, 'signing-key.json'),
  }
}

/** Makes the demo's database where there is none; answers whether it did. */
export async function prepareDemo(folder: string, config: Config): Promise<boolean> {
  const file = join(folder, 'jointkeep.db')
  if (existsSync(file)) return false
  mkdirSync(folder, { recursive: true })
  // Told beside its place and put there whole, so that an interrupted start leaves no half story.
  const beside = mkdtempSync(join(folder, 'telling-'))
  const unfinished = join(beside, 'jointkeep.db')
  try {
    await tellInto(unfinished, config)
    // A link never takes the place of what another start has put there meanwhile.
    linkSync(unfinished, file)
    return true
  } catch (problem) {
    if ((problem as NodeJS.ErrnoException).code === 'EEXIST') return false
    throw problem
  } finally {
    rmSync(beside, { recursive: true })
  }
}

async function tellInto(file: string, config: Config): Promise<void> {
  const store = await openStore(`sqlite:${file}`)
  try {
    await migrate(store)
    await tellScenario({
      store,
      files: localFiles(config.files),
      signer: await loadSigner(config.signingKey),
      publicUrl: config.publicUrl,
      now: Date.now(),
      seed: SEED,
    })
    await store.execute('pragma wal_checkpoint(truncate)')
  } finally {
    await store.close()
  }
}

/** The accounts, one a line, in columns. */
export function accountTable(): string {
  const rows = [SALTMARSH, NINEFOLD].flatMap(({ name, people }) =>
    people.map((person) => [person.email, person.role, person.name, name]),
  )
  const widths = [0, 1, 2, 3].map((column) => Math.max(...rows.map((row) => row[column]?.length ?? 0)))
  return rows
    .map((row) => `  ${row.map((cell, column) => cell.padEnd(widths[column] ?? 0)).join('   ')}`.trimEnd())
    .join('\n')
}

function inWords(problem: unknown, config: Config): string {
  if ((problem as NodeJS.ErrnoException).code === 'EADDRINUSE')
    return `Port ${config.port} on ${config.host} is taken. Choose another one: PORT=${config.port + 1} npm run demo`
  return problem instanceof Error ? (problem.stack ?? problem.message) : String(problem)
}

const say = (line: string) => process.stdout.write(`${line}\n`)

async function start(): Promise<void> {
  const folder = join(ROOT, 'data', 'demo')
  const config = demoConfig(folder)
  try {
    if (!existsSync(join(folder, 'jointkeep.db')))
      say('Telling four years of the demo story into data/demo, which takes a while …')
    const fresh = await prepareDemo(folder, config)
    const running = await serve(config)
    closeOnSignal(running)
    say(`
Jointkeep demo: ${running.address}
Sign in with any of these; the password of all is "${DEMO_PASSWORD}".

${accountTable()}

${fresh ? 'What you enter is kept in data/demo.' : 'This is the demo as you left it.'} To begin anew, stop it and delete that folder.
Stop with Ctrl+C.`)
  } catch (problem) {
    process.stderr.write(`${inWords(problem, config)}\n`)
    process.exit(1)
  }
}

const startedDirectly = process.argv[1] !== undefined && /(^|\/)demo\.(js|ts)$/.test(process.argv[1])
if (startedDirectly) await start()
