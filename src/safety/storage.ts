/** How long what keeps, and where. */

import type { SourceId } from './sources.js';

export type Place = 'refrigerator' | 'freezer';

export const PLACES: readonly Place[] = ['refrigerator', 'freezer'];

export type Stored =
  | 'raw-fat-ground'
  | 'raw-fat-whole'
  | 'tallow'
  | 'broth'
  | 'butter-blend'
  | 'salted-blend';

export interface KeepingTime {
  readonly daysLow: number;
  readonly daysHigh: number;
  /** The day it was made is the first of them, as the Food Code counts. */
  readonly firstDayCounts?: true;
  /** In the freezer the time is for quality: at 0 °F food stays safe. */
  readonly limits: 'safety' | 'quality';
  readonly sources: readonly SourceId[];
}

export interface Keeping {
  readonly label: string;
  readonly refrigerator: KeepingTime;
  readonly freezer: KeepingTime;
  /** What to watch for, and what shortens it. */
  readonly note: string;
}

/** Refrigerator at 40 °F or below, freezer at 0 °F. Nothing here keeps at room temperature. */
export const COLD_C = { refrigerator: 4.4, freezer: -17.8 } as const satisfies Record<Place, number>;

const MONTH = 30;

export const KEEPING: Readonly<Record<Stored, Keeping>> = {
  'raw-fat-ground': {
    label: 'Ground or minced raw fat',
    refrigerator: {
      daysLow: 1,
      daysHigh: 2,
      limits: 'safety',
      sources: ['raw-fat-by-analogy', 'cold-storage-chart'],
    },
    freezer: {
      daysLow: 3 * MONTH,
      daysHigh: 4 * MONTH,
      limits: 'quality',
      sources: ['raw-fat-by-analogy', 'cold-storage-chart'],
    },
    note: 'No official time for raw fat was found: it is kept as ground beef is. Grind it when you are ready to render.',
  },
  'raw-fat-whole': {
    label: 'Raw fat in pieces',
    refrigerator: {
      daysLow: 3,
      daysHigh: 5,
      limits: 'safety',
      sources: ['raw-fat-by-analogy', 'cold-storage-chart'],
    },
    freezer: {
      daysLow: 4 * MONTH,
      daysHigh: 12 * MONTH,
      limits: 'quality',
      sources: ['raw-fat-by-analogy', 'cold-storage-chart'],
    },
    note: 'No official time for raw fat was found: it is kept no longer than a roast is. Fresher fat tastes cleaner.',
  },
  tallow: {
    label: 'Clear, dry, strained tallow',
    refrigerator: {
      daysLow: 6 * MONTH,
      daysHigh: 6 * MONTH,
      limits: 'quality',
      sources: ['tallow-by-analogy', 'foodkeeper'],
    },
    freezer: {
      daysLow: 12 * MONTH,
      daysHigh: 12 * MONTH,
      limits: 'quality',
      sources: ['tallow-by-analogy', 'foodkeeper'],
    },
    note: 'No official entry for home-rendered tallow was found: about as bacon grease keeps. Throw it out when it smells rancid or sour or shows mould. Water or meat left in it shortens this to days.',
  },
  broth: {
    label: 'Broth from under the disc',
    refrigerator: {
      daysLow: 3,
      daysHigh: 4,
      limits: 'safety',
      firstDayCounts: true,
      sources: ['food-code-date', 'food-code-cooling'],
    },
    freezer: { daysLow: 2 * MONTH, daysHigh: 3 * MONTH, limits: 'quality', sources: [] },
    note: 'A moist cooked meat food, kept as soup is (from memory; the Food Code allows up to 7 days), and only if it was cooled in two steps in time.',
  },
  'butter-blend': {
    label: 'Butter and tallow blend',
    refrigerator: { daysLow: MONTH, daysHigh: 2 * MONTH, limits: 'quality', sources: ['foodkeeper'] },
    freezer: { daysLow: 6 * MONTH, daysHigh: 9 * MONTH, limits: 'quality', sources: ['foodkeeper'] },
    note: 'As long as its butter. With garlic, herbs or drippings in it, a week at most.',
  },
  'salted-blend': {
    label: 'Salted water blend',
    refrigerator: {
      daysLow: 7,
      daysHigh: 7,
      limits: 'safety',
      firstDayCounts: true,
      sources: ['food-code-date'],
    },
    freezer: { daysLow: MONTH, daysHigh: 2 * MONTH, limits: 'quality', sources: [] },
    note: 'It holds water and nothing but the cold keeps it: never at room temperature, never sealed warm. It may split in the freezer.',
  },
};

/**
 * The instant, in epoch milliseconds, until which to use what was stored at another: by the longest of its times.
 * Throws RangeError when the instant is not finite.
 */
export function useBy(stored: Stored, place: Place, storedAtMs: number): number {
  if (!Number.isFinite(storedAtMs)) throw new RangeError(`storedAtMs must be finite, not ${storedAtMs}`);
  const { daysHigh, firstDayCounts } = KEEPING[stored][place];
  return storedAtMs + (firstDayCounts ? daysHigh - 1 : daysHigh) * 86_400_000;
}

export function isStored(value: unknown): value is Stored {
  return typeof value === 'string' && Object.hasOwn(KEEPING, value);
}
