import { defineConfig } from 'vitest/config';

export default defineConfig({
  test: {
    include: ['tests/**/*.test.{ts,tsx}'],
    testTimeout: 30_000,
    hookTimeout: 60_000,
    // Two cores are the smallest machine this must pass on; more workers only make timing tests flaky.
    maxWorkers: 2,
    reporters: ['default'],
  },
});
