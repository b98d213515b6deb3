import { spawnSync } from 'node:child_process';
import { fileURLToPath } from 'node:url';

/** Builds the bot before any test starts it, so that no two of them build it at the same time. */
export function setup(): void {
  const start = fileURLToPath(new URL('../../src/start.mjs', import.meta.url));
  spawnSync(process.execPath, [start, '--help'], { stdio: 'ignore' });
}
