import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { CAUTIONS } from '../../src/safety/cautions.js';
import type { Season } from '../../src/safety/occasion.js';
import { reminderFor } from '../../src/safety/weekly-reminder.js';
import { METHODS, type Method } from '../../src/words/methods.js';

const NOW = new Date('2025-07-06T17:00:00Z');

function daysAgo(days: number, from: Date = NOW): Date {
  return new Date(from.getTime() - days * 86_400_000);
}

function request(cooked: readonly Method[], season: Season = 'summer') {
  return {
    fatGByMethod: new Map(cooked.map((method) => [method, 2000])),
    season,
    recentlyShown: [],
    now: NOW,
  };
}

describe('the weekly reminder', () => {
  it('is the gravest that fits what was cooked', () => {
    expect(reminderFor(request(['pressure', 'oven'])).id).toBe('pressure-makers-limit');
    expect(reminderFor(request(['smoker'])).id).toBe('smoker-outdoors');
  });

  it('passes over what was shown within six weeks', () => {
    const shown = (days: number) => ({
      ...request(['pressure']),
      recentlyShown: [{ id: 'pressure-makers-limit', shownAt: daysAgo(days) }],
    });
    expect(reminderFor(shown(41)).id).toBe('pressure-not-a-fryer');
    expect(reminderFor(shown(42)).id).toBe('pressure-makers-limit');
  });

  it('comes back early where a near miss was reported, whatever was cooked', () => {
    const shown = [{ id: 'pressure-makers-limit', shownAt: daysAgo(7) }];
    const quiet = { ...request(['pressure']), recentlyShown: shown };
    expect(reminderFor(quiet).id).not.toBe('pressure-makers-limit');
    expect(reminderFor({ ...quiet, reported: ['pressure'] }).topics[0]).toBe('pressure');
    expect(reminderFor({ ...request(['oven']), reported: ['smoke-co'] }).topics[0]).toBe('smoke-co');
  });

  it('never speaks of a method that nobody cooked by', () => {
    fc.assert(
      fc.property(
        fc.subarray(METHODS.map(({ value }) => value)),
        fc.constantFrom<Season>('spring', 'summer', 'autumn', 'winter'),
        fc.array(
          fc.record({ id: fc.constantFrom(...CAUTIONS.map(({ id }) => id)), days: fc.nat({ max: 60 }) }),
        ),
        (cooked, season, past) => {
          const { occasions } = reminderFor({
            ...request(cooked, season),
            recentlyShown: past.map(({ id, days }) => ({ id, shownAt: daysAgo(days) })),
          });
          const fitting = occasions.some(
            ({ methods, seasons }) =>
              (methods === undefined || methods.some((method) => cooked.includes(method))) &&
              (seasons === undefined || seasons.includes(season)),
          );
          expect(fitting).toBe(true);
        },
      ),
    );
  });

  it('fits any kitchen in a week when nobody cooked, or when a method was logged with no fat', () => {
    expect(reminderFor(request([])).occasions.some(({ methods }) => methods === undefined)).toBe(true);
    const nothing = { ...request([]), fatGByMethod: new Map<Method, number>([['pressure', 0]]) };
    expect(reminderFor(nothing).topics).not.toContain('pressure');
  });

  it('does not repeat itself within six weeks, week after week for a year', () => {
    const past: { readonly id: string; readonly shownAt: Date }[] = [];
    for (let week = 0; week < 52; week += 1) {
      const now = daysAgo(-7 * week);
      const { id } = reminderFor({ ...request(['open-pot']), recentlyShown: past, now });
      const recent = past.filter(({ shownAt }) => now.getTime() - shownAt.getTime() < 42 * 86_400_000);
      expect(recent.map((shown) => shown.id)).not.toContain(id);
      past.push({ id, shownAt: now });
    }
  });

  it('is the one shown longest ago when all are recent, by its latest showing', () => {
    const fresh = CAUTIONS.map(({ id }) => ({ id, shownAt: daysAgo(2) }));
    const older = [
      { id: 'burns-first-aid', shownAt: daysAgo(20) },
      { id: 'not-down-the-drain', shownAt: daysAgo(30) },
    ];
    const others = fresh.filter(({ id }) => id !== 'burns-first-aid' && id !== 'not-down-the-drain');
    const all = [...others, ...older];
    expect(reminderFor({ ...request(['oven']), recentlyShown: all }).id).toBe('not-down-the-drain');
    const again = [...all, { id: 'not-down-the-drain', shownAt: daysAgo(1) }];
    expect(reminderFor({ ...request(['oven']), recentlyShown: again }).id).toBe('burns-first-aid');
  });

  it('speaks of hot days in summer only', () => {
    const graver = CAUTIONS.filter(({ id }) => id !== 'hot-day').map(({ id }) => ({
      id,
      shownAt: daysAgo(3),
    }));
    expect(reminderFor({ ...request(['oven'], 'summer'), recentlyShown: graver }).id).toBe('hot-day');
    expect(reminderFor({ ...request(['oven'], 'winter'), recentlyShown: graver }).id).not.toBe('hot-day');
  });
});
