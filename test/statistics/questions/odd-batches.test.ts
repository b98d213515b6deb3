import { describe, expect, it } from 'vitest';
import { type Batch, batchDesign, observationOf } from '../../../src/statistics/model/batch-design.js';
import { oddBatches } from '../../../src/statistics/questions/odd-batches.js';
import { CUTS, METHODS, readReferenceBatches } from '../reference-sets.js';
import { normal, uniform } from '../seeded.js';

const DESIGN = batchDesign(METHODS, CUTS);
const CEILING = 0.95;

/** Twelve invented cooks, one of whom alone smokes, and smokes low. */
function community() {
  const draw = normal(uniform(11));
  return Array.from({ length: 120 }, (_, i) => {
    const cook = i % 12;
    const smoker = cook === 11;
    const expected = 0.55 + 0.02 * (cook - 6) - (smoker ? 0.25 : 0);
    return {
      member: `m${cook}`,
      method: smoker ? 'smoker dry' : (METHODS[i % 3] ?? 'open pot wet'),
      cut: CUTS[(i >> 2) % 3] ?? 'ground',
      fatG: 1500 + 20 * i,
      minutes: 120 + ((7 * i) % 200),
      tallowG: (1500 + 20 * i) * (expected + 0.02 * draw()),
    };
  });
}

function found(batches: readonly Batch[]): readonly (readonly [number, string])[] {
  return oddBatches(DESIGN, batches.map(observationOf), CEILING).map(({ index, oddity }) => [
    index,
    oddity.kind,
  ]);
}

describe('odd batches', () => {
  it('leaves an honest cook of a rare method alone', () => {
    expect(found(community())).toEqual([]);
  });

  it('finds what cannot be before anything is estimated', () => {
    const batches = community();
    const spoilt = batches.map((batch, i) =>
      i === 3 ? { ...batch, tallowG: 0 } : i === 40 ? { ...batch, tallowG: 10 * batch.tallowG } : batch,
    );
    expect(found(spoilt)).toEqual([
      [3, 'nothing-rendered'],
      [40, 'more-than-the-fat-holds'],
    ]);
  });

  it('finds small typing errors in spite of one ten times too large', () => {
    const spoilt = community().map((batch, i) => {
      if (i === 40) return { ...batch, tallowG: 10 * batch.tallowG };
      if (i === 57 || i === 58) return { ...batch, tallowG: batch.tallowG / 10 };
      return batch;
    });
    expect(found(spoilt)).toEqual([
      [40, 'more-than-the-fat-holds'],
      [57, 'far-from-own'],
      [58, 'far-from-own'],
    ]);
  });

  /** Cooks who differ by three points and their batches by as much; then what is put beside them. */
  function regulars(cooks: number, each: number, seed: number) {
    const [draw, share] = [normal(uniform(seed + 900)), uniform(seed)];
    return Array.from({ length: cooks }, (_, cook) => {
      const own = 0.48 + 0.03 * draw();
      return Array.from({ length: each }, (__, i) => {
        const fatG = 800 + 1500 * share();
        return {
          member: `m${cook}`,
          method: METHODS[i % 2] ?? '',
          cut: 'ground',
          fatG,
          minutes: 120 + 200 * share(),
          tallowG: fatG * (own + 0.03 * draw()),
        };
      });
    }).flat();
  }
  const one = (member: string, method: string, share: number) => ({
    member,
    method,
    cut: 'ground',
    fatG: 1000,
    minutes: 200,
    tallowG: 1000 * share,
  });
  const [POT = '', , SLOW = ''] = METHODS;

  it('finds the first batch of a newcomer that no cook here would get, and leaves a usual one alone', () => {
    const foundAt = (share: number) =>
      [...Array(30).keys()].filter((seed) =>
        found([...regulars(8, 8, seed), one('new', POT, share)]).some(([index]) => index === 64),
      ).length;
    for (const share of [0.02, 0.1, 0.9]) expect(foundAt(share)).toBeGreaterThanOrEqual(29);
    for (const share of [0.42, 0.48, 0.54]) expect(foundAt(share)).toBe(0);
  });

  it('finds the wrong one of two first batches, and leaves the other', () => {
    for (const seed of [1, 2, 3, 4, 5])
      expect(
        found([...regulars(8, 8, seed), one('new', POT, 0.47), one('new', POT, 0.047)]).filter(
          ([index]) => index >= 64,
        ),
      ).toEqual([[65, 'far-from-own']]);
  });

  it('finds the same mistake made by a newcomer twice', () => {
    for (const seed of [1, 2, 3, 4, 5])
      expect(
        found([...regulars(8, 8, seed), one('new', POT, 0.042), one('new', POT, 0.05)]).filter(
          ([index]) => index >= 64,
        ),
      ).toEqual([
        [64, 'far-from-own'],
        [65, 'far-from-own'],
      ]);
  });

  it('finds the wrong one of the only two batches by a method', () => {
    for (const seed of [1, 2, 3, 4, 5])
      expect(
        found([...regulars(6, 8, seed), one('m0', SLOW, 0.5), one('m1', SLOW, 0.05)]).map(([index]) => index),
      ).toContain(49);
  });

  it('finds one that stands out where all others are alike, and calls no small difference odd', () => {
    const alike = ['a', 'b', 'c', 'd', 'e'].flatMap((member) =>
      [0, 1, 2, 3].map(() => one(member, POT, 0.5)),
    );
    expect(found([...alike, one('a', POT, 0.05)])).toEqual([[20, 'far-from-own']]);
    expect(found([...alike, one('a', POT, 0.46)])).toEqual([]);
  });

  it('calls few of the batches odd that are not', () => {
    for (const [cooks, each] of [
      [4, 5],
      [10, 10],
      [20, 15],
    ] as const) {
      const seeds = [...Array(40).keys()];
      const flagged = seeds.reduce((sum, seed) => sum + found(regulars(cooks, each, seed)).length, 0);
      // Beyond 3.5 standard deviations lie 0.05 % of normal values.
      expect(flagged / (seeds.length * cooks * each)).toBeLessThan(0.006);
    }
  });

  it('has nothing to say about next to no batches, and refuses a ceiling that is none', () => {
    expect(found([])).toEqual([]);
    expect(found(community().slice(0, 2))).toEqual([]);
    expect(() => oddBatches(DESIGN, [], 0)).toThrow(RangeError);
  });

  it('finds the typing errors of the reference set', () => {
    const batches = readReferenceBatches('outliers');
    const odd = oddBatches(DESIGN, batches.map(observationOf), CEILING);
    // 5.49 and 1.08 of the raw fat, nothing, and 0.11 where this cook gets about half
    expect(odd.map(({ index, oddity }) => [batches[index]?.batch, oddity.kind])).toEqual([
      [17, 'more-than-the-fat-holds'],
      [60, 'nothing-rendered'],
      [95, 'far-from-own'],
      [140, 'more-than-the-fat-holds'],
    ]);
    expect(oddBatches(DESIGN, readReferenceBatches('typical').map(observationOf), CEILING)).toEqual([]);
  });
});
