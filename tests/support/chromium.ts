// A real Chromium for tests: the one from the npm registry, or an installed one.

import { existsSync } from 'node:fs'
import chromium from '@sparticuz/chromium'
import { type Browser, chromium as playwright } from 'playwright-core'

const INSTALLED = ['/usr/bin/chromium', '/usr/bin/chromium-browser', '/usr/bin/google-chrome']

export async function launchChromium(): Promise<Browser> {
  const executablePath = INSTALLED.find((path) => existsSync(path)) ?? (await chromium.executablePath())
  return playwright.launch({ executablePath, args: ['--no-sandbox', '--disable-gpu'] })
}

/** The technician's phone. */
export const PHONE = { width: 390, height: 844 }
