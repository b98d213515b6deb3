import { describe, expect, it } from 'vitest';
import { dayAxis } from '../../src/pictures/day-axis.js';

const at = (time: string): number => Date.parse(time);

function labels({ from, to, step, label }: ReturnType<typeof dayAxis>): readonly string[] {
  return Array.from({ length: Math.round((to - from) / step) + 1 }, (_, k) => label(from + k * step));
}

describe('an axis of days', () => {
  it('has a tick on whole days, in steps of whole days', () => {
    const axis = dayAxis([at('2026-09-18T07:00:00Z'), at('2026-11-25T21:00:00Z')]);
    for (const value of [axis.from, axis.to, axis.step]) expect(Number.isInteger(value)).toBe(true);
    expect(axis.step).toBe(14);
    expect(labels(axis)).toEqual(['17 Sep', '1 Oct', '15 Oct', '29 Oct', '12 Nov', '26 Nov']);
  });

  it('puts a batch nearest to the tick of its own day, at whatever hour', () => {
    const axis = dayAxis([at('2026-11-22T12:00:00Z'), at('2026-11-25T18:00:00Z')]);
    for (const hour of ['00:05', '12:00', '23:55'])
      expect(axis.label(Math.round(axis.place(at(`2026-11-22T${hour}:00Z`))))).toBe('22 Nov');
  });

  it('tells the day by the clock of the place', () => {
    const late = at('2026-11-23T03:00:00Z');
    const axis = dayAxis([late], 'America/Chicago');
    expect(axis.label(Math.round(axis.place(late)))).toBe('22 Nov');
  });

  it('is five days long for one day, which lies within', () => {
    const day = at('2026-11-25T20:00:00Z');
    const axis = dayAxis([day, day]);
    expect(labels(axis)).toHaveLength(6);
    expect(labels(axis)).toContain('25 Nov');
    expect(axis.place(day)).toBeGreaterThan(axis.from + 1);
    expect(axis.place(day)).toBeLessThan(axis.to - 0.5);
  });

  it.each([0, 1, 2, 3, 4, 10, 68, 400])('goes no more than a day ahead of the last of %d days', (days) => {
    const last = at('2026-11-25T20:00:00Z');
    const axis = dayAxis([last - days * 86_400_000, last]);
    expect(axis.label(axis.to)).toMatch(/^26 Nov/);
    expect(axis.from).toBeLessThanOrEqual(Math.round(axis.place(last)) - days - 1);
  });

  it('names the year where it is long, and can be had of nothing', () => {
    expect(labels(dayAxis([at('2024-01-01T12:00:00Z'), at('2026-01-01T12:00:00Z')]))[0]).toMatch(/ 202[34]$/);
    expect(labels(dayAxis([]))).toHaveLength(6);
  });
});
