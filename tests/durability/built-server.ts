// How is the built service started as its own process, the way somebody would run it, and brought down again?

import { type ChildProcess, spawn } from 'node:child_process'
import { existsSync, mkdtempSync, rmSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { ROOT } from '../../server/root.ts'

export const BUILT = join(ROOT, 'dist', 'server', 'main.js')

export interface Service {
  process: ChildProcess
  address: string
  /** Ends it without a chance to finish anything; resolves when it is gone. */
  kill(): Promise<void>
  /** Asks it to finish and end; answers its exit code. */
  stop(): Promise<number | null>
}

export interface Home {
  folder: string
  file: string
  remove(): void
}

export function aHome(name: string): Home {
  const folder = mkdtempSync(join(tmpdir(), `jointkeep-${name}-`))
  return {
    folder,
    file: join(folder, 'jointkeep.db'),
    remove: () => rmSync(folder, { recursive: true, force: true }),
  }
}

export async function startService(
  home: Home,
  more: { nodeOptions?: string[]; environment?: Record<string, string> } = {},
): Promise<Service> {
  if (!existsSync(BUILT)) throw new Error('The service is not built: run `npm run build` first.')
  const child = spawn(process.execPath, [...(more.nodeOptions ?? []), BUILT], {
    cwd: home.folder,
    env: {
      PATH: process.env.PATH,
      HOST: '127.0.0.1',
      PORT: '0',
      DATABASE_URL: `sqlite:${home.file}`,
      JOINTKEEP_FILES: join(home.folder, 'files'),
      JOINTKEEP_SIGNING_KEY: join(home.folder, 'signing-key.json'),
      JOINTKEEP_SIGNUP: 'open',
      JOINTKEEP_LOG: 'error',
      ...more.environment,
    },
    stdio: ['ignore', 'pipe', 'pipe'],
  })
  const gone = new Promise<number | null>((resolve) => child.once('exit', (code) => resolve(code)))
  let complaints = ''
  child.stderr?.on('data', (data) => {
    complaints += String(data)
  })
  const address = await new Promise<string>((resolve, reject) => {
    let said = ''
    const late = setTimeout(() => reject(new Error(`It did not start in time. ${complaints}`)), 30_000)
    child.stdout?.on('data', (data) => {
      said += String(data)
      const found = /listens on (http:\/\/\S+)/.exec(said)?.[1]
      if (!found) return
      clearTimeout(late)
      resolve(found)
    })
    void gone.then((code) => {
      clearTimeout(late)
      reject(new Error(`It ended with ${code} before it listened. ${complaints}`))
    })
  })
  return {
    process: child,
    address,
    async kill() {
      child.kill('SIGKILL')
      await gone
    },
    async stop() {
      child.kill('SIGTERM')
      return gone
    },
  }
}
