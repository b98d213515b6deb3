import { execFileSync } from 'node:child_process';
import { mkdtemp, rm, statfs, writeFile } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { type Answer, startBot } from '../../support/bot.js';

let folder: string;
const mounted: string[] = [];
beforeAll(async () => {
  folder = await mkdtemp(join(tmpdir(), 'tallow-tally-full-'));
});
afterAll(async () => {
  for (const disk of mounted) execFileSync('umount', [disk]);
  await rm(folder, { recursive: true, force: true });
});

/** A disk in memory with so much room, or undefined where none may be made: that takes root on Linux. */
async function diskOf(megabytes: number): Promise<string | undefined> {
  const disk = await mkdtemp(join(folder, 'disk-'));
  try {
    execFileSync('mount', ['-t', 'tmpfs', '-o', `size=${megabytes}m`, 'tmpfs', disk], { stdio: 'ignore' });
  } catch {
    return undefined;
  }
  mounted.push(disk);
  return disk;
}

async function fill(disk: string, file: string): Promise<void> {
  const { bavail, bsize } = await statfs(disk);
  await writeFile(file, Buffer.alloc(bavail * bsize));
}

describe('a disk that is full', () => {
  it('is named where the database is to be made', { timeout: 60_000 }, async (test) => {
    const disk = await diskOf(20);
    if (disk === undefined) return test.skip();
    const { code, said } = await startBot({ dataDir: join(disk, 'data'), args: ['/batch list'] }).finish();
    expect(code).toBe(2);
    expect(said).toMatch(/A database could not be made: .*(No space left on device|is the disk full)/);
  });

  it('lets the bot read, says that nothing was saved, and is forgotten once there is room', {
    timeout: 60_000,
  }, async (test) => {
    const disk = await diskOf(120);
    if (disk === undefined) return test.skip();
    const bot = startBot({ dataDir: join(disk, 'data'), env: { LOG_LEVEL: 'silent' } });
    let logged = 0;
    const log = (): Promise<Answer> =>
      bot.say(
        `/batch log fat:"${1000 + ++logged} g" tallow:400g method:oven cut:ground note:"${'x'.repeat(300)}"`,
      );
    expect((await log()).ok).toBe(true);
    const filler = join(disk, 'filler');
    await fill(disk, filler);
    let answer = await log();
    while (answer.ok && logged < 500) answer = await log();
    expect(answer.fault?.title).toBe('Nothing can be saved just now');
    expect(answer.fault?.text).toMatch(/^Nothing was saved\. /);
    const stored = logged - 1;
    expect((await bot.say('/batch list')).reply?.figures.batches).toBe(stored);
    await rm(filler);
    expect((await log()).ok).toBe(true);
    expect((await bot.say('/batch list')).reply?.figures.batches).toBe(stored + 1);
    await bot.finish();
  });
});
