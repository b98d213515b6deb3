import { afterAll, beforeEach, describe, expect, it } from 'vitest';
import { z } from 'zod';
import { cautionsOf, type Reply } from '../../src/chat/reply.js';
import { CAUTIONS } from '../../src/safety/cautions.js';
import { memberSums, pooledYield } from '../../src/statistics/questions/pooled-yield.js';
import { composeWeekly } from '../../src/weekly/post.js';
import { spanWords } from '../../src/weekly/words.js';
import { normal, uniform } from '../statistics/seeded.js';
import { type StoredBatch, storeBatches } from '../support/stored-batches.js';
import { openTalk, type Talk } from '../support/talk.js';

const SUNDAY = new Date('2026-11-29T18:00:00Z');
const WEEK_AGO = new Date('2026-11-22T18:00:00Z');
const BEFORE = '2026-11-10T12:00:00Z';
const DURING = '2026-11-26T12:00:00Z';

let talk: Talk;
beforeEach(async () => {
  await talk?.close();
  talk = await openTalk();
});
afterAll(() => talk.close());

const post = () => composeWeekly(talk.db, 'ember-lane', SUNDAY, SUNDAY);
const log = (method: string, fat: string, tallow: string) =>
  `/batch log fat:"${fat}" tallow:"${tallow}" method:${method} cut:ground`;

interface Cooked {
  readonly by: string;
  readonly method: string;
  readonly fat: number;
  readonly yield: number;
  readonly now: string;
}

async function cook(batches: readonly Cooked[]): Promise<void> {
  for (const { by, method, fat, yield: share, now } of batches)
    await talk.ask(log(method, `${fat} g`, `${Math.round(fat * share)} g`), { as: by, now });
}

/** Three cooks, each by both methods; `gain` is what the pressure cooker gives more, noise is the same every time. */
const bothWays = (now: string, gain: number): readonly Cooked[] =>
  ['Bram', 'Odile', 'Yara'].flatMap((by, member) =>
    [0, 1, 2].flatMap((round) => {
      const usual = 0.42 + 0.02 * member + 0.006 * ((round + member) % 3);
      return [
        { by, method: 'open-pot', fat: 2000, yield: usual, now },
        { by, method: 'pressure', fat: 2000, yield: usual + gain - 0.004 * ((2 * round + member) % 3), now },
      ];
    }),
  );

const COOKS = ['Bram', 'Odile', 'Yara', 'Wim', 'Hanna', 'Joris'];

describe('a post whose picture cannot be drawn', () => {
  it('goes out with a table instead, and says so', async () => {
    await cook(bothWays(DURING, 0.05));
    const failures: unknown[] = [];
    const hung = new Error('it could not be drawn');
    const fail = async () => {
      throw hung;
    };
    const { reply } = await composeWeekly(talk.db, 'ember-lane', SUNDAY, SUNDAY, {
      pictures: { yields: fail, scatter: fail },
      missed: (error) => failures.push(error),
    });
    const usual = (await post()).reply;
    expect(usual.picture).toBeDefined();
    expect(reply).toMatchObject({
      title: usual.title,
      lines: [...usual.lines, 'The picture could not be drawn this time.'],
      figures: usual.figures,
    });
    expect(reply.table?.rows).toHaveLength(2);
    expect(failures).toEqual([hung]);
  });
});

/** Six methods between which there is no difference at all. */
function noDifference(seed: number): readonly StoredBatch[] {
  const [random, noise] = [uniform(seed), normal(uniform(1000 + seed))];
  const any = (of: readonly string[]) => of[Math.floor(random() * of.length)] ?? '';
  const methods = ['open-pot', 'pressure', 'slow-cooker', 'stovetop-dry', 'oven', 'smoker'];
  return COOKS.flatMap((member) => {
    const usual = 0.48 + 0.03 * noise();
    return Array.from({ length: 14 }, () => ({
      member,
      method: any(methods),
      cut: any(['ground', 'minced', 'cubed']),
      fatG: 1000,
      tallowG: 1000 * (usual + 0.03 * noise()),
      at: DURING,
    }));
  });
}

/** Two methods of which the second gives six points less, all of the same weight. */
function sameWeights(minutesOf: (method: string, at: number) => number): readonly StoredBatch[] {
  const noise = normal(uniform(3));
  return COOKS.flatMap((member, at) =>
    ['open-pot', 'oven'].flatMap((method) =>
      ['ground', 'minced'].map((cut, other) => ({
        member,
        method,
        cut,
        fatG: 1000,
        tallowG: 480 - (method === 'oven' ? 60 : 0) + 20 * noise(),
        minutes: minutesOf(method, at + other),
        at: DURING,
      })),
    ),
  );
}

/** So much of one member's that how much members differ cannot be seen. */
const LOPSIDED: readonly StoredBatch[] = [
  { member: 'Bram', fatG: 100_000, tallowG: 50_000, at: DURING },
  { member: 'Odile', fatG: 1e-4, tallowG: 0.4e-4, at: DURING },
];

const compared = z.object({
  low: z.number().nullable(),
  high: z.number().nullable(),
  pHolm: z.number().optional(),
});
type Compared = z.output<typeof compared>;

/** The comparisons that `/yield compare` makes of what is stored in a community. */
async function comparedIn(community: string): Promise<readonly Compared[]> {
  const now = SUNDAY.toISOString();
  const replies = [
    await talk.ask('/yield compare by:method', { community, now }),
    await talk.ask('/yield compare by:cut', { community, now }),
  ];
  return replies.flatMap(({ figures }) =>
    Object.values(z.record(z.string(), compared).parse(figures.comparisons ?? {})),
  );
}

const leavesOutNone = ({ low, high }: Compared): boolean =>
  low !== null && high !== null && (low > 0 || high < 0);

describe('the days that a weekly post tells of', () => {
  it.each([
    ['2026-11-21T06:00:00Z', '2026-11-21T18:00:00Z', '21 November 2026'],
    ['2026-11-15T18:00:00Z', '2026-11-22T18:00:00Z', '15 to 22 November 2026'],
    ['2026-10-28T18:00:00Z', '2026-11-04T18:00:00Z', '28 October to 4 November 2026'],
    ['2026-12-28T18:00:00Z', '2027-01-04T18:00:00Z', '28 December 2026 to 4 January 2027'],
    // Of one day in Chicago, of two in UTC.
    ['2026-11-21T20:00:00Z', '2026-11-22T04:00:00Z', '21 November 2026'],
  ])('from %s to %s are written shortly', (from, until, words) => {
    expect(spanWords(new Date(from), new Date(until), 'America/Chicago')).toBe(words);
  });
});

describe('what the weekly post says', () => {
  it('equals what the raw rows give, and what /yield says of the same batches', async () => {
    await cook([...bothWays(BEFORE, 0.05), ...bothWays(DURING, 0.06)]);
    const { reply } = await post();
    const rows = await talk.db.selectFrom('batches').selectAll().execute();
    const pooledOf = (some: typeof rows) =>
      pooledYield(
        memberSums(
          some.map((row) => ({ member: row.member_id, fatG: row.fat_g, tallowG: row.tallow_g ?? 0 })),
        ).values(),
      );
    const span = (from: Date, until: Date) =>
      rows.filter(({ finished_at: at }) => at && at >= from && at < until);
    const spans = [
      ['week', span(WEEK_AGO, SUNDAY)],
      ['before', span(new Date(0), WEEK_AGO)],
      ['all', span(new Date(0), SUNDAY)],
    ] as const;
    for (const [name, some] of spans) {
      const pooled = pooledOf(some);
      if (pooled.kind !== 'pooled' || pooled.interval.kind !== 'interval') throw new Error('nothing to pool');
      const told = reply.figures[name] as { readonly [figure: string]: number };
      expect(told.batches).toBe(some.length);
      // Plain sums, by hand.
      const fatG = some.reduce((sum, row) => sum + row.fat_g, 0);
      const tallowG = some.reduce((sum, row) => sum + (row.tallow_g ?? 0), 0);
      expect(told.fatG).toBeCloseTo(fatG, 9);
      expect(told.tallowG).toBeCloseTo(tallowG, 9);
      expect(told.pooledYield).toBeCloseTo(tallowG / fatG, 12);
      expect(told.pooledYieldLow).toBeCloseTo(pooled.interval.low, 9);
      expect(told.pooledYieldHigh).toBeCloseTo(pooled.interval.high, 9);
    }
    const all = await talk.ask('/yield pooled', { now: SUNDAY.toISOString() });
    const week = await talk.ask('/yield pooled since:2026-11-23', { now: SUNDAY.toISOString() });
    for (const [name, said] of [
      ['all', all],
      ['week', week],
    ] as const)
      for (const figure of ['batches', 'members', 'fatG', 'tallowG', 'pooledYield', 'pooledYieldLow'])
        expect((reply.figures[name] as Reply['figures'])[figure]).toBe(said.figures[figure]);
  });

  it('leaves odd batches out where the community does, and names those of the week', async () => {
    await cook([...bothWays(BEFORE, 0.05), ...bothWays(DURING, 0.06)]);
    await talk.db
      .insertInto('batches')
      .values({
        community_id: 'ember-lane',
        number: 900,
        member_id: 'Bram',
        method: 'open-pot',
        cut: 'ground',
        fat_g: 2000,
        tallow_g: 1999,
        state: 'done',
        finished_at: new Date(DURING),
        logged_at: new Date(DURING),
        logged_by_interaction: 'odd',
      })
      .execute();
    const counted = (await post()).reply;
    expect(counted.lines.join('\n')).toContain('To check: #900, which is counted');
    await talk.ask('/settings odd-batches count:no', { admin: true });
    const { reply } = await post();
    expect(reply.lines.join('\n')).toContain('#900, which is left out');
    const said = await talk.ask('/yield pooled', { now: SUNDAY.toISOString() });
    expect((reply.figures.all as Reply['figures']).pooledYield).toBe(said.figures.pooledYield);
  });

  it('leaves open what /yield next asks of a newcomer, and asks for the same batch', async () => {
    const batches = [...bothWays(BEFORE, 0.05), ...bothWays(DURING, 0.06)];
    await cook(batches.map((batch, at) => ({ ...batch, fat: 800 + 90 * at })));
    await cook([{ by: 'Bram', method: 'oven', fat: 1500, yield: 0.44, now: DURING }]);
    const { reply } = await post();
    const next = await talk.ask('/yield next', { as: 'Newcomer', now: SUNDAY.toISOString() });
    const [first = ''] = Object.keys(next.figures.next ?? {});
    expect(reply.actions.map(({ id }) => id)).toEqual([`v1|weekly.take-on|${first.replaceAll(' ', '|')}`]);
    const [one, other] = /^(.*) against (.*?) (?:cannot|is what)/.exec(next.lines[0] ?? '')?.slice(1) ?? [];
    expect(one).toBeDefined();
    expect(reply.lines.join('\n').toLowerCase()).toContain(`still open: ${one} or ${other}?`.toLowerCase());
  });

  it('says what became clear, and what is clear no longer', async () => {
    await cook(bothWays(BEFORE, 0).slice(0, 6));
    await cook(bothWays(DURING, 0.08));
    const clear = (await post()).reply;
    expect(clear.figures.becameClear).toBe(1);
    expect(clear.lines.join('\n')).toContain('Clear now: pressure cooker gives more than open pot');
    await talk.close();
    talk = await openTalk();
    await cook(bothWays(BEFORE, 0.08));
    expect((await post()).reply.figures).toMatchObject({ becameClear: 0, becameUnclear: 0 });
    await cook(bothWays(DURING, -0.08));
    const unclear = (await post()).reply;
    expect(unclear.figures).toMatchObject({ becameClear: 0, becameUnclear: 1 });
    expect(unclear.lines.join('\n')).toContain('No longer clear: open pot or pressure cooker');
  });

  it('calls clear what is clear with all comparisons allowed for, as /yield compare does, and nothing else', async () => {
    let byChance = 0;
    for (const seed of [1, 2, 3, 4, 5, 6]) {
      const community = `chance-${seed}`;
      await storeBatches(talk.db, community, noDifference(seed));
      const { reply } = await composeWeekly(talk.db, community, SUNDAY, SUNDAY);
      const alone = (await comparedIn(community)).filter(leavesOutNone);
      const together = alone.filter(({ pHolm = 1 }) => pHolm < 0.05);
      byChance += alone.length - together.length;
      expect(reply.figures.becameClear).toBe(together.length);
    }
    expect(byChance).toBeGreaterThan(0);
  });

  it('does not give an interval without nothing in it for what is clear no longer', async () => {
    // By every method the same six cooks with the same spread: 2.9 points are 2.6 standard errors.
    const by = (method: string, gain: number, at: string): readonly StoredBatch[] =>
      COOKS.flatMap((member) =>
        [-0.04, 0, 0.04].map((noise) => ({
          member,
          method,
          fatG: 1000,
          tallowG: 1000 * (0.45 + gain + noise),
          at,
        })),
      );
    await storeBatches(talk.db, 'ember-lane', [
      ...by('open-pot', 0, BEFORE),
      ...by('pressure', 0.029, BEFORE),
      ...by('oven', 0.015, DURING),
      ...by('slow-cooker', 0.015, DURING),
      ...by('smoker', 0.015, DURING),
      ...by('stovetop-dry', 0.015, DURING),
    ]);
    expect((await comparedIn('ember-lane')).filter(leavesOutNone).length).toBeGreaterThan(0);
    expect((await post()).reply.lines).toContain(
      'No longer clear: open pot or pressure cooker. With all comparisons allowed for, there may be no difference.',
    );
  });

  it('tells methods apart that always take as long, as /yield compare does', async () => {
    await storeBatches(
      talk.db,
      'ember-lane',
      sameWeights((method) => (method === 'oven' ? 300 : 180)),
    );
    const { reply } = await post();
    expect(reply.lines.join('\n')).toContain('Clear now: open pot gives more than oven');
    expect(reply.lines.join('\n')).toMatch(
      /Still open: how much more open pot gives than oven\. What would tell most: 2 lb \(900 g\) of/,
    );
    expect(reply.figures.openFatG).toBe(907);
    expect(reply.picture).toBeDefined();
    const compared = await talk.ask('/yield compare by:method', { now: SUNDAY.toISOString() });
    const adjusted = reply.figures.adjusted as { readonly [method: string]: Reply['figures'] };
    const means = compared.figures.means as { readonly [method: string]: Reply['figures'] };
    for (const method of ['open-pot', 'oven'])
      expect(adjusted[method]?.adjustedYield).toBe(means[method]?.mean);
  });

  it('asks for what is usually weighed in where that never varies, though the time does', async () => {
    const batches = sameWeights((method, at) => (method === 'oven' ? 200 : 215) + 17 * (at % 5));
    await storeBatches(talk.db, 'ember-lane', batches);
    const hours = await talk.ask('/yield compare by:time', { now: SUNDAY.toISOString() });
    expect(hours.lines.join('\n')).not.toContain('not to be told');
    expect((await post()).reply.figures.openFatG).toBe(907);
  });

  it('welcomes those who logged for the first time, and nobody else', async () => {
    await talk.ask(log('oven', '2 kg', '900 g'), { as: 'Bram', now: BEFORE });
    await talk.ask(log('oven', '2 kg', '920 g'), { as: 'Bram', now: DURING });
    await talk.ask(log('oven', '2 kg', '940 g'), { as: 'Odile', now: DURING });
    const { reply } = await post();
    expect(reply.lines).toContain('Welcome Odile: first batch logged.');
    expect(reply.figures.newcomers).toBe(1);
  });

  it('counts near misses without a word of them, and brings the caution about them back', async () => {
    await talk.ask(log('oven', '2 kg', '900 g'), { now: DURING });
    await talk.ask('/safety topic:pressure report:"My lid rattled"', { as: 'Odile', now: DURING });
    const { reply, caution } = await post();
    expect(reply.figures.nearMisses).toBe(1);
    const text = [...reply.lines, ...cautionsOf(reply).map(({ text: words }) => words)].join('\n');
    expect(text).not.toMatch(/rattled|Odile/);
    expect(CAUTIONS.find(({ id }) => id === caution)?.topics[0]).toBe('pressure');
  });

  it('has a picture of the adjusted yields whose words say the same', async () => {
    await cook([...bothWays(BEFORE, 0.05), ...bothWays(DURING, 0.06)]);
    const { picture, table, figures } = (await post()).reply;
    const size = Buffer.from(picture?.png ?? []);
    // PNG, Portable Network Graphics Specification (ISO/IEC 15948): the signature, then width and height in IHDR.
    expect(size.subarray(1, 4).toString('latin1')).toBe('PNG');
    expect(size.readUInt32BE(16)).toBe(2 * 656);
    expect(table).toBeUndefined();
    const adjusted = figures.adjusted as { readonly [method: string]: { readonly adjustedYield: number } };
    for (const { adjustedYield } of Object.values(adjusted))
      expect(picture?.alt).toContain(`${Math.round(100 * adjustedYield)} %`);
  });

  it('is short however much there is to tell, and calm', async () => {
    await cook([...bothWays(BEFORE, 0), ...bothWays(DURING, 0.1)]);
    for (let number = 0; number < 9; number++) {
      await talk.ask(log('oven', '2 kg', '500 g'), {
        as: `A cook with a rather long name ${number}`,
        now: DURING,
      });
      await talk.ask(`/safety report:"${'x'.repeat(200)}"`, { as: `Cook ${number}`, now: DURING });
    }
    const { reply } = await composeWeekly(
      talk.db,
      'ember-lane',
      SUNDAY,
      new Date(SUNDAY.getTime() + 7_200_000),
    );
    const text = [reply.title, ...reply.lines, ...cautionsOf(reply).map(({ text: words }) => words)].join(
      '\n',
    );
    expect(text.length).toBeLessThanOrEqual(1200);
    expect(text).not.toContain('!');
  });

  it('is in the units of the community', async () => {
    const weekly = '/settings weekly channel:#rendering day:sunday hour:18 zone:UTC';
    await talk.ask(log('oven', '2 kg', '900 g'), { now: DURING });
    expect((await post()).reply.lines[0]).toMatch(/ lb .*\(2 kg\)/);
    await talk.ask(`${weekly} units:metric`, { admin: true });
    expect((await post()).reply.lines[0]).toMatch(/2 kg/);
    expect((await post()).reply.lines[0]).not.toMatch(/ lb/);
  });

  it('says how many batches were logged that had been finished before the week', async () => {
    for (const as of ['Bram', 'Odile'])
      await talk.ask(`${log('oven', '2 kg', '900 g')} date:"10 November"`, { as, now: DURING });
    const { reply } = await post();
    const text = reply.lines.join('\n');
    expect(text).toContain('Logged this week, finished before it: 2 batches.');
    expect(text).toContain('So far: 2 batches from 2 members');
    expect(text).toContain('Welcome Bram and Odile: first batch logged.');
    expect(text).not.toContain('quiet week');
    expect(reply.figures).toMatchObject({ finishedEarlier: 2, week: { batches: 0 }, before: { batches: 2 } });
    await talk.ask(log('oven', '2 kg', '900 g'), { as: 'Bram', now: DURING });
    expect((await post()).reply.lines.slice(0, 2)).toEqual([
      expect.stringContaining('This week: 1 batch from 1 member'),
      'Logged this week, finished before it: 2 batches.',
    ]);
  });

  it('does not pass over a week in which batches of earlier weeks were logged', async () => {
    await talk.ask('/settings weekly channel:#rendering day:sunday hour:18 zone:UTC skip-quiet:yes', {
      admin: true,
    });
    await talk.ask(`${log('oven', '2 kg', '900 g')} date:"10 November"`, { now: DURING });
    expect((await post()).skip).toBe(false);
    const nextSunday = new Date('2026-12-06T18:00:00Z');
    const next = await composeWeekly(talk.db, 'ember-lane', nextSunday, nextSunday);
    expect(next.skip).toBe(true);
    expect(next.reply.lines[0]).toContain('quiet week');
  });

  it('does not call a week quiet whose only batch looks odd and is left out', async () => {
    await cook(bothWays(BEFORE, 0.05));
    const batch = { member: 'Bram', fatG: 2000, tallowG: 1999, at: DURING };
    await storeBatches(talk.db, 'ember-lane', [batch], 900);
    await talk.ask('/settings odd-batches count:no', { admin: true });
    const { reply } = await post();
    expect(reply.lines[0]).toBe('This week: no batch to pool.');
    expect(reply.lines.join('\n')).toContain('To check: #900, which is left out');
  });

  it('asks to check odd batches that were logged in the week, whenever they were finished', async () => {
    await cook(bothWays(BEFORE, 0.05));
    await talk.ask(`${log('open-pot', '2 kg', '160 g')} date:"10 November"`, { as: 'Bram', now: DURING });
    expect((await post()).reply.lines.join('\n')).toContain('To check: #19, which is counted');
  });

  it('gives the reason where no interval can be had', async () => {
    const batch = { member: 'Bram', fatG: 1000, tallowG: 500, at: DURING };
    const first = async (community: string, batches: readonly StoredBatch[]) => {
      await storeBatches(talk.db, community, batches);
      return (await composeWeekly(talk.db, community, SUNDAY, SUNDAY)).reply.lines[0];
    };
    expect(await first('alone', [batch, { ...batch, tallowG: 450 }])).toMatch(
      /\(no interval: only one member’s batches are in it\)\.$/,
    );
    expect(await first('alike', [batch, { ...batch, member: 'Odile' }])).toMatch(
      /\(no interval: every batch gave the same yield\)\.$/,
    );
    expect(await first('lopsided', LOPSIDED)).toMatch(
      /\(no interval: nearly all of the fat is one member’s\)\.$/,
    );
  });

  it('passes over a quiet week only where the community wants that', async () => {
    const weekly = '/settings weekly channel:#rendering day:sunday hour:18 zone:UTC';
    await talk.ask(weekly, { admin: true });
    expect((await post()).skip).toBe(false);
    await talk.ask(`${weekly} skip-quiet:yes`, { admin: true });
    expect((await post()).skip).toBe(true);
    await talk.ask(log('oven', '2 kg', '900 g'), { now: DURING });
    expect((await post()).skip).toBe(false);
  });
});
