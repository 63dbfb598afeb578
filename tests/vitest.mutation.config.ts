import { defineConfig } from 'vitest/config'

/** The ground floor's own tests only: what a mutant of it must not survive. */
export default defineConfig({ test: { include: ['tests/domain/**/*.test.ts'], testTimeout: 60_000 } })
