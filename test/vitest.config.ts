import { defineConfig } from 'vitest/config';

export default defineConfig({
  test: {
    root: new URL('..', import.meta.url).pathname,
    include: ['test/**/*.test.{ts,tsx}'],
    exclude: ['test/e2e/**', 'test/attack/**'],
    setupFiles: ['test/setup.ts'],
    testTimeout: 20_000,
  },
});
