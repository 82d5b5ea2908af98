// A real Chromium for tests: the one that was found before they began.

import { type Browser, type BrowserContext, chromium } from 'playwright-core'
import { findChromium, LIBRARIES_VARIABLE, PATH_VARIABLE } from './find-chromium.ts'

async function howToLaunch() {
  const known = process.env[PATH_VARIABLE]
  const found = known
    ? { path: known, libraries: process.env[LIBRARIES_VARIABLE] ?? '' }
    : await findChromium()
  if ('because' in found) throw new Error(`No browser starts here: ${found.because}`)
  return {
    executablePath: found.path,
    args: ['--no-sandbox', '--disable-gpu'],
    ...(found.libraries ? { env: { ...process.env, LD_LIBRARY_PATH: found.libraries } } : {}),
  }
}

export const launchChromium = async (): Promise<Browser> => chromium.launch(await howToLaunch())

/** A phone that keeps what it has in a folder, so that it can be switched off and on again. */
export const switchOnPhone = async (folder: string): Promise<BrowserContext> =>
  chromium.launchPersistentContext(folder, { ...(await howToLaunch()), viewport: PHONE, timezoneId: 'UTC' })

/** The technician's phone. */
export const PHONE = { width: 390, height: 844 }
