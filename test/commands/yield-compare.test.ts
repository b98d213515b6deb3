import { afterAll, beforeEach, describe, expect, it } from 'vitest';
import type { Figure, Reply } from '../../src/chat/reply.js';
import {
  readReferenceBatches,
  readReferenceResults,
  referenceSetsAreHere,
} from '../statistics/reference-sets.js';
import { STORED_METHODS, storeBatches } from '../support/stored-batches.js';
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

describe.skipIf(!referenceSetsAreHere)(
  '/yield compare, from the database, against lme4 and pbkrtest in R',
  () => {
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
  },
);

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

  it('is refused kindly when its batches are gone', async () => {
    await store();
    const { actions } = await talk.ask('/yield compare by:method');
    await talk.db.deleteFrom('batches').execute();
    expect((await talk.refuse(`press:${actions[0]?.id}`)).text).toContain('/yield compare');
  });
});
