import { defineConfig } from 'vitest/config';

export default defineConfig({
  test: {
    include: ['tests/{unit,verification,service,browser,nightly}/**/*.test.ts'],
    testTimeout: 60_000,
    hookTimeout: 120_000,
    maxWorkers: 2,
    globalSetup: ['tests/service/support/install-redis.ts'],
  },
});
