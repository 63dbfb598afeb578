import { defineConfig } from 'vitest/config'

// Two projects: `quick` (ground floor, store, HTTP) runs in parallel, its files in the same processes, for reading the
// program anew for each takes as long as the tests; then `browser` drives one Chromium, one file at a time.
export default defineConfig({
  test: {
    projects: [
      {
        test: {
          name: 'quick',
          root: new URL('..', import.meta.url).pathname,
          include: ['tests/**/*.test.ts'],
          exclude: ['tests/browser/**'],
          testTimeout: 60_000,
          setupFiles: ['tests/same-again.ts'],
          isolate: false,
          maxWorkers: 2,
        },
      },
      {
        test: {
          name: 'browser',
          root: new URL('..', import.meta.url).pathname,
          include: ['tests/browser/**/*.test.ts'],
          fileParallelism: false,
          sequence: { groupOrder: 1 },
          testTimeout: 180_000,
          hookTimeout: 60_000,
        },
      },
    ],
  },
})
