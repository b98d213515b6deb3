import { describe, expect, it } from 'vitest';
import { wilsonInterval } from '../../../src/statistics/sensory/wilson.js';
import { wordShare } from '../../../src/statistics/sensory/word-share.js';
import { normal, uniform } from '../seeded.js';

const cooks = (batches: readonly number[], withWord: readonly number[]) =>
  batches.map((count, i) => ({ batches: count, withWord: withWord[i] ?? 0 }));

describe('share of batches with a taste word', () => {
  it('agrees with R, cooks as clusters', () => {
    // R 4.2.2, clubSandwich 0.5.8: lm(word ~ 1), CR2 by cook; effective number and Wilson's interval by their formulas
    const found = wordShare(cooks([12, 5, 9, 3, 1, 7, 20], [4, 4, 1, 0, 1, 2, 13]));
    expect(found?.estimate).toBeCloseTo(0.43859649122807, 13);
    expect(found?.effectiveBatches).toBeCloseTo(7.9632678843647, 5);
    expect(found?.low).toBeCloseTo(0.17480619427447, 6);
    expect(found?.high).toBeCloseTo(0.74235028014331, 6);
    expect(found).toMatchObject({ batches: 57, withWord: 25, cooks: 7 });
  });

  it("is Wilson's own where every cook has one batch or differs from the others as batches do", () => {
    const found = wordShare(
      cooks(
        Array(40).fill(10),
        Array.from({ length: 40 }, (_, i) => 2 + (i % 3)),
      ),
    );
    const plain = wilsonInterval(found?.withWord ?? 0, 400);
    expect(found?.effectiveBatches).toBe(400);
    expect(found?.low).toBeCloseTo(plain.low, 12);
    expect(found?.high).toBeCloseTo(plain.high, 12);
  });

  it('knows no more of one cook than one batch would tell, however many there are', () => {
    const found = wordShare(cooks([50], [50]));
    expect(found).toMatchObject({ estimate: 1, effectiveBatches: 1, high: 1 });
    expect(found?.low).toBeLessThan(0.25);
  });

  it('counts cooks where all agree', () => {
    // Wilson for 0 of 5
    expect(wordShare(cooks([4, 4, 4, 4, 4], [0, 0, 0, 0, 0]))).toMatchObject({
      effectiveBatches: 5,
      low: 0,
      high: expect.closeTo(wilsonInterval(0, 5).high, 12),
    });
  });

  it('covers the truth although cooks lean to the word differently', () => {
    const random = uniform(9);
    const deviate = normal(random);
    const logistic = (x: number) => 1 / (1 + Math.exp(-x));
    // the average over cooks of logistic(−0.6 + deviate), by the same deviates in large number
    let truth = 0;
    for (let k = 0; k < 200_000; k += 1) truth += logistic(-0.6 + deviate()) / 200_000;
    let covered = 0;
    for (let trial = 0; trial < 2000; trial += 1) {
      const counts = [30, 20, 12, 10, 8, 6, 5, 4, 3, 2, 2, 1];
      const found = wordShare(
        counts.map((batches) => {
          const leaning = logistic(-0.6 + deviate());
          let withWord = 0;
          for (let batch = 0; batch < batches; batch += 1) if (random() < leaning) withWord += 1;
          return { batches, withWord };
        }),
      );
      if (found !== undefined && found.low <= truth && truth <= found.high) covered += 1;
    }
    expect(covered / 2000).toBeGreaterThan(0.93);
  });

  it('is undefined without batches, and refuses counts that cannot be', () => {
    expect(wordShare([])).toBeUndefined();
    expect(() => wordShare(cooks([3], [4]))).toThrow(RangeError);
    expect(() => wordShare(cooks([0], [0]))).toThrow(RangeError);
  });
});
