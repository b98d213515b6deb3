/** How long what keeps, and where. */

import { DAY_MS } from '../words/moments.js';
import type { SourceId } from './sources.js';

export type Place = 'refrigerator' | 'freezer';

export interface KeepingTime {
  readonly daysLow: number;
  readonly daysHigh: number;
  /** The day it was made is the first of them, as the Food Code counts. */
  readonly firstDayCounts?: true;
  /** In the freezer the time is for quality: at 0 °F food stays safe. */
  readonly limits: 'safety' | 'quality';
  readonly sources: readonly SourceId[];
}

/** In a refrigerator at 40 °F or below and a freezer at 0 °F. Nothing here keeps at room temperature. */
export interface Keeping {
  readonly label: string;
  readonly refrigerator: KeepingTime;
  readonly freezer: KeepingTime;
  /** What to watch for, and what shortens it. */
  readonly note: string;
}

const MONTH_DAYS = 30;

const days = (daysLow: number, daysHigh: number, ...sources: readonly SourceId[]): KeepingTime => ({
  daysLow,
  daysHigh,
  limits: 'safety',
  sources,
});

const months = (low: number, high: number, ...sources: readonly SourceId[]): KeepingTime => ({
  daysLow: low * MONTH_DAYS,
  daysHigh: high * MONTH_DAYS,
  limits: 'quality',
  sources,
});

export const KEEPING = {
  'raw-fat-ground': {
    label: 'Ground or minced raw fat',
    refrigerator: days(1, 2, 'raw-fat-by-analogy', 'cold-storage-chart'),
    freezer: months(3, 4, 'raw-fat-by-analogy', 'cold-storage-chart'),
    note: 'No official time for raw fat was found: it is kept as ground beef is. Grind it when you are ready to render.',
  },
  'raw-fat-whole': {
    label: 'Raw fat in pieces',
    refrigerator: days(3, 5, 'raw-fat-by-analogy', 'cold-storage-chart'),
    freezer: months(4, 12, 'raw-fat-by-analogy', 'cold-storage-chart'),
    note: 'No official time for raw fat was found: it is kept no longer than a roast is. Fresher fat tastes cleaner.',
  },
  tallow: {
    label: 'Clear, dry, strained tallow',
    refrigerator: months(6, 6, 'tallow-by-analogy', 'foodkeeper'),
    freezer: months(12, 12, 'tallow-by-analogy', 'foodkeeper'),
    note: 'No official entry for home-rendered tallow was found: about as bacon grease keeps. Throw it out when it smells rancid or sour or shows mould. Water or meat left in it shortens this to days.',
  },
  broth: {
    label: 'Broth from under the disc',
    refrigerator: { ...days(3, 4, 'food-code-date', 'food-code-cooling'), firstDayCounts: true },
    freezer: months(2, 3),
    note: 'A moist cooked meat food, kept as soup is (from memory; the Food Code allows up to 7 days), and only if it was cooled in two steps in time.',
  },
  'butter-blend': {
    label: 'Butter and tallow blend',
    refrigerator: months(1, 2, 'foodkeeper'),
    freezer: months(6, 9, 'foodkeeper'),
    note: 'As long as its butter. With garlic, herbs or drippings in it, a week at most.',
  },
  'salted-blend': {
    label: 'Salted water blend',
    refrigerator: { ...days(7, 7, 'food-code-date'), firstDayCounts: true },
    freezer: months(1, 2),
    note: 'It holds water and nothing but the cold keeps it: never at room temperature, never sealed warm. It may split in the freezer.',
  },
} as const satisfies Readonly<Record<string, Keeping>>;

export type Stored = keyof typeof KEEPING;

/**
 * The instant, in epoch milliseconds, until which to use what was stored at another: by the longest of its times.
 * Throws RangeError when the instant is not finite.
 */
export function useBy(stored: Stored, place: Place, storedAtMs: number): number {
  if (!Number.isFinite(storedAtMs)) throw new RangeError(`storedAtMs must be finite, not ${storedAtMs}`);
  const { daysHigh, firstDayCounts }: KeepingTime = KEEPING[stored][place];
  return storedAtMs + (firstDayCounts ? daysHigh - 1 : daysHigh) * DAY_MS;
}
