import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { placeBefore, placeFrom, touches } from '../../../src/cooking/planning/placing.js';

const HOUR = 3_600_000;
/** 22:00 to 07:00 on three nights, hour 0 being midnight. */
const nights = [22, 46, 70].map((hour) => ({ fromMs: hour * HOUR, toMs: (hour + 9) * HOUR }));

/** One stretch of so long. */
const work = (lengthMs: number) => [{ fromMs: 0, toMs: lengthMs }];

describe('work between quiet hours', () => {
  it('stays where it is when nothing is in the way', () => {
    expect(placeFrom(9 * HOUR, work(4 * HOUR), nights)).toBe(9 * HOUR);
    expect(placeBefore(9 * HOUR, work(4 * HOUR), nights)).toBe(9 * HOUR);
  });

  it('waits for the morning, or is done the evening before', () => {
    expect(placeFrom(20 * HOUR, work(4 * HOUR), nights)).toBe(31 * HOUR);
    expect(placeBefore(29 * HOUR, work(4 * HOUR), nights)).toBe(18 * HOUR);
  });

  it('takes as few of the quiet hours as can be when it fits nowhere', () => {
    // From 7 to 3 at night rather than from 20 to 16; likewise up to 3, not up to 20.
    expect(placeFrom(20 * HOUR, work(20 * HOUR), nights)).toBe(26 * HOUR);
    expect(placeBefore(48 * HOUR, work(20 * HOUR), nights)).toBe(31 * HOUR);
    // Nothing is gained by moving what takes a day.
    expect(placeFrom(20 * HOUR, work(24 * HOUR), nights)).toBe(20 * HOUR);
  });

  it('lets what needs nobody go on through the night', () => {
    // An hour of work, ten without anybody, and an hour again: begun at 20 it would want somebody at 7, which is day.
    const pot = [...work(HOUR), { fromMs: 11 * HOUR, toMs: 12 * HOUR }];
    expect(placeFrom(20 * HOUR, pot, nights)).toBe(20 * HOUR);
    expect(placeFrom(15 * HOUR, pot, nights)).toBe(20 * HOUR);
    expect(placeBefore(19 * HOUR, pot, nights)).toBe(10 * HOUR);
  });

  it('is in nobody’s way when it takes no time', () => {
    expect(placeFrom(23 * HOUR, work(0), nights)).toBe(23 * HOUR);
    expect(touches(23 * HOUR, 23 * HOUR, nights)).toBe(false);
  });

  it('never begins before it may nor ends after it must', () => {
    fc.assert(
      fc.property(
        fc.integer({ min: 24 * HOUR, max: 72 * HOUR }),
        fc.integer({ min: 1, max: 30 * HOUR }),
        (instant, length) => {
          expect(placeFrom(instant, work(length), nights)).toBeGreaterThanOrEqual(instant);
          expect(placeBefore(instant, work(length), nights)).toBeLessThanOrEqual(instant);
          if (length <= 15 * HOUR) {
            const start = placeFrom(instant, work(length), nights);
            expect(touches(start, start + length, nights)).toBe(false);
          }
        },
      ),
    );
  });
});
