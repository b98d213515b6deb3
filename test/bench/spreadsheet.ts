/**
 * How long a spreadsheet takes, and how much memory: `npm run bench -- spreadsheet [largest]`, a million lines unless
 * said. Ten batches a member, and one line in a thousand wrong.
 */

import { once } from 'node:events';
import { createWriteStream } from 'node:fs';
import { mkdtemp, readFile, rm } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { performance } from 'node:perf_hooks';
import { setTimeout as pause } from 'node:timers/promises';
import { uniform } from '../statistics/seeded.js';
import { startBot } from '../support/bot.js';

const LARGEST = Number(process.argv[2] ?? 1_000_000);
const METHODS = [
  'open pot wet',
  'pressure cooker wet',
  'slow cooker dry-ish',
  'stovetop dry',
  'smoker dry',
  'oven dry',
];
const CUTS = ['ground', 'minced', 'cubed'];

async function writeSheet(file: string, lines: number): Promise<void> {
  const random = uniform(lines);
  const pick = (from: readonly string[]) => from[Math.floor(random() * from.length)];
  const out = createWriteStream(file);
  out.write('batch,member,method,cut,fat_g,minutes,tallow_g\n');
  for (let at = 1; at <= lines; at += 1) {
    const fatG = Math.round(500 + 4000 * random());
    const fat = at % 1000 === 0 ? '4 lb' : fatG;
    const member = Math.floor((random() * lines) / 10);
    const line = `${at},cook ${member},${pick(METHODS)},${pick(CUTS)},${fat},${Math.round(120 + 180 * random())},${Math.round(fatG * (0.4 + 0.15 * random()))}\n`;
    if (!out.write(line)) await once(out, 'drain');
  }
  out.end();
  await once(out, 'finish');
}

const folder = await mkdtemp(join(tmpdir(), 'tallow-tally-sheet-'));
try {
  // The first start after a change builds.
  await startBot({ args: ['--help'] }).finish();
  const rows: Record<string, string>[] = [];
  for (const lines of [1000, 10_000, 100_000, 1_000_000].filter((size) => size <= LARGEST)) {
    const file = join(folder, `${lines}.csv`);
    await writeSheet(file, lines);
    const start = performance.now();
    const bot = startBot({ args: ['--skip-bad', '--data', folder, 'analyse', file] });
    bot.process.stdout?.resume();
    let peakMb = 0;
    let isOver = false;
    const over = bot.finish().then(({ code }) => {
      isOver = true;
      return code;
    });
    while (!isOver) {
      const status = await readFile(`/proc/${bot.process.pid}/status`, 'utf8').catch(() => '');
      peakMb = Math.max(peakMb, Number(/VmHWM:\s+(\d+)/.exec(status)?.[1] ?? 0) / 1024);
      await pause(50);
    }
    if ((await over) !== 0) throw new Error(`the sheet of ${lines} lines was not analysed`);
    rows.push({
      lines: String(lines),
      'from start to end': `${((performance.now() - start) / 1000).toFixed(1)} s`,
      'peak memory': `${Math.round(peakMb)} MB`,
    });
  }
  console.table(rows);
} finally {
  await rm(folder, { recursive: true, force: true });
}
