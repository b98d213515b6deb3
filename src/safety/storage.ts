/** How long what keeps, and where. */

import { countWords } from '../words/lists.js';
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

/** In a refrigerator at 40 °F or below and a freezer at 0 °F. Nothing here is promised to keep at room temperature. */
export interface Keeping {
  readonly label: string;
  readonly refrigerator: KeepingTime;
  readonly freezer: KeepingTime;
  /** Out of both. */
  readonly room: string;
  /** How to see that it is off. */
  readonly off: string;
  /** What to call it on the lid, with what somebody must know who cannot have it. */
  readonly lid: string;
  /** What to watch for, and what shortens it. */
  readonly note: string;
  /** The same in a few words. */
  readonly brief: string;
}

/** The same of what nobody gives a time in the freezer for. */
export interface StoredFood extends Omit<Keeping, 'freezer'> {
  readonly freezer: KeepingTime | undefined;
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

/** USDA FSIS, Danger Zone. */
const TWO_HOURS = '2 h; 1 h above 90 °F (32 °C)';

export const KEEPING = {
  'raw-fat-ground': {
    label: 'Ground raw fat',
    refrigerator: days(1, 2, 'raw-fat-by-analogy', 'cold-storage-chart'),
    freezer: months(3, 4, 'raw-fat-by-analogy', 'cold-storage-chart'),
    room: TWO_HOURS,
    off: 'sour smell, sticky or slimy',
    lid: 'Raw ground beef fat',
    note: 'No official time for raw fat was found: it is kept as ground beef is. Grind it when you are ready to render.',
    brief: 'None published for raw fat: ground beef’s.',
  },
  'raw-fat-whole': {
    label: 'Raw fat in pieces',
    refrigerator: days(3, 5, 'raw-fat-by-analogy', 'cold-storage-chart'),
    freezer: months(4, 12, 'raw-fat-by-analogy', 'cold-storage-chart'),
    room: TWO_HOURS,
    off: 'sour smell, sticky or slimy',
    lid: 'Raw beef fat',
    note: 'No official time for raw fat was found: it is kept no longer than a roast is. Fresher fat tastes cleaner.',
    brief: 'None published for raw fat: a roast’s.',
  },
  tallow: {
    label: 'Clear, dry, strained tallow',
    refrigerator: months(6, 6, 'tallow-by-analogy', 'foodkeeper'),
    freezer: months(12, 12, 'tallow-by-analogy', 'foodkeeper'),
    room: 'nobody vouches for it',
    off: 'smells of paint, old nuts or sour; mould',
    lid: 'Beef tallow',
    note: 'By analogy with bacon grease: no official entry for home-rendered tallow was found, and some say 3 months. Throw it out when it smells rancid or sour or shows mould. Water or meat left in it shortens this to days.',
    brief: 'None published for tallow: bacon grease’s. Wet or unstrained: days.',
  },
  broth: {
    label: 'Broth from under the disc',
    refrigerator: { ...days(3, 4, 'food-code-date', 'food-code-cooling'), firstDayCounts: true },
    freezer: months(2, 3, 'practice-freezing'),
    room: TWO_HOURS,
    off: 'sour, slimy; not all germs smell',
    lid: 'Beef broth',
    note: 'A moist cooked meat food, kept as soup is (from memory; the Food Code allows up to 7 days), and only if it was cooled in two steps in time.',
    brief: 'Only if it was cooled in time.',
  },
  'butter-blend': {
    label: 'Butter and tallow blend',
    refrigerator: months(1, 2, 'foodkeeper', 'nchfp-garlic'),
    freezer: months(6, 9, 'foodkeeper'),
    room: `${TWO_HOURS}; butter 1 to 2 days`,
    off: 'sour or cheesy smell, mould',
    lid: 'Butter and tallow, contains milk',
    note: 'Contains milk. As long as its butter; with garlic, herbs or drippings in it, 4 days at most.',
    brief: 'With garlic or herbs: 4 days.',
  },
  'salted-blend': {
    label: 'Salted water blend',
    refrigerator: { ...days(7, 7, 'food-code-date'), firstDayCounts: true },
    freezer: months(1, 2, 'practice-freezing'),
    room: TWO_HOURS,
    off: 'botulism has no smell: go by the day',
    lid: 'Salted tallow with water',
    note: 'It holds water and nothing but the cold keeps it: never at room temperature, never sealed warm. With garlic, herbs or drippings in it, 4 days. It may split in the freezer.',
    brief: 'Nothing but the cold keeps it.',
  },
  'garlic-blend': {
    label: 'Fat with garlic or herbs',
    refrigerator: { ...days(4, 4, 'nchfp-garlic'), firstDayCounts: true },
    freezer: months(1, 3, 'nchfp-garlic'),
    room: 'never: botulism',
    off: 'botulism has no smell: go by the day',
    lid: 'Garlic fat',
    note: 'Garlic and herbs carry spores that grow under fat without air. It was 7 days until 2011; newer advice is 4. Several months in the freezer are taken as 3.',
    brief: 'Garlic in oil’s time. With butter it contains milk.',
  },
  'frying-fat': {
    label: 'Frying fat used before',
    refrigerator: months(1, 1, 'nc-state-frying'),
    freezer: undefined,
    room: 'closed, cool and dark; cold is better',
    off: 'foams, dark, thick, smokes early',
    lid: 'Frying fat, and what was fried',
    note: 'Strain it after each use and put a fifth of fresh fat to it at the next.',
    brief: 'Strain it after each use; replace a fifth.',
  },
} as const satisfies Readonly<Record<string, StoredFood>>;

export type Stored = keyof typeof KEEPING;

/** What a jar of each kind needs left free at the top for the freezer, in millimetres (nchfp-headspace). */
export const FREEZER_HEADSPACE_MM = {
  wide: { pint: 12.7, quart: 25.4 },
  narrow: { pint: 19.05, quart: 38.1 },
} as const;

/**
 * The instant, in epoch milliseconds, until which to use what was stored at another: by the longest of its times.
 * Throws RangeError when the instant is not finite.
 */
export function useBy({ daysHigh, firstDayCounts }: KeepingTime, storedAtMs: number): number {
  if (!Number.isFinite(storedAtMs)) throw new RangeError(`storedAtMs must be finite, not ${storedAtMs}`);
  return storedAtMs + (firstDayCounts ? daysHigh - 1 : daysHigh) * DAY_MS;
}

/** "7 days", "1 to 2 months". */
export function keepingWords({ daysLow, daysHigh }: KeepingTime): string {
  const inMonths = daysLow % MONTH_DAYS === 0 && daysHigh % MONTH_DAYS === 0;
  const [low, high] = inMonths ? [daysLow / MONTH_DAYS, daysHigh / MONTH_DAYS] : [daysLow, daysHigh];
  const words = inMonths ? countWords(high, 'month', 'months') : countWords(high, 'day', 'days');
  return low === high ? words : `${low} to ${words}`;
}
