import { defineConfig } from 'vitest/config';

export default defineConfig({
  test: {
    include: ['tests/**/*.test.ts'],
    exclude: ['tests/workbench/**'],
    testTimeout: 60_000,
    pool: 'forks',
    maxWorkers: 2,
  },
});
