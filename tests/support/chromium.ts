// A real Chromium for tests: the one that was found before they began.

import { type Browser, chromium } from 'playwright-core'
import { findChromium, LIBRARIES_VARIABLE, PATH_VARIABLE } from './find-chromium.ts'

export async function launchChromium(): Promise<Browser> {
  const known = process.env[PATH_VARIABLE]
  const found = known
    ? { path: known, libraries: process.env[LIBRARIES_VARIABLE] ?? '' }
    : await findChromium()
  if ('because' in found) throw new Error(`No browser starts here: ${found.because}`)
  return chromium.launch({
    executablePath: found.path,
    args: ['--no-sandbox', '--disable-gpu'],
    ...(found.libraries ? { env: { ...process.env, LD_LIBRARY_PATH: found.libraries } } : {}),
  })
}

/** The technician's phone. */
export const PHONE = { width: 390, height: 844 }
