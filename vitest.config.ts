import { defineConfig } from 'vitest/config'

export default defineConfig({
  esbuild: { jsx: "automatic", jsxImportSource: "preact" },
  test: {
    include: ['tests/**/*.test.{ts,tsx}'],
    exclude: ['tests/bench/**', 'node_modules/**'],
    testTimeout: 30_000,
    hookTimeout: 60_000,
    pool: 'forks',
    maxWorkers: 2,
  },
})
