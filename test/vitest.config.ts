import { defineConfig } from 'vitest/config';

// biome-ignore lint/style/noDefaultExport: vitest reads its configuration from the default export
export default defineConfig({
  test: {
    root: new URL('..', import.meta.url).pathname,
    include: ['test/**/*.test.ts'],
    globalSetup: ['test/support/global-setup.ts'],
    pool: 'forks',
    testTimeout: 30_000,
    hookTimeout: 60_000,
    sequence: { hooks: 'stack' },
  },
});
