import { defineConfig } from 'vitest/config';

// eslint-disable-next-line no-restricted-exports -- vitest reads the default export
export default defineConfig({
  test: {
    include: ['tests/**/*.test.ts'],
    env: { TZ: 'UTC', NO_COLOR: '1' },
    testTimeout: 60_000,
    hookTimeout: 120_000,
    pool: 'forks',
    maxWorkers: 2,
  },
});
