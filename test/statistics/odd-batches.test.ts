import { describe, expect, it } from 'vitest';
import { batchDesign, observationOf } from '../../src/statistics/batch-design.js';
import { oddBatches } from '../../src/statistics/odd-batches.js';
import { CUTS, METHODS, readReferenceBatches, referenceSetsAreHere } from './reference-sets.js';
import { normal, uniform } from './seeded.js';

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

function found(batches: ReturnType<typeof community>): readonly (readonly [number, string])[] {
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

  it('has nothing to say about next to no batches, and refuses a ceiling that is none', () => {
    expect(found([])).toEqual([]);
    expect(found(community().slice(0, 2))).toEqual([]);
    expect(() => oddBatches(DESIGN, [], 0)).toThrow(RangeError);
  });

  it.skipIf(!referenceSetsAreHere)('finds the typing errors of the reference set', () => {
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
