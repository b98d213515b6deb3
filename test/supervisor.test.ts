import { mkdtemp, readFile, rm, writeFile } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { keepRunning, pauseBeforeStart } from '../src/supervisor.js';

const MINUTE_MS = 60_000;

let folder: string;
beforeAll(async () => {
  folder = await mkdtemp(join(tmpdir(), 'tallow-tally-supervisor-'));
});
afterAll(() => rm(folder, { recursive: true, force: true }));

/** A program that ends as its runs are told, one after the other: with a status, or killed by a signal. */
async function programThat(...ends: readonly (number | string)[]): Promise<string> {
  const file = join(folder, `${ends.join('-')}.mjs`);
  await writeFile(
    file,
    `import { appendFileSync, existsSync, readFileSync } from 'node:fs';
const count = ${JSON.stringify(`${file}.runs`)};
const run = existsSync(count) ? readFileSync(count, 'utf8').length : 0;
appendFileSync(count, '.');
const end = ${JSON.stringify(ends)}[run];
if (typeof end === 'string') process.kill(process.pid, end);
else process.exit(end);
`,
  );
  return file;
}

async function run(...ends: readonly (number | string)[]) {
  const file = await programThat(...ends);
  const said: string[] = [];
  const status = await keepRunning({ file, args: [], say: (line) => void said.push(line) });
  return { status, said, runs: (await readFile(`${file}.runs`, 'utf8')).length };
}

describe('the pause before another start', () => {
  it('doubles from a second to a minute', () => {
    const pauses: number[] = [];
    for (let at = 0; at < 8; at++) pauses.push(pauseBeforeStart(pauses.at(-1) ?? 0, 5000));
    expect(pauses).toEqual([1000, 2000, 4000, 8000, 16_000, 32_000, 60_000, 60_000]);
  });

  it('is a second again after the bot ran well for ten minutes', () => {
    expect(pauseBeforeStart(MINUTE_MS, 10 * MINUTE_MS)).toBe(1000);
    expect(pauseBeforeStart(MINUTE_MS, 10 * MINUTE_MS - 1)).toBe(MINUTE_MS);
  });
});

describe('a bot that is looked after', () => {
  it('is started again when it fails or is killed, until it ends in order', async () => {
    const { status, said, runs } = await run(1, 'SIGKILL', 0);
    expect(runs).toBe(3);
    expect(status).toBe(0);
    expect(said).toEqual([
      'The bot ended with status 1; starting it again in 1 s.',
      'The bot ended by SIGKILL; starting it again in 2 s.',
    ]);
  });

  it('is not started again where its settings are refused', async () => {
    expect(await run(2)).toEqual({ status: 2, said: [], runs: 1 });
  });
});
