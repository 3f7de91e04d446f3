import { defineConfig } from 'vitest/config';

// vitest reads the default export
export default defineConfig({
  test: {
    include: ['tests/**/*.test.ts'],
    env: { TZ: 'UTC', NO_COLOR: '1' },
    testTimeout: 60_000,
    hookTimeout: 120_000,
    pool: 'forks',
    maxWorkers: 2,
    // A test in which nothing was asserted (a loop over nothing, say) fails.
    expect: { requireAssertions: true },
  },
});
