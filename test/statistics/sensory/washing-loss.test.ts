import { describe, expect, it } from 'vitest';
import { washingLoss } from '../../../src/statistics/sensory/washing-loss.js';

/** Eight invented washes of four cooks. */
const WASHES = [
  ['a', 900, 880],
  ['a', 880, 861],
  ['a', 861, 845],
  ['b', 1500, 1460],
  ['b', 1460, 1432],
  ['c', 640, 610],
  ['d', 1200, 1150],
  ['d', 1150, 1118],
] as const;

describe('loss per wash', () => {
  it('agrees with R, cooks as clusters', () => {
    // R 4.2.2, clubSandwich 0.5.8: lm(after / before ~ 1, weights = before), CR2 by cook, Satterthwaite
    const found = washingLoss(WASHES.map(([cook, beforeG, afterG]) => ({ cook, beforeG, afterG })));
    if (found.kind !== 'pooled' || found.interval.kind !== 'interval')
      throw new Error('expected an interval');
    expect(found.estimate).toBeCloseTo(0.0273542078919798, 14);
    expect(found.interval.standardError).toBeCloseTo(0.0041365372667827, 10);
    expect(found.interval.df).toBeCloseTo(2.0945267672826868, 6);
    expect(found.interval.low).toBeCloseTo(0.0103041254455302, 8);
    expect(found.interval.high).toBeCloseTo(0.0444042903384295, 8);
    expect([found.washes, found.cooks]).toEqual([8, 4]);
  });

  it('has no interval for one cook alone, and nothing without washes', () => {
    expect(washingLoss([{ cook: 'a', beforeG: 900, afterG: 880 }])).toMatchObject({
      kind: 'pooled',
      interval: { kind: 'none', because: 'fewer-than-two-members' },
    });
    expect(washingLoss([])).toEqual({ kind: 'no-washes' });
  });

  it('shows a gain as what it is, and refuses weights that cannot be', () => {
    const found = washingLoss([{ cook: 'a', beforeG: 900, afterG: 909 }]);
    expect(found).toMatchObject({ estimate: expect.closeTo(-0.01, 12) });
    expect(() => washingLoss([{ cook: 'a', beforeG: 0, afterG: 10 }])).toThrow(RangeError);
  });
});
