import { defineConfig } from 'vitest/config'

// Two projects: `quick` (ground floor, store, HTTP) runs in parallel; `browser` drives one Chromium, one file at a time.
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
        },
      },
      {
        test: {
          name: 'browser',
          root: new URL('..', import.meta.url).pathname,
          include: ['tests/browser/**/*.test.ts'],
          fileParallelism: false,
          testTimeout: 180_000,
          hookTimeout: 60_000,
        },
      },
    ],
  },
})
