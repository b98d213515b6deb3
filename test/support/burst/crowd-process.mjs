// The crowd as a process, from its TypeScript source.
import { fileURLToPath } from 'node:url';
import { runnerImport } from 'vite';

await runnerImport(fileURLToPath(new URL('crowd-process.ts', import.meta.url)), { logLevel: 'error' });
