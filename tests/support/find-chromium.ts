// Can a browser start on this machine? Found out once, before the tests are shared out among workers.

import { spawnSync } from 'node:child_process'
import { existsSync, mkdirSync, readdirSync, readFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'

const INSTALLED = ['/usr/bin/chromium', '/usr/bin/chromium-browser', '/usr/bin/google-chrome']
/** How the workers come to know; the paths are those of this machine. */
export const PATH_VARIABLE = 'JOINTKEEP_TEST_CHROMIUM'
export const LIBRARIES_VARIABLE = 'JOINTKEEP_TEST_CHROMIUM_LIBRARIES'

export type Found = { path: string; libraries: string } | { because: string }

const starts = (path: string, libraries = '') => {
  const told = spawnSync(path, ['--version'], {
    env: { ...process.env, ...(libraries ? { LD_LIBRARY_PATH: libraries } : {}) },
    encoding: 'utf8',
    timeout: 30_000,
  })
  return { well: told.status === 0, said: `${told.stderr ?? ''}${told.error?.message ?? ''}`.trim() }
}

/** An installed one, else the one from the npm registry; if the system lacks its libraries, with those that come with it. */
export async function findChromium(): Promise<Found> {
  for (const path of INSTALLED) if (existsSync(path) && starts(path).well) return { path, libraries: '' }
  try {
    const path = await unpacked('chromium-unpacked', false)
    const alone = starts(path)
    if (alone.well) return { path, libraries: '' }
    const complete = await unpacked('chromium-unpacked-with-libraries', true)
    const libraries = join(tmpdir(), 'jointkeep-chromium-unpacked-with-libraries', 'al2023', 'lib')
    if (starts(complete, libraries).well) return { path: complete, libraries }
    return { because: alone.said.split('\n')[0] ?? 'It does not start.' }
  } catch (problem) {
    return { because: problem instanceof Error ? problem.message : String(problem) }
  }
}

/** The package unpacks into the folder for temporary files, and looks at its surroundings for what is needed. */
async function unpacked(name: string, withLibraries: boolean): Promise<string> {
  const before = { TMPDIR: process.env.TMPDIR, AWS_EXECUTION_ENV: process.env.AWS_EXECUTION_ENV }
  const folder = join(tmpdir(), `jointkeep-${name}`)
  mkdirSync(folder, { recursive: true })
  const { default: sparticuz } = await import('@sparticuz/chromium')
  try {
    process.env.TMPDIR = folder
    if (withLibraries) process.env.AWS_EXECUTION_ENV = 'AWS_Lambda_nodejs20.x'
    return await sparticuz.executablePath()
  } finally {
    for (const [variable, value] of Object.entries(before))
      if (value === undefined) delete process.env[variable]
      else process.env[variable] = value
  }
}

/** The test files that need a browser. */
export function browserTests(folder: string): string[] {
  return readdirSync(folder, { recursive: true, encoding: 'utf8' })
    .filter((file) => /\.test\.tsx?$/.test(file))
    .filter((file) => /support\/chromium\.ts'/.test(readFileSync(join(folder, file), 'utf8')))
    .map((file) => join('tests', file))
}
