import { setTimeout as pause } from 'node:timers/promises';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { type Answer, type Bot, startBot } from '../../support/bot.js';
import {
  openTroubledPostgres,
  SHORT_LIMITS,
  type TroubledPostgres,
} from '../../support/troubled-postgres.js';

/** A statement and what is granted beyond it, then a connection; the machine may be slow. */
const LONGEST_MS = 1000 + 2000 + 1000 + 3000;

let postgres: TroubledPostgres;
let bots: readonly Bot[];
beforeAll(async () => {
  postgres = await openTroubledPostgres();
  const env = { ...SHORT_LIMITS, DATABASE_URL: postgres.connectionString, LOG_LEVEL: 'silent' };
  bots = ['Ann', 'Bea'].map((name) => startBot({ args: ['--as', name], env }));
  for (const bot of bots) expect((await bot.say('/batch list')).ok).toBe(true);
}, 60_000);
afterAll(async () => {
  for (const bot of bots) await bot.kill();
  await postgres.close();
});

interface Said {
  readonly note: string;
  readonly title: string;
  readonly text: string;
  readonly ms: number;
}

let batches = 0;

async function logOne(bot: Bot): Promise<Said> {
  const note = `batch ${++batches}`;
  const start = performance.now();
  const { reply, fault, refusal }: Answer = await bot.say(
    `/batch log fat:"${2000 + batches} g" tallow:900g method:oven cut:ground note:"${note}"`,
  );
  const { title = '', text = '' } = fault ?? refusal ?? { title: reply?.title };
  return { note, title, text, ms: performance.now() - start };
}

/** All bots log batches one after the other while something happens, and then until each has stored one. */
async function logDuring(happening: () => Promise<void>): Promise<readonly Said[]> {
  let isOver = false;
  const said: Said[] = [];
  const logging = bots.map(async (bot) => {
    for (;;) {
      const wasOver = isOver;
      const one = await logOne(bot);
      said.push(one);
      if (wasOver && isSaved(one)) return;
      if (!isSaved(one)) await pause(20);
    }
  });
  await happening();
  isOver = true;
  await Promise.all(logging);
  return said;
}

const isSaved = ({ title }: Said): boolean => /^Batch \d+/.test(title);

/** Whatever was said must be so: saved and there once, or not saved and not there. */
async function expectTruth(said: readonly Said[]): Promise<void> {
  const rows = await postgres.query<{ note: string; copies: number }>(
    'select note, count(*)::int as copies from batches group by note',
  );
  const copies = new Map(rows.map((row) => [row.note, row.copies]));
  for (const one of said) {
    const stored = copies.get(one.note) ?? 0;
    if (isSaved(one)) expect([one, stored]).toEqual([one, 1]);
    else if (one.title === 'It is not sure that this was saved') expect(stored).toBeLessThanOrEqual(1);
    else expect([one.text.includes('Nothing was saved'), one, stored]).toEqual([true, one, 0]);
  }
}

const titles = (said: readonly Said[]): readonly string[] => [
  ...new Set(said.filter((one) => !isSaved(one)).map(({ title }) => title)),
];

describe('bots that log batches', { timeout: 60_000 }, () => {
  it('outlive the end of all their connections, again and again, and say what was saved', async () => {
    const said = await logDuring(async () => {
      for (let times = 0; times < 20; times++) {
        await postgres.endConnections();
        await pause(50);
      }
    });
    await expectTruth(said);
    expect(said.length).toBeGreaterThan(bots.length);
  });

  it('say that the records are out of reach while the server is stopped, and go on when it is back', async () => {
    const said = await logDuring(() => postgres.restart(700));
    await expectTruth(said);
    expect(titles(said)).toContain('The records are out of reach');
    expect(Math.max(...said.map(({ ms }) => ms))).toBeLessThan(LONGEST_MS);
  });

  it('do not wait for a server that hangs, and go on when it does', async () => {
    const said = await logDuring(() => postgres.hang(5000));
    await expectTruth(said);
    expect(titles(said)).toContain('The records are out of reach');
    expect(Math.max(...said.map(({ ms }) => ms))).toBeLessThan(LONGEST_MS);
  });

  it('say that the records are busy while somebody holds a table', async () => {
    const said = await logDuring(() => postgres.hold('batches', 1500));
    await expectTruth(said);
    expect(titles(said)).toEqual(['Busy just now']);
    expect(Math.max(...said.map(({ ms }) => ms))).toBeLessThan(LONGEST_MS);
  });

  it('end well after all that', async () => {
    for (const { code, said } of await Promise.all(bots.map((bot) => bot.finish()))) {
      // Some lines met a fault.
      expect(code).toBe(2);
      expect(said).toBe('');
    }
  });
});
