import { fileURLToPath } from 'node:url'
import { defineConfig } from 'vitest/config'
import {
  browserTests,
  findChromium,
  LIBRARIES_VARIABLE,
  PATH_VARIABLE,
} from './tests/support/find-chromium.ts'

export default defineConfig(async () => {
  const found = await findChromium()
  const skipped: string[] = []
  if ('path' in found) {
    process.env[PATH_VARIABLE] = found.path
    process.env[LIBRARIES_VARIABLE] = found.libraries
  } else {
    const because = `No browser starts on this machine: ${found.because}`
    // Where every check must run, a missing browser is a failure.
    if (process.env.JOINTKEEP_TEST_BROWSER === 'required') throw new Error(because)
    skipped.push(...browserTests(fileURLToPath(new URL('tests', import.meta.url))))
    process.stderr.write(
      `${because}\nSkipped: ${skipped.join(', ')}.\nInstall Chromium, or the libraries it needs (on Debian: apt install libnss3), to run them.\n`,
    )
  }
  return {
    esbuild: { jsx: 'automatic' as const, jsxImportSource: 'preact' },
    test: {
      include: ['tests/**/*.test.{ts,tsx}'],
      exclude: ['tests/bench/**', 'node_modules/**', ...skipped],
      // Long enough for a browser on a machine that has other work; what hangs still ends.
      testTimeout: 120_000,
      hookTimeout: 120_000,
      pool: 'forks' as const,
      maxWorkers: 2,
    },
  }
})
