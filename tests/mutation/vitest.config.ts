// Which tests are asked whether they notice a changed line? The quick ones of the arithmetic and of the rules.

import { fileURLToPath } from 'node:url'
import { defineConfig } from 'vitest/config'

export default defineConfig({
  root: fileURLToPath(new URL('../..', import.meta.url)),
  test: {
    include: ['tests/trade/**/*.test.ts', 'tests/rules/**/*.test.ts'],
    // Simulations prove other things, and take seconds for each changed line.
    exclude: ['tests/**/*-simulation.test.ts', 'tests/rules/naive.test.ts'],
    testTimeout: 30_000,
    pool: 'forks',
    maxWorkers: 1,
  },
})
