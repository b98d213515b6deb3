import fc from 'fast-check';
import { DateTime } from 'luxon';
import { describe, expect, it } from 'vitest';
import { NIGHT, nights } from '../../../src/cooking/planning/nights.js';
import { DAY_MS } from '../../../src/words/moments.js';

const SPRING_MS = Date.parse('2026-03-01T12:00:00Z');
const zones = fc.constantFrom('UTC', 'America/Chicago', 'Europe/Berlin', 'Pacific/Auckland', 'Asia/Kolkata');

describe('the nights near a batch', () => {
  it('begin and end by the clock of the zone, also when it is changed, in order and apart', () => {
    fc.assert(
      fc.property(
        zones,
        fc.integer({ min: 0, max: 400 * 24 }),
        fc.integer({ min: 0, max: 366 }),
        (zone, hour, ahead) => {
          const nowMs = SPRING_MS + hour * 3_600_000;
          const found = nights(nowMs, nowMs + ahead * DAY_MS, zone);
          expect(found.length).toBeGreaterThan(12);
          found.forEach(({ fromMs, toMs }, at) => {
            expect(DateTime.fromMillis(fromMs, { zone }).hour).toBe(NIGHT.fromHour);
            expect(DateTime.fromMillis(toMs, { zone }).hour).toBe(NIGHT.toHour);
            expect(toMs).toBeGreaterThan(fromMs);
            expect(fromMs).toBeGreaterThan(found[at - 1]?.toMs ?? 0);
          });
        },
      ),
      { seed: 20_261_125, numRuns: 200 },
    );
  });

  it('take in the one that goes on now, and the one after the end', () => {
    const nowMs = Date.parse('2026-11-25T23:30:00Z');
    const endMs = Date.parse('2026-12-20T12:00:00Z');
    const found = nights(nowMs, endMs, 'UTC');
    expect(found.some(({ fromMs, toMs }) => fromMs < nowMs && nowMs < toMs)).toBe(true);
    expect(found.some(({ fromMs }) => fromMs === Date.parse('2026-12-20T22:00:00Z'))).toBe(true);
  });
});
