import { defineConfig } from 'vitest/config';
import { type Project, testsByProject } from './projects.js';

const tests = testsByProject();

/** Tests of one project share what they import, except those that start processes; nothing in it may be changed by a test. */
const project = (
  name: Project,
  test: { setupFiles?: string[]; globalSetup?: string[]; isolate: boolean },
) => ({
  extends: true as const,
  test: { name, include: [...tests[name]], ...test },
});
const POSTGRES = 'test/support/global-setup.ts';
const setupFiles = ['test/support/no-offences.ts'];

// biome-ignore lint/style/noDefaultExport: vitest reads its configuration from the default export
export default defineConfig({
  test: {
    root: new URL('..', import.meta.url).pathname,
    pool: 'forks',
    // Tests that start processes mostly wait for them.
    maxWorkers: 2,
    testTimeout: 30_000,
    hookTimeout: 60_000,
    sequence: { hooks: 'stack' },
    projects: [
      project('pure', { isolate: false }),
      project('records', { isolate: false, globalSetup: [POSTGRES], setupFiles }),
      project('processes', {
        isolate: true,
        globalSetup: ['test/support/built-once.ts', POSTGRES],
        setupFiles,
      }),
    ],
  },
});
