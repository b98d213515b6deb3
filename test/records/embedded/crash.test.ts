import { mkdtemp, readFile, rm, writeFile } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { findProcesses } from '../../../src/records/embedded/processes.js';
import { startBot } from '../../support/bot.js';

let dataDir: string;
beforeEach(async () => {
  dataDir = await mkdtemp(join(tmpdir(), 'tallow-tally-crash-'));
});
afterEach(async () => {
  const { server } = await findProcesses(join(dataDir, 'postgres'));
  if (server) process.kill(server.pid, 'SIGKILL');
  await rm(dataDir, { recursive: true, force: true, maxRetries: 5 });
});

const logOf = (ounces: number) => `/batch log fat:"4 lb" tallow:"${ounces} oz" method:open-pot cut:ground`;
const log = logOf(32);

describe('a bot that is killed', () => {
  it('has every batch whose answer was heard, twenty times over', { timeout: 180_000 }, async () => {
    for (let round = 1; round <= 20; round++) {
      const bot = startBot({ dataDir });
      const answer = await bot.say(logOf(20 + round));
      await bot.kill();
      expect(answer.reply?.figures.batch).toBe(round);
    }
    const bot = startBot({ dataDir });
    const list = await bot.say('/batch list');
    await bot.finish();
    expect(list.reply?.figures.batches).toBe(20);
  });

  it('finds its way back when the server was killed with it', { timeout: 60_000 }, async () => {
    const bot = startBot({ dataDir });
    await bot.say(log);
    const { server } = await findProcesses(join(dataDir, 'postgres'));
    await bot.kill();
    if (server) process.kill(server.pid, 'SIGKILL');
    const next = startBot({ dataDir });
    expect((await next.say('/batch list')).reply?.figures.batches).toBe(1);
    expect((await next.finish()).code).toBe(0);
  });

  it('ends when only the server is killed, and the next start brings that back', {
    timeout: 60_000,
  }, async () => {
    const bot = startBot({ dataDir });
    await bot.say(log);
    const { server } = await findProcesses(join(dataDir, 'postgres'));
    if (server) process.kill(server.pid, 'SIGKILL');
    const { code, said } = await bot.ended();
    expect(code).toBe(1);
    expect(said).toContain('lost the hold on the data folder');
    const next = startBot({ dataDir });
    expect((await next.say('/batch list')).reply?.figures.batches).toBe(1);
    expect((await next.finish()).code).toBe(0);
  });

  it.each([
    ['empty', ''],
    ['damaged', 'not a pid file\0\n'],
    ['of this very process', `${process.pid}\n/somewhere\n1\n5432\n\n127.0.0.1\n`],
    ['of the first process', '1\n'],
    ['negative', '-17\n'],
    ['absurd', '99999999999999\n'],
  ])(
    'starts again whatever is in the pid file of the server it left running: %s',
    { timeout: 60_000 },
    async (_name, content) => {
      const bot = startBot({ dataDir });
      await bot.say(log);
      await bot.kill();
      const pidFile = join(dataDir, 'postgres', 'postmaster.pid');
      const before = await readFile(pidFile, 'utf8');
      await writeFile(pidFile, content);
      const next = startBot({ dataDir });
      expect((await next.say('/batch list')).reply?.figures.batches).toBe(1);
      const after = await readFile(pidFile, 'utf8');
      expect(after.split('\n')[0]).not.toBe(before.split('\n')[0]);
      expect((await next.finish()).code).toBe(0);
      expect((await findProcesses(join(dataDir, 'postgres'))).server).toBeUndefined();
    },
  );

  it.each([
    ['empty', ''],
    ['of a living stranger', `${process.pid}\n`],
    ['damaged', '\n\n\n'],
  ])(
    'starts again whatever is in a pid file that nobody answers for: %s',
    { timeout: 60_000 },
    async (_name, content) => {
      const bot = startBot({ dataDir });
      await bot.say(log);
      await bot.finish();
      await writeFile(join(dataDir, 'postgres', 'postmaster.pid'), content);
      const next = startBot({ dataDir });
      expect((await next.say('/batch list')).reply?.figures.batches).toBe(1);
      await next.finish();
    },
  );
});

describe('two bots on one folder', () => {
  it('are one too many: the second says so, ends, and leaves the first alone', {
    timeout: 60_000,
  }, async () => {
    const first = startBot({ dataDir });
    await first.say(log);
    const second = startBot({ dataDir });
    const { code, said } = await second.finish();
    expect(code).toBe(2);
    expect(said.trim()).toMatch(/^Another copy of the bot is using .*--data\.$/);
    expect((await first.say('/batch list')).reply?.figures.batches).toBe(1);
    expect((await first.finish()).code).toBe(0);
  });

  it('may both be started at once on a new folder: one of them stays', { timeout: 60_000 }, async () => {
    const bots = [startBot({ dataDir }), startBot({ dataDir })];
    const answers = await Promise.allSettled(bots.map((bot) => bot.say(log)));
    const winners = bots.filter((_, at) => answers[at]?.status === 'fulfilled');
    expect(winners).toHaveLength(1);
    for (const bot of bots) await bot.finish();
  });
});
