import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { placeBefore, placeFrom, touches } from '../../../src/cooking/planning/placing.js';

const HOUR = 3_600_000;
/** 22:00 to 07:00 on three nights, hour 0 being midnight. */
const nights = [22, 46, 70].map((hour) => ({ fromMs: hour * HOUR, toMs: (hour + 9) * HOUR }));

describe('work between quiet hours', () => {
  it('stays where it is when nothing is in the way', () => {
    expect(placeFrom(9 * HOUR, 4 * HOUR, nights)).toBe(9 * HOUR);
    expect(placeBefore(13 * HOUR, 4 * HOUR, nights)).toBe(13 * HOUR);
  });

  it('waits for the morning, or is done the evening before', () => {
    expect(placeFrom(20 * HOUR, 4 * HOUR, nights)).toBe(31 * HOUR);
    expect(placeBefore(33 * HOUR, 4 * HOUR, nights)).toBe(22 * HOUR);
  });

  it('takes as few of the quiet hours as can be when it fits nowhere', () => {
    // From 7 to 3 at night rather than from 20 to 16; likewise up to 3, not up to 20.
    expect(placeFrom(20 * HOUR, 20 * HOUR, nights)).toBe(31 * HOUR);
    expect(placeBefore(68 * HOUR, 20 * HOUR, nights)).toBe(51 * HOUR);
    // Nothing is gained by moving what takes a day.
    expect(placeFrom(20 * HOUR, 24 * HOUR, nights)).toBe(20 * HOUR);
  });

  it('is in nobody’s way when it takes no time', () => {
    expect(placeFrom(23 * HOUR, 0, nights)).toBe(23 * HOUR);
    expect(touches(23 * HOUR, 23 * HOUR, nights)).toBe(false);
  });

  it('never begins before it may nor ends after it must', () => {
    fc.assert(
      fc.property(
        fc.integer({ min: 24 * HOUR, max: 72 * HOUR }),
        fc.integer({ min: 1, max: 30 * HOUR }),
        (instant, length) => {
          expect(placeFrom(instant, length, nights)).toBeGreaterThanOrEqual(instant);
          expect(placeBefore(instant, length, nights)).toBeLessThanOrEqual(instant);
          if (length <= 15 * HOUR) {
            const start = placeFrom(instant, length, nights);
            expect(touches(start, start + length, nights)).toBe(false);
          }
        },
      ),
    );
  });
});
