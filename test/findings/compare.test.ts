import { afterAll, beforeEach, describe, expect, it } from 'vitest';
import type { Figure, Reply } from '../../src/chat/reply.js';
import { readReferenceBatches, readReferenceResults } from '../statistics/reference-sets.js';
import { STORED_METHODS, type StoredBatch, storeBatches } from '../support/stored-batches.js';
import { openTalk, type Talk } from '../support/talk.js';

let talk: Talk;
beforeEach(async () => {
  await talk?.close();
  talk = await openTalk();
});
afterAll(() => talk.close());

function figureIn(reply: Reply, ...path: readonly string[]): Figure | undefined {
  let figure: Figure | undefined = reply.figures;
  for (const name of path) {
    if (typeof figure !== 'object' || figure === null || Array.isArray(figure)) return undefined;
    figure = Object.entries(figure).find(([key]) => key === name)?.[1];
  }
  return figure;
}

interface Contrast {
  readonly first: string;
  readonly second: string;
  readonly estimate: number | null;
  readonly lower_unadjusted: number | null;
}

interface Results {
  readonly mixed_model: {
    readonly pairwise: { readonly method_kenward_roger: readonly Contrast[] };
    readonly coefficients: readonly { readonly name: string; readonly estimate: number | null }[];
  };
}

describe('/yield compare, from the database, against lme4 and pbkrtest in R', () => {
  it.each(['typical', 'heavy-logger', 'no-member-variance'])('agrees on “%s”', async (set) => {
    await storeBatches(talk.db, 'ember-lane', readReferenceBatches(set));
    const reply = await talk.ask('/yield compare by:method');
    const contrasts = readReferenceResults<Results>(set).mixed_model.pairwise.method_kenward_roger;
    expect(contrasts.length).toBeGreaterThan(2);
    for (const { first, second, estimate, lower_unadjusted: lower } of contrasts) {
      const [a, b] = [STORED_METHODS[first], STORED_METHODS[second]];
      const sign = figureIn(reply, 'comparisons', `${a} over ${b}`) === undefined ? -1 : 1;
      const name = sign > 0 ? `${a} over ${b}` : `${b} over ${a}`;
      if (estimate === null || lower === null) {
        expect(figureIn(reply, 'comparisons', name, 'adjusted')).toBeNull();
        continue;
      }
      expect(Number(figureIn(reply, 'comparisons', name, 'adjusted')) * sign).toBeCloseTo(estimate, 8);
      const end = Number(figureIn(reply, 'comparisons', name, sign > 0 ? 'low' : 'high')) * sign;
      expect(end).toBeCloseTo(lower, 7);
    }
    expect(reply.lines.length).toBeLessThanOrEqual(6);
    expect(reply.picture?.alt).toContain('95 % intervals');
  });

  it.each([
    ['typical', 'weight', 'log_fat_kg', Math.LN2],
    ['typical', 'time', 'hours', 1],
    ['heavy-logger', 'weight', 'log_fat_kg', Math.LN2],
    ['collinear-time', 'weight', 'log_fat_kg', Math.LN2],
    ['collinear-time', 'time', 'hours', 1],
  ])('agrees on “%s” by %s', async (set, by, name, step) => {
    await storeBatches(talk.db, 'ember-lane', readReferenceBatches(set));
    const reply = await talk.ask(`/yield compare by:${by}`);
    const found = readReferenceResults<Results>(set).mixed_model.coefficients.find(
      (one) => one.name === name,
    );
    const adjusted = figureIn(reply, 'effect', 'adjusted');
    if (found?.estimate === null) {
      expect(adjusted).toBeNull();
      expect(reply.lines[0]).toContain('not to be told apart');
    } else expect(adjusted).toBeCloseTo(step * (found?.estimate ?? Number.NaN), 8);
    expect(reply.picture?.alt).toContain('single batches');
    expect(reply.lines.length).toBeLessThanOrEqual(6);
  });
});

const press = async (by: string): Promise<Reply> => {
  const { actions } = await talk.ask(`/yield compare by:${by}`);
  const button = actions.find(({ label }) => label === 'Show the working');
  return talk.ask(`press:${button?.id}`);
};

/** Invented batches that spread by a few points without chance. */
const spread = (at: number): number => 0.01 * (((at * 7) % 11) - 5);
const batchesOf = (count: number, one: (at: number) => Partial<StoredBatch>): readonly StoredBatch[] =>
  Array.from({ length: count }, (_, at) => {
    const batch = {
      member: `cook ${at % 4}`,
      fatG: 1000 + 130 * (at % 9),
      minutes: 150 + 17 * (at % 7),
      ...one(at),
    };
    return { ...batch, tallowG: one(at).tallowG ?? batch.fatG * (0.45 + spread(at)) };
  });

describe('what /yield compare says of its model', () => {
  it('names no cook and no random intercept where the fit has none', async () => {
    await storeBatches(
      talk.db,
      'ember-lane',
      batchesOf(20, (at) => ({ member: `cook ${at}`, method: at % 2 === 0 ? 'open-pot' : 'oven' })),
    );
    for (const by of ['method', 'weight']) {
      const { lines, sources } = await talk.ask(`/yield compare by:${by}`);
      expect(lines.join(' ')).toContain('Everybody cooked once, so cooks are not told from batches');
      expect(lines.join(' ')).not.toMatch(/cook (allowed|explains)/);
      expect(sources.join(' ')).toContain('least squares');
      expect(sources.join(' ')).not.toMatch(/mixed model|Kenward/);
      const working = await press(by);
      expect(working.lines.join(' ')).toContain('cooks and batches together');
      expect(working.sources.join(' ')).not.toMatch(/mixed model|Kenward/);
    }
  });

  it('names what it allows for, the cut too, and nothing that never differed', async () => {
    const cut = (at: number) => (Math.floor(at / 2) % 2 === 0 ? 'ground' : 'cubed');
    const method = (at: number) => (at % 2 === 0 ? 'open-pot' : 'oven');
    await storeBatches(
      talk.db,
      'ember-lane',
      batchesOf(32, (at) => ({ method: method(at), cut: cut(at), fatG: 1000, minutes: 180 })),
    );
    const { lines } = await talk.ask('/yield compare by:method');
    expect(lines.join(' ')).toContain('Cut and cook allowed for.');
  });

  it('names time only where it is allowed for', async () => {
    await storeBatches(
      talk.db,
      'ember-lane',
      batchesOf(40, (at) => ({
        method: at % 3 === 0 ? 'open-pot' : 'oven',
        minutes: undefined,
        fatG: 900 + 120 * (at % 11),
      })),
    );
    const { lines } = await talk.ask('/yield compare by:weight');
    expect(lines.join(' ')).toContain(
      'Method and cook allowed for, but not time, which most batches do not say.',
    );
  });

  it('names the cut where only the cut explains the plain averages', async () => {
    const cut = (at: number) => (at % 8 < 6 === (at % 2 === 0) ? 'ground' : 'cubed');
    await storeBatches(
      talk.db,
      'ember-lane',
      batchesOf(64, (at) => ({
        member: `cook ${Math.floor(at / 8) % 4}`,
        method: at % 2 === 0 ? 'open-pot' : 'oven',
        cut: cut(at),
        fatG: 1000,
        minutes: 180,
        tallowG: 1000 * ((cut(at) === 'ground' ? 0.55 : 0.4) + 0.3 * spread(at)),
      })),
    );
    const [line = ''] = (await talk.ask('/yield compare by:method')).lines;
    expect(line).toMatch(/Plain averages: open pot [\d.]+ points more; cut or cook explains the rest\./);
    expect(line).toMatch(
      /no clear difference yet \(95 % interval: open pot [\d.]+ points less to [\d.]+ more\)/,
    );
  });
});

describe('batches without a time', () => {
  const untimed = (methods: readonly string[]) =>
    batchesOf(methods.length, (at) => ({
      member: 'abc'[at % 3] ?? 'a',
      method: methods[at] ?? 'oven',
      minutes: at < (methods.length + 1) / 2 ? 150 + 13 * at : undefined,
    }));

  it('are said to be left out where nothing can be compared without them', async () => {
    await storeBatches(talk.db, 'few', untimed(['oven', 'open-pot', 'oven', 'open-pot', 'oven', 'open-pot']));
    const few = await talk.ask('/yield compare by:method', { community: 'few' });
    expect(few.title).toBe('Nothing to compare yet');
    expect(few.lines.join(' ')).toContain('batches without a time are left out');
  });

  it('do not make all the same where they used another method', async () => {
    const timed = batchesOf(7, (at) => ({ method: 'oven', minutes: 150 + 13 * ((at * 3) % 7) }));
    const others = batchesOf(2, () => ({ method: 'open-pot', minutes: undefined }));
    await storeBatches(talk.db, 'ember-lane', [...timed, ...others]);
    const { title, lines } = await talk.ask('/yield compare by:method');
    expect(title).toBe('Only one method with a time so far');
    expect(lines.join(' ')).toContain('All 7 batches with a time used the same one');
    expect(lines.join(' ')).toContain('2 batches without a time are left out');
    expect((await talk.ask('/yield compare by:weight')).lines.join(' ')).toContain(
      '2 batches without a time are left out',
    );
  });
});

describe('the minimum of data for weight and time', () => {
  it.each(['weight', 'time'])('is two cooks at least, by %s', async (by) => {
    await storeBatches(
      talk.db,
      'ember-lane',
      batchesOf(24, (at) => {
        const fatG = 800 * 2 ** (at % 3);
        const minutes = 120 + 60 * (at % 4);
        return {
          member: 'a',
          fatG,
          minutes,
          tallowG: fatG * (0.3 + 0.08 * (at % 3) + 0.03 * (at % 4) + 0.2 * spread(at)),
        };
      }),
    );
    const { lines, picture } = await talk.ask(`/yield compare by:${by}`);
    expect(lines[0]).toMatch(/: too few cooks to say\.$/);
    expect(picture?.alt).toContain('No line: too few to say');
    expect((await press(by)).lines.join('\n')).toMatch(/^(Twice|An extra).*; too few to say\.$/m);
  });

  it('is not met by one batch far out, however steep the line through it', async () => {
    await storeBatches(talk.db, 'ember-lane', [
      { member: 'a', method: 'oven', fatG: 1814, tallowG: 907, minutes: 180 },
      { member: 'b', method: 'oven', fatG: 1814, tallowG: 900, minutes: 180 },
      { member: 'c', method: 'oven', fatG: 1814, tallowG: 911, minutes: 180 },
      { member: 'a', method: 'oven', fatG: 1814, tallowG: 905, minutes: 180 },
      { member: 'b', method: 'oven', fatG: 2041, tallowG: 680, minutes: 180 },
    ]);
    const { lines, picture } = await talk.ask('/yield compare by:weight');
    expect(lines[0]).toBe(
      'Twice the starting weight: too few to say, as few batches weigh twice as much as others.',
    );
    expect(picture?.alt).toContain('No line');
    const working = (await press('weight')).lines.join('\n');
    for (const [points] of working.matchAll(/[\d.]+(?= points?)/g))
      expect(Number(points)).toBeLessThanOrEqual(100);
  });

  it.each([
    ['weight', { fatG: 1000 }, 'as every batch weighs the same'],
    ['time', { minutes: 180 }, 'as every batch took as long'],
  ])('says that there is nothing to see where %s never differed', async (by, same, words) => {
    await storeBatches(
      talk.db,
      'ember-lane',
      batchesOf(24, (at) => ({ method: at % 2 === 0 ? 'open-pot' : 'oven', ...same })),
    );
    const { lines } = await talk.ask(`/yield compare by:${by}`);
    expect(lines[0]).toContain(words);
    expect(lines[0]).not.toContain('changed together');
  });

  it('names what the covariate always changed together with', async () => {
    await storeBatches(
      talk.db,
      'ember-lane',
      batchesOf(24, (at) => ({
        method: at % 2 === 0 ? 'open-pot' : 'oven',
        minutes: at % 2 === 0 ? 180 : 300,
      })),
    );
    expect((await talk.ask('/yield compare by:time')).lines[0]).toBe(
      'An extra hour: not to be told apart from method, which always changed together with time.',
    );
  });

  it('says which way round an interval is', async () => {
    await storeBatches(
      talk.db,
      'ember-lane',
      batchesOf(80, (at) => ({ fatG: 700 * 2 ** (at % 3) })),
    );
    expect((await talk.ask('/yield compare by:weight')).lines[0]).toMatch(
      /no clear difference yet \(95 % interval: [\d.]+ points less to [\d.]+ more\)/,
    );
  });

  it('ends the line where it leaves what a yield can be', async () => {
    // Whoever cooks little loses much of it by the method, and who cooks much by the weight: 64 kg by the mean of both
    // methods would give less than nothing.
    await storeBatches(
      talk.db,
      'ember-lane',
      batchesOf(48, (at) => {
        const isPot = at % 2 === 0;
        const doublings = (isPot ? 0 : 4) + (Math.floor(at / 2) % 3);
        const fatG = 1000 * 2 ** doublings;
        const share = 0.7 - 0.1 * doublings - (isPot ? 0.3 : 0);
        return { method: isPot ? 'open-pot' : 'oven', fatG, tallowG: fatG * (share + 0.2 * spread(at)) };
      }),
    );
    const { picture, lines } = await talk.ask('/yield compare by:weight');
    expect(lines[0]).toContain('Twice the starting weight gave');
    expect(picture?.alt).toMatch(/kg\): \d+\.\d %.*; \d+ lb \([\d.]+ kg\): [\d.]+ %/);
    expect(picture?.alt).not.toContain('(64 kg)');
  });
});

describe('/yield compare by weight', () => {
  it('gives the plain slope too, and says what explains the difference', async () => {
    // Whoever boils takes more fat and gets less; within a method the weight makes no difference.
    const batches = ['a', 'b', 'c', 'd'].flatMap((member, at) =>
      [0, 1, 2, 3].flatMap((turn) => [
        {
          member,
          method: 'open-pot',
          fatG: 4000 + 400 * turn + 90 * at,
          tallowG: (4000 + 400 * turn + 90 * at) * (0.3 + 0.01 * ((at + 2 * turn) % 3)),
          minutes: 180 + 10 * ((at + turn) % 3),
        },
        {
          member,
          method: 'pressure',
          fatG: 1000 + 100 * turn + 25 * at,
          tallowG: (1000 + 100 * turn + 25 * at) * (0.6 + 0.01 * ((2 * at + turn) % 3)),
          minutes: 180 + 10 * ((2 * at + turn) % 3),
        },
      ]),
    );
    await storeBatches(talk.db, 'ember-lane', batches);
    const reply = await talk.ask('/yield compare by:weight');
    // Ordinary least squares through the pairs, worked out here
    const xs = batches.map(({ fatG }) => Math.log2(fatG));
    const ys = batches.map(({ fatG, tallowG }) => tallowG / fatG);
    const mean = (values: readonly number[]) => values.reduce((sum, value) => sum + value, 0) / values.length;
    const [mx, my] = [mean(xs), mean(ys)];
    const slope =
      xs.reduce((sum, x, i) => sum + (x - mx) * ((ys[i] ?? 0) - my), 0) /
      xs.reduce((sum, x) => sum + (x - mx) ** 2, 0);
    expect(figureIn(reply, 'effect', 'plain')).toBeCloseTo(slope, 10);
    expect(Math.abs(Number(figureIn(reply, 'effect', 'adjusted')))).toBeLessThan(0.05);
    expect(reply.lines[0]).toContain('explains the rest');
  });
});

describe('/yield compare', () => {
  it('says when there is nothing to compare yet', async () => {
    expect((await talk.ask('/yield compare by:method')).title).toBe('Nothing to compare yet');
    await talk.ask('/batch log fat:1kg tallow:400g method:oven cut:ground minutes:180');
    expect((await talk.ask('/yield compare by:time')).title).toBe('Nothing to compare yet');
  });

  it('has no working of times where most batches do not say theirs', async () => {
    const weights = ['2 kg', '3 kg', '4 kg', '2.5 kg', '3.5 kg', '5 kg'];
    for (const [at, fat] of weights.entries())
      await talk.ask(
        `/batch log fat:"${fat}" tallow:"${800 + 120 * at} g" method:${at % 2 === 0 ? 'oven' : 'open-pot'} cut:ground`,
        { as: `Cook ${at % 3}` },
      );
    expect((await talk.ask('/yield compare by:time')).title).toBe('Too few times logged');
    const refused = await talk.refuse('press:v1|yield.compare-working|time');
    expect(refused.title).toBe('There is nothing to work out');
    expect((await talk.ask('press:v1|yield.compare-working|weight')).title).toContain('weight');
  });

  it('says more only where the interval says so, and names what it was only ever used with', async () => {
    const cooks = ['a', 'b', 'c', 'd', 'e', 'f'];
    const noise = (index: number) => ((index * 7) % 5) * 8;
    await storeBatches(talk.db, 'ember-lane', [
      ...cooks.flatMap((member, at) =>
        [0, 1, 2].flatMap((turn) => [
          {
            member,
            fatG: 1000 + 37 * at + 90 * turn,
            tallowG: 420 + noise(at + turn),
            method: 'open-pot',
            cut: 'ground',
            minutes: 150 + 10 * ((at + 2 * turn) % 4),
          },
          {
            member,
            fatG: 1000 + 41 * at + 70 * turn,
            tallowG: 560 + noise(at + 2 * turn),
            method: 'pressure',
            cut: 'ground',
            minutes: 150 + 10 * ((2 * at + turn) % 5),
          },
        ]),
      ),
      { member: 'a', fatG: 1100, tallowG: 200, method: 'smoker', cut: 'cubed', minutes: 180 },
      { member: 'b', fatG: 1200, tallowG: 230, method: 'smoker', cut: 'cubed', minutes: 200 },
    ]);
    const reply = await talk.ask('/yield compare by:method');
    const words = reply.lines.join('\n');
    expect(words).toMatch(/^Pressure cooker gave \d+(\.\d)? points more than open pot \(95 % interval/);
    expect(words).toContain('smoker was only ever used with cubed fat');
    expect(figureIn(reply, 'comparisons', 'open-pot over smoker', 'adjusted')).toBeNull();
    expect(words).not.toMatch(/p\s*[=<]/);
  });
});

describe('the working of /yield compare', () => {
  const shown = async (by: string): Promise<Reply> => {
    const answer = await talk.ask(`/yield compare by:${by}`);
    const [button] = answer.actions.filter(({ label }) => label === 'Show the working');
    return talk.ask(`press:${button?.id}`, { as: 'Somebody else' });
  };
  /** Two cooks tell two methods apart with a spread that is known; a third was cooked by one of them once; invented. */
  const store = () =>
    storeBatches(
      talk.db,
      'ember-lane',
      Array.from({ length: 40 }, (_, at) => ({
        member: `cook ${at % 5}`,
        method: at % 4 < 2 ? 'oven' : at % 4 === 2 ? 'pressure' : 'open-pot',
        cut: at % 3 === 0 ? 'minced' : 'ground',
        fatG: 1000 + 100 * (at % 7),
        tallowG: (1000 + 100 * (at % 7)) * ((at % 4 < 2 ? 0.4 : 0.52) + 0.01 * ((at * 5) % 9)),
        minutes: 180 + 10 * (at % 6),
      })),
    );

  it('has the model, the spreads, every mean and every difference, adjusted and plain', async () => {
    await store();
    const answer = await talk.ask('/yield compare by:method');
    const working = await shown('method');
    const text = working.lines.join('\n');
    expect(working.audience).toBe('only you');
    expect(text).toContain('fitted to 40 batches of 5 members');
    expect(text).toContain('every cut that was used counting alike');
    expect(text).toMatch(
      /Pressure cooker less oven: \+\d+\.\d \(\d+\.\d to \d+\.\d\), plain \+\d+\.\d; clear, with all 3/,
    );
    const differences = working.lines.filter((line) => / less /.test(line));
    expect(differences).toHaveLength(Object.keys(answer.figures.comparisons ?? {}).length);
    expect(text).not.toMatch(/NaN|undefined|\bp\b/);
  });

  it.each([
    ['weight', 'Twice the starting weight: '],
    ['time', 'An extra hour: '],
    ['cut', 'Minced less ground: '],
  ])('by %s', async (by, words) => {
    await store();
    const text = (await shown(by)).lines.join('\n');
    expect(text.replace('Ground less minced', 'Minced less ground')).toContain(words);
    expect(text).toMatch(/standard error [\d.]+ points?, [\d.]+ degrees of freedom/);
  });

  it('warns of one clear comparison among many that chance explains', async () => {
    // 15 comparisons of six methods, of which one alone is clear, and not by much; invented.
    const means = [0.45, 0.45, 0.45, 0.45, 0.45, 0.472];
    const methods = ['open-pot', 'pressure', 'slow-cooker', 'stovetop-dry', 'oven', 'smoker'];
    await storeBatches(
      talk.db,
      'ember-lane',
      Array.from({ length: 72 }, (_, at) => ({
        member: `cook ${at % 4}`,
        method: methods[at % 6] ?? 'oven',
        cut: 'ground',
        fatG: 1000,
        tallowG: 1000 * ((means[at % 6] ?? 0.45) + 0.012 * (((at * 7 + Math.floor(at / 6)) % 5) - 2)),
        minutes: 180,
      })),
    );
    const answer = await talk.ask('/yield compare by:method');
    expect(answer.lines.join('\n')).toContain('It is one of 15 comparisons');
    expect((await shown('method')).lines.join('\n')).toContain('clear alone, not with all 15 allowed for');
  });

  it('never says clear where the answer says too few to say', async () => {
    const methods = ['open-pot', 'pressure', 'slow-cooker', 'stovetop-dry', 'oven', 'smoker'];
    const each = batchesOf(48, (at) => ({
      member: `cook ${at % 6}`,
      method: methods[at % 6] ?? 'oven',
      tallowG: (1000 + 130 * (at % 9)) * (0.35 + 0.04 * (at % 6) + 0.2 * spread(at)),
    }));
    await storeBatches(talk.db, 'ember-lane', each);
    expect((await talk.ask('/yield compare by:method')).lines[0]).toContain('too few to say');
    const text = (await shown('method')).lines.join('\n');
    expect(text).toContain('; too few to say.');
    expect(text).not.toContain('; clear');
  });

  it('is refused kindly when its batches are gone', async () => {
    await store();
    const { actions } = await talk.ask('/yield compare by:method');
    await talk.db.deleteFrom('batches').execute();
    expect((await talk.refuse(`press:${actions[0]?.id}`)).text).toContain('/yield compare');
  });
});
